"""Bytes to readings and deeds: splitter, values, lines, scripts, limiter. Pure."""
