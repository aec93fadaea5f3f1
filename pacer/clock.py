"""Session clocks: seconds since the session's zero, and wall time beside them.

`CLOCK_BOOTTIME` counts through suspend on Linux. Elsewhere `time.monotonic` is used, which
may pause in a suspend (PEP 418 leaves that undefined): the driver then records that the
wall clock stepped, and session time falls short by the sleep. Not mended yet.
"""

from __future__ import annotations

import time
from datetime import UTC, datetime
from typing import Protocol


class Clock(Protocol):
    """What the driver and live sources ask for the time."""

    name: str

    def now_s(self) -> float:
        """Return session time, s."""

    def wall(self) -> datetime:
        """Return wall time, UTC."""


class BootClock:
    """The machine's steady clock, from `zero_s` at construction."""

    def __init__(self, zero_s: float = 0.0) -> None:
        self.name = "boottime" if hasattr(time, "CLOCK_BOOTTIME") else "monotonic"
        self._start_s = self._steady_s() - zero_s

    @staticmethod
    def _steady_s() -> float:
        if hasattr(time, "CLOCK_BOOTTIME"):
            return time.clock_gettime(time.CLOCK_BOOTTIME)
        return time.monotonic()

    def now_s(self) -> float:
        """Return session time, s."""
        return self._steady_s() - self._start_s

    def wall(self) -> datetime:
        """Return wall time, UTC."""
        return datetime.now(UTC)
