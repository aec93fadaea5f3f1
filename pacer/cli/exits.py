"""Exit codes."""

from __future__ import annotations

from enum import IntEnum


class Exit(IntEnum):
    """What the shell is told."""

    DONE = 0
    "Done."
    NO = 1
    "The answer is no: a check failed."
    WRONG_INPUT = 2
    "A file, an option or a port is wrong; lines on stderr say what."
