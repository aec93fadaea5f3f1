"""The part turned over, and a reading that shows no trace of the probe being taken off and fixed anew.

The sensor is fixed anew when the part is turned (procedure.md section 5). A probe off the part
falls by what the air takes from it, or is silent; one that did neither from before the turn to
the next arc was, as far as readings show, not lifted.
"""

from __future__ import annotations

import math
from collections import deque
from dataclasses import dataclass

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.limits import ARC_HEAT_S
from pacer.review.rules.rule import Step, ours
from pacer.session.events import Act, AnyEvent, ClockGap, Reading, Resumed, SensorChanged
from pacer.session.finding import Finding
from pacer.session.guard.steps import FLAME_GONE_S
from pacer.session.state import State
from pacer.session.timers import after
from pacer.session.track import BAD_IN_A_ROW, silent_after_s
from pacer.session.work import HEATING

LIFTED_SHARE = 0.04
LIFTED_LEAST_DC = 3.0
LIFTED_WITHIN_S = 10.0
"""A reading that moves by more than this share of what it is above the room within ten seconds may
be a probe's that was lifted: 10 K at 260 °C. In still air a sheath of 3 mm falls by some 8 % in
that time and a bare plate of 12 mm by 1 % (calculated); a hand that is quick keeps it off for less.
Common practice, no source."""

SAID_LATE_S = 30.0
"""He may say it only once the part lies on its other side. Common practice, no source."""

HOT_DC = 30.0
"""A probe lifted off a part nearer to the room's temperature shows nothing. Judgement."""

_EVERY_S = 2.5
_KEPT = 5

AGAINST = ("readings can't show how a probe is held, nor on which side of the part it is",)


@dataclass(frozen=True, slots=True)
class _Turn:
    t_s: float
    record: int
    beads: int
    "How many had been struck by then."
    temp_c: float
    lifted_dc: float


class Turned:
    """Watches the reading for a trace, and asks for one at the first arc after a turn."""

    def __init__(self, job: Job) -> None:
        self._room_c = job.cooldown.ambient_c
        self._values: deque[tuple[float, float]] = deque(maxlen=_KEPT)
        "(s, °C) of the last seconds."
        self._first_s: float | None = None
        "When the first value came."
        self._at_s = 0.0
        "When the last one came."
        self._trace_s: float | None = None
        "When the probe was last seen to be off, or may have been."
        self._turn: _Turn | None = None
        self._without: tuple[_Turn, float] | None = None
        "A turn without a trace, and when the arc after it came; that bead may yet be undone."
        self._beads = 0
        self._found: Capped[Finding] = Capped()

    def see(self, step: Step) -> None:
        """Take one event; most are readings."""
        event, state = step.event, step.state
        if isinstance(event, Reading):
            self._heard(state, event.t_s)
        elif isinstance(event, Act):
            if event.deed == "turned":
                self._turned(step)
        elif event is not None and _breaks_off(event):
            self._trace_s = event.known_s
        count = len(state.work.beads)
        if count != self._beads:
            if self._turn is not None and count == self._turn.beads + 1:
                self._struck(state, self._turn, step.t_s)
            self._beads = count

    def _heard(self, state: State, t_s: float) -> None:
        control = state.control
        if control is None or control.value_c is None:
            return
        if control.at_s != t_s:
            if control.bad >= BAD_IN_A_ROW:
                self._trace_s = t_s
            return
        if self._first_s is None:
            self._first_s = t_s
        elif t_s - self._at_s > silent_after_s(state.sensor):
            self._trace_s = t_s
        self._at_s = t_s
        if not self._values or t_s - self._values[-1][0] >= _EVERY_S:
            self._compare(state, t_s, control.value_c)

    def _compare(self, state: State, t_s: float, temp_c: float) -> None:
        """Lay a value beside those before it; a rise in a flame, or after an arc, is theirs."""
        warmed_s = _warmed_until_s(state, t_s)
        for at_s, was_c in self._values:
            moved_dc = temp_c - was_c
            near = t_s - at_s <= LIFTED_WITHIN_S or at_s == self._values[-1][0]
            warmed = moved_dc > 0.0 and at_s < warmed_s
            if near and not warmed and abs(moved_dc) > self._lifted_dc(was_c):
                self._trace_s = t_s
        self._values.append((t_s, temp_c))

    def _lifted_dc(self, temp_c: float) -> float:
        return max(LIFTED_SHARE * (temp_c - self._room_c), LIFTED_LEAST_DC)

    def _turned(self, step: Step) -> None:
        self._conclude(step.state)
        control = step.state.control
        self._turn = None
        if control is None or control.value_c is None:
            return
        temp_c = control.value_c
        if temp_c - self._room_c >= HOT_DC:
            beads = len(step.state.work.beads)
            lifted_dc = round(self._lifted_dc(temp_c), 1)
            self._turn = _Turn(step.t_s, step.record, beads, round(temp_c, 1), lifted_dc)

    def _struck(self, state: State, turn: _Turn, t_s: float) -> None:
        """Judge the time from just before a turn to the arc after it."""
        from_s = turn.t_s - SAID_LATE_S
        unbroken = self._first_s is not None and self._first_s <= from_s
        unbroken &= t_s - self._at_s <= silent_after_s(state.sensor)
        unbroken &= state.conditions.typed is False
        moved = self._trace_s is not None and self._trace_s >= from_s
        self._without = (turn, t_s) if unbroken and not moved else None

    def _conclude(self, state: State) -> None:
        """Take what the last turn came to, if the bead after it was not undone."""
        without, self._without, beads = self._without, None, state.work.beads
        if without is None:
            return
        turn, struck_s = without
        if len(beads) <= turn.beads:
            return
        bead = beads[turn.beads]
        self._found.add(
            Finding(
                name="turned, probe not fixed anew",
                t_s=turn.t_s,
                to_s=struck_s,
                record=turn.record,
                words="turned at {temp_c}; up to bead {bead}, {quiet_s} later, the reading was "
                "never lost and moved by no more than {lifted_dc} in {within_s}",
                values={
                    "temp_c": turn.temp_c,
                    "bead": bead.number,
                    "quiet_s": round(struck_s - turn.t_s, 3),
                    "lifted_dc": turn.lifted_dc,
                    "within_s": LIFTED_WITHIN_S,
                },
                limit=ours("a lifted probe's reading moves by more than", "lifted_dc"),
                against=AGAINST,
            )
        )

    def found(self, state: State) -> Capped[Finding]:
        """Return the turns without a trace; one with no arc after it tells nothing."""
        self._conclude(state)
        return self._found


def _warmed_until_s(state: State, t_s: float) -> float:
    """Return until when a flame, or an arc's heat going by, may have raised what is read, s."""
    heated_s, last = state.work.heated_s, state.work.bead
    if state.phase in HEATING or (last is not None and last.ended_s is None):
        return t_s
    flame_s = -math.inf if heated_s is None else after(heated_s, FLAME_GONE_S)
    arc_s = -math.inf if last is None or last.ended_s is None else after(last.ended_s, ARC_HEAT_S)
    return max(flame_s, arc_s)


def _breaks_off(event: AnyEvent) -> bool:
    """True for news after which the probe may have been fixed anew."""
    lost = isinstance(event, SensorChanged) and event.state in {"opened", "lost", "closed"}
    return lost or isinstance(event, ClockGap | Resumed)
