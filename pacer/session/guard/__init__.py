"""How far a reading is trusted: one module a doubt, `standing.py` the named states."""
