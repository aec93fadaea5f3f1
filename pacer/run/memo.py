"""Forecasts, remembered between draws: one costs milliseconds, four draws a second must not."""

from __future__ import annotations

from pacer.screen.desk import Snapshot
from pacer.screen.parts.ahead import Foreseen
from pacer.session.forecast import Cooldown, Course, Outlook, cooldown, course, outlook
from pacer.session.work import Phase

COOL_EVERY_S, PAUSE_EVERY_S = 15.0, 1.0
"""Forecasts are made anew after so much session time, or when there is news."""

_COVERED = frozenset({Phase.COOL_DOWN, Phase.DONE})
# While the arc burns nothing but the bead is shown.
_SILENT = frozenset({Phase.PREPARE, Phase.TACK, Phase.BEAD, Phase.PEEN, Phase.LOOK, Phase.BURY})


class Foresight:
    """Callable: snapshot -> what is forecast for it."""

    def __init__(self) -> None:
        self._cool_key: tuple[float, int, float] | None = None
        self._cool: Cooldown | None = None
        self._course: Course | None = None
        self._pause_key: tuple[Phase, float, float] | None = None
        self._pause: Outlook | None = None
        self._made_s = 0.0

    def __call__(self, snapshot: Snapshot) -> Foreseen:
        """Return the forecasts for this snapshot's state."""
        phase = snapshot.state.phase
        if phase in _COVERED:
            cool = self._cooldown(snapshot)
            return Foreseen(cool=cool, course=None if cool is None else self._course)
        if phase in _SILENT:
            return Foreseen()
        return Foreseen(pause=self._outlook(snapshot), made_s=self._made_s)

    def _cooldown(self, snapshot: Snapshot) -> Cooldown | None:
        cooling = snapshot.state.cooling
        if cooling is None or snapshot.state.work.covered_s is None:
            return None
        # A bin more is news; without one the forecast only grows older.
        key = (cooling.start_s, len(cooling.bins), snapshot.t_s // COOL_EVERY_S)
        if key != self._cool_key:
            self._cool_key, self._cool = key, cooldown(snapshot.state, snapshot.t_s)
            if self._cool is not None:
                self._course = course(snapshot.state, self._cool, snapshot.t_s)
        return self._cool

    def _outlook(self, snapshot: Snapshot) -> Outlook | None:
        work = snapshot.state.work
        key = (work.phase, work.entered_s, snapshot.t_s // PAUSE_EVERY_S)
        if key != self._pause_key:
            self._pause_key, self._made_s = key, snapshot.t_s
            self._pause = outlook(snapshot.state, snapshot.t_s)
        return self._pause
