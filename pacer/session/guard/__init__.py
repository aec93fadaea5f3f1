"""The guard: what a sensor's values may not be believed for, one doubt a module.

A doubt is a question to the welder (`evidence.Doubt`, `doubts.py`); while it stands the
channel's number decides nothing. `listen.py` is where a line of the source comes in.
"""
