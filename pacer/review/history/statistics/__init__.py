"""The few exact formulas that small samples need, written out; tests compare them with scipy."""
