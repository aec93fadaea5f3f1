"""Afterwards: what a finished recording shows."""
