"""`KnownThen`: what was forecast of a cool-down at some moments, with what was known then.

Each forecast is made from the state before the first event after its moment, so nothing
that came later is in it: the figures are those of `pacer cool REC --at`.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from pacer.review.rules.rule import Step
from pacer.session import forecast
from pacer.session.events import Act
from pacer.session.state import State
from pacer.session.track import believed
from pacer.session.work import Phase
from pacer.units import Shown

AFTER_S = (900.0, 3600.0, 7200.0, 14400.0, 28800.0)
"""So long after covering forecasts are made, and one when it was uncovered."""

MOST = 12
"""Forecasts of one recording; a fit takes a hundredth of a second or so."""


_OFF = "uncovering"


class Then(NamedTuple):
    """One forecast of the moment at which the part is cool enough; session times, s."""

    made_s: float
    label: str
    "`15 min`: so long after covering; or `uncovering`."
    temp_c: float | None
    "As read then."
    eta_s: float
    low_s: float
    high_s: float | None
    "80 % lie between; None where no bound can be given."
    curve: tuple[tuple[float, float, float, float], ...]
    "(s, °C, low °C, high °C) from then on; 80 %."

    @property
    def when(self) -> str:
        """When it was made, in words."""
        return f"at {_OFF}" if self.label == _OFF else f"after {self.label}"


class KnownThen:
    """The forecasts of the last cool-down, made while a recording is folded."""

    def __init__(self) -> None:
        self.made: list[Then] = []
        self.covered_s: float | None = None
        "When that cool-down began."
        self.reached_s: float | None = None
        "When the temperature it was forecast for was first read."
        self.reached_c: float | None = None
        "What was read then."
        self.uncovered_s: float | None = None
        "When its cover was taken off before that, and not put back by an undo."
        self.uncovered_c: float | None = None
        "What was read then."
        self._made_in_all = 0
        self._next = 0
        self._due_s = math.inf
        self._before: State | None = None

    def see(self, step: Step) -> None:
        """Make the forecasts whose moment has passed, and note when it was cool enough."""
        event, state, before = step.event, step.state, self._before
        self._before = state
        if before is not None and event is not None:
            while event.known_s > self._due_s:
                self._make(before, self._due_s, _span(AFTER_S[self._next]))
                self._advance()
            early = isinstance(event, Act) and event.deed == "uncovered"
            if early and self.reached_s is None:
                self._make(before, event.t_s, _OFF)
        if state.work.covered_s != self.covered_s:
            self._begin(state.work.covered_s)
        if self.covered_s is not None and self.reached_s is None:
            self._uncovers(state, step.t_s)
            self._follow(state)

    def _begin(self, covered_s: float | None) -> None:
        self.covered_s, self.reached_s, self.made, self._next = covered_s, None, [], 0
        self.uncovered_s = self.uncovered_c = self.reached_c = None
        self._due_s = math.inf if covered_s is None else covered_s + AFTER_S[0]

    def _advance(self) -> None:
        self._next += 1
        assert self.covered_s is not None
        over = self._next >= len(AFTER_S)
        self._due_s = math.inf if over else self.covered_s + AFTER_S[self._next]

    def _uncovers(self, state: State, t_s: float) -> None:
        """Note an uncovering before its time, which makes the cover still air; or its undoing."""
        bare = state.work.cover != state.job.cooldown.cover
        if bare == (self.uncovered_s is not None) or state.phase is not Phase.COOL_DOWN:
            return
        now = believed(state, t_s)
        self.uncovered_s = t_s if bare else None
        self.uncovered_c = now.temp_c if bare and now is not None and not now.side else None

    def _follow(self, state: State) -> None:
        now = believed(state, state.t_s)
        if now is None or now.side > 0 or state.phase not in {Phase.COOL_DOWN, Phase.DONE}:
            return
        if now.temp_c <= state.job.cooldown.until_c:
            self.reached_s, self.reached_c, self._due_s = now.at_s, now.temp_c, math.inf

    def _make(self, state: State, t_s: float, label: str) -> None:
        cooling = state.cooling
        if state.phase is not Phase.COOL_DOWN or self._made_in_all >= MOST:
            return
        if cooling is None or cooling.untimed or not (cooling.bins or cooling.bounds):
            return
        found = forecast.cooldown(state, t_s)
        began_s = state.work.covered_s
        if found is None or began_s is None:
            return
        self._made_in_all += 1
        now = believed(state, t_s)
        self.made.append(
            Then(
                made_s=t_s,
                label=label,
                temp_c=None if now is None else now.temp_c,
                eta_s=began_s + found.eta_s,
                low_s=began_s + found.low_s,
                high_s=None if found.high_s is None else began_s + found.high_s,
                curve=forecast.course(state, found, t_s).curve,
            )
        )


def what_came(then: KnownThen, shown: Shown) -> str:
    """Return what came of a cool-down: uncovered before its time, cool enough, or neither yet."""
    if then.covered_s is None:
        return ""
    cool = ""
    if then.reached_s is not None:
        cool = f"cool enough after {shown.duration(then.reached_s - then.covered_s)}"
    if then.uncovered_s is None:
        return cool or "not cool enough in this recording"
    at = "" if then.uncovered_c is None else f" at {shown.temp_c(then.uncovered_c)}"
    early = f"uncovered after {shown.duration(then.uncovered_s - then.covered_s)}{at}"
    return f"{early}; {cool}, in open air" if cool else early


def _span(after_s: float) -> str:
    return f"{after_s / 60:.0f} min" if after_s < 3600 else f"{after_s / 3600:.0f} h"
