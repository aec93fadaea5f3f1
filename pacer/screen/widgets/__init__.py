"""What is painted, one panel a module, from a finished `View`."""
