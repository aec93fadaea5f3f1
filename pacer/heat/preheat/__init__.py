"""Heating up: when the part is at its target, and how even it is."""
