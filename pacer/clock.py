"""Session clocks: seconds since the session's zero, and wall time beside them.

A part goes on cooling while the laptop sleeps, so session time must count through a suspend.

| system | clock | counts through a suspend |
|---|---|---|
| Linux | `CLOCK_BOOTTIME` | yes (Python's `time` page, PEP 418) |
| macOS | `CLOCK_MONOTONIC` of clock_gettime | yes (clock_gettime(3) there, read in a quotation); `time.monotonic` is `mach_absolute_time`, which stops (CPython issue 86273) |
| Windows, Python 3.11 and 3.12 | `GetTickCount64` | yes (PEP 418) |
| Windows from Python 3.13 | `QueryPerformanceCounter` | not known: PEP 418 says "accuracy issue" |
| anything else | `time.monotonic` | not known: PEP 418 leaves it open |

Only Linux was tried. Where it isn't known the clock is called `monotonic`, and the driver takes
a wall clock that is ahead of it all at once for a sleep (`run/clocks.py`).
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime
from functools import partial
from typing import Protocol

COUNTING = "boottime"
"Name of a clock that counts through a suspend."

UNSURE = "monotonic"
"Name of a clock of which that isn't known."


class Clock(Protocol):
    """What the driver and live sources ask for the time."""

    name: str
    "`boottime` where it counts through a suspend, `monotonic` where that isn't known."

    def now_s(self) -> float:
        """Return session time, s."""

    def wall(self) -> datetime:
        """Return wall time, UTC."""

    def skip(self, by_s: float) -> None:
        """Move session time on by what the clock slept, s; from any thread."""


def _steady() -> tuple[str, Callable[[], float]]:
    """Return the name and the reading, in s, of the best steady clock there is here."""
    if hasattr(time, "CLOCK_BOOTTIME"):
        return COUNTING, partial(time.clock_gettime, time.CLOCK_BOOTTIME)
    if sys.platform == "darwin":
        return COUNTING, partial(time.clock_gettime, time.CLOCK_MONOTONIC)
    if "GetTickCount64" in time.get_clock_info("monotonic").implementation:
        return COUNTING, time.monotonic
    return UNSURE, time.monotonic


_NAME, _READ = _steady()


class BootClock:
    """The machine's steady clock, from `zero_s` at construction."""

    def __init__(self, zero_s: float = 0.0) -> None:
        self.name = _NAME
        self._start_s = self._steady_s() - zero_s

    @staticmethod
    def _steady_s() -> float:
        return _READ()

    def now_s(self) -> float:
        """Return session time, s."""
        return self._steady_s() - self._start_s

    def wall(self) -> datetime:
        """Return wall time, UTC."""
        return datetime.now(UTC)

    def skip(self, by_s: float) -> None:
        """Move session time on, s."""
        self._start_s -= by_s


def stamp(wall: datetime) -> str:
    """Return a wall time as a record carries it: ISO 8601, to the millisecond."""
    return wall.isoformat(timespec="milliseconds")


def moment(text: str) -> datetime | None:
    """Return a record's wall time, UTC; None where it is none, or has no offset."""
    try:
        found = datetime.fromisoformat(text)
        return found.astimezone(UTC) if found.tzinfo is not None else None
    except (ValueError, OverflowError):
        return None


def local_time(wall: datetime) -> str:
    """Return a moment as this place's clocks show it, with their offset: twice 02:30 in one night.

    `2026-10-25 02:30 +01:00`
    """
    return f"{wall.astimezone():%Y-%m-%d %H:%M} {utc_offset(wall)}"


def utc_offset(wall: datetime) -> str:
    """Return how far this place's clocks are from UTC at a moment, such as `+02:00`.

    By the daylight saving time of that moment, not of now.
    """
    offset = wall.astimezone().strftime("%z")
    return f"{offset[:3]}:{offset[3:5]}"
