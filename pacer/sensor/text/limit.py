"""`Limiter`: a source that floods is thinned to the newest line of each 100 ms.

From 20 lines a second on at most 10 records a second are kept, and each says how many
lines before it were left out. Below that every line passes at once, none is held back.
Live ports only; `file:` and `practice:` have no limiter. Pure: the time is an argument.
"""

from __future__ import annotations

from collections import deque

import msgspec

from pacer.session.events import Reading

FLOOD_LINES = 20
FLOOD_S = 1.0
KEEP_S = 0.1


class Limiter:
    """Arrival times of the last lines, and the newest line not yet let through."""

    def __init__(self) -> None:
        self._arrivals: deque[float] = deque(maxlen=FLOOD_LINES)
        self._newest: Reading | None = None
        self._dropped = 0
        self._passed_s = float("-inf")

    def take(self, readings: list[Reading], now_s: float) -> list[Reading]:
        """Return what passes at `now_s`; call it without readings too, so that none is stuck."""
        passing: list[Reading] = []
        for reading in readings:
            self._arrivals.append(now_s)
            if self._newest is not None:
                self._dropped += 1
                self._newest = reading
            elif self._flooded(now_s):
                self._newest = reading
            else:
                passing.append(reading)
                self._passed_s = now_s
        if now_s - self._passed_s >= KEEP_S:
            passing += self.flush()
            self._passed_s = now_s
        return passing

    def flush(self) -> list[Reading]:
        """Return the newest line held, if there is one (the port was lost)."""
        if self._newest is None:
            return []
        newest = msgspec.structs.replace(self._newest, dropped=self._dropped)
        self._newest, self._dropped = None, 0
        return [newest]

    def _flooded(self, now_s: float) -> bool:
        return len(self._arrivals) == FLOOD_LINES and now_s - self._arrivals[0] < FLOOD_S
