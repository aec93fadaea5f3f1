"""Timers: named deadlines derived from the state, never stored in it.

Every deadline is a whole millisecond (`after`), so that "a timer due at the same instant
as an event goes first" holds in floating point too: 0.1 s + 0.2 s is due at 0.3 s.
"""

from __future__ import annotations

import msgspec


class Timer(msgspec.Struct, frozen=True):
    """Something due; sorts by time, then rank, then name."""

    t_s: float
    name: str
    rank: int = 1
    "0 for what is watched in every phase: trust is settled before a phase decides by it."

    def key(self) -> tuple[float, int, str]:
        """Return what timers due together are ordered by."""
        return self.t_s, self.rank, self.name


def after(start_s: float, wait_s: float) -> float:
    """Return `start_s + wait_s` to a whole millisecond.

    >>> after(0.1, 0.2)
    0.3
    """
    return round(start_s + wait_s, 3)
