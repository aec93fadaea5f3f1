"""What can go wrong that is not a bug, by whose business it is.

`cli.py` alone turns these into one line on stderr and an exit code.
Any other exception is a bug and keeps its traceback.
"""

from __future__ import annotations


class PacerError(Exception):
    """Something the user can mend; the message is one or more finished lines."""


class UserInputError(PacerError):
    """A file, an option or a typed value is wrong."""


class RecordingError(PacerError):
    """A recording can't be opened or written."""


class SensorError(PacerError):
    """A port or a file of readings can't be opened."""
