"""Two recordings side by side on one time axis."""
