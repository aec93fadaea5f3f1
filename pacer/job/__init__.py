"""The job file and what follows from it: a checked `Job`, the repair plan."""
