"""Bytes to readings and deeds: splitter, dialects, units, values, scripts, limiter. Pure."""
