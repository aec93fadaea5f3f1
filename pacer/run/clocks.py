"""Two clocks beside each other: what of their difference is a sleep, what a clock that was set."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from pacer.clock import UNSURE, Clock
from pacer.session.events import GapBy

BEAT_S = 1.0
"""How long a live driver may sleep: the log and the clocks are looked at so often."""

GAP_S = 5.0
"""A live driver that slept longer than this beyond its beat has missed time. By so much a wall
clock is ahead, all at once, of a steady one that may not count through a suspend, before that
is taken for a sleep."""

WALL_STEP_S = 2.0
"A wall clock set by more than that is news."


@dataclass(frozen=True, slots=True)
class Look:
    """What the clocks say since the last look."""

    now_s: float
    "Session time."
    wall: datetime
    missed: GapBy | None
    "How time that nobody watched is known; None: there was none."
    asleep_s: float
    "What was heard up to this session time came in before the sleep."
    step_s: float
    "By how much the wall clock was set; 0 where that is no news."


class Clocks:
    """Looked at once a beat."""

    def __init__(self, clock: Clock, now: Callable[[], float]) -> None:
        """`now` is the source's word for session time, which moves with `clock`."""
        self._clock = clock
        self._now = now
        self._awake_s = now()
        self._wall_at: tuple[datetime, float] | None = None

    def look(self) -> Look:
        """Look at both; a sleep that the steady clock did not count moves it on."""
        now_s, wall, step_s = self._now(), self._clock.wall(), 0.0
        if self._wall_at is not None:
            before, before_s = self._wall_at
            step_s = (wall - before).total_seconds() - (now_s - before_s)
        missed: GapBy | None = None
        if step_s > GAP_S and self._clock.name == UNSURE:
            self._clock.skip(step_s)
            now_s, step_s, missed = self._now(), 0.0, "wall"
        elif now_s - self._awake_s > BEAT_S + GAP_S:
            missed = "steady"
        asleep_s = self._awake_s + BEAT_S
        self._awake_s, self._wall_at = now_s, (wall, now_s)
        step_s = step_s if abs(step_s) > WALL_STEP_S else 0.0
        return Look(now_s, wall, missed, asleep_s, round(step_s, 3))
