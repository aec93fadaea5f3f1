"""The cool-down: what is believed of a cover, fitted to the readings, carried on to the end."""
