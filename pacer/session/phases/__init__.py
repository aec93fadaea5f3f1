"""One module a stage of the repair; each gives `timers`, `on_event` and `on_timer`.

`table.py` says which module has which phase and which phase can follow which.
"""
