"""Readings and tables out to other programs, and readings in from other loggers."""
