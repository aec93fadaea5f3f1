"""The shop tests on the full screen, one at a time."""
