"""A probe that the blows took off the part, or that slipped from under its cover, and the answer.

The question itself is `session/guard/steps.py`'s and `covered.py`'s; here is what came of it.
"""

from __future__ import annotations

from dataclasses import dataclass

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.laid_before import laid_before
from pacer.review.rules.rule import Step, ours
from pacer.session.cues import CueKind
from pacer.session.events import Act
from pacer.session.evidence import Doubt
from pacer.session.finding import Finding, Weight
from pacer.session.guard.steps import BACK_DC, KNOCKED_OFF_DC
from pacer.session.state import State, Track
from pacer.session.track import SILENCE_PACED_S, SILENCE_TOLD_S
from pacer.session.work import Phase


@dataclass(slots=True)
class _Fall:
    """A fall of the deciding channel that asks whether the probe is still on."""

    doubt: Doubt
    record: int
    covered: bool
    typed_c: float | None = None
    "Measured by hand while it was asked."
    lowest_c: float | None = None
    "The coldest that it read while it was asked."


class KnockedOff:
    """Follows the question from the line that raised it to its answer."""

    def __init__(self, job: Job) -> None:
        self._asked: _Fall | None = None
        self._over: Capped[tuple[_Fall, float, Weight, str]] = Capped()

    def see(self, step: Step) -> None:
        """Take the question as it is raised and as it ends."""
        control, asked = step.state.control, self._asked
        if control is None or (control.doubt is None and asked is None):
            # Taken up again nobody knows of a channel until it speaks.
            return
        doubt = _unanswered(control)
        if asked is not None:
            if isinstance(step.event, Act) and step.event.joint_reading:
                asked.typed_c = step.event.temp_c
            if doubt is not None and doubt.since_s == asked.doubt.since_s:
                if control.value_c is not None:
                    asked.lowest_c = min(asked.lowest_c or control.value_c, control.value_c)
                return
            self._end(asked, step.t_s, *_answer(asked, step, control))
        self._asked = None
        if doubt is not None:
            self._asked = _Fall(doubt, step.record, step.state.phase is Phase.COOL_DOWN)

    def _end(self, fall: _Fall, t_s: float, weight: Weight, how: str) -> None:
        lasted_s = t_s - fall.doubt.since_s
        if fall.covered and lasted_s < SILENCE_PACED_S:
            # Put right at once as the part was covered: nobody was asked either.
            return
        self._over.add((fall, t_s, weight, how))

    def found(self, state: State) -> Capped[Finding]:
        """Return a finding for each fall; one that is still asked about is one nobody answered."""
        if self._asked is not None:
            self._end(self._asked, state.t_s, "finding", "nobody answered before the record's end")
        found: Capped[Finding] = Capped()
        found.extend(_finding(state, *over) for over in self._over)
        found.more += self._over.more
        return found


def _unanswered(control: Track) -> Doubt | None:
    doubt = control.doubt
    asks = doubt is not None and doubt.kind is CueKind.PROBE_OFF and not doubt.accepted
    return doubt if asks else None


def _answer(asked: _Fall, step: Step, control: Track) -> tuple[Weight, str]:
    """Return what the answer makes of the fall, and the answer in words."""
    event, lasted_s = step.event, step.t_s - asked.doubt.since_s
    if control.taken is CueKind.PROBE_OFF:
        return "finding", "nobody answered, and after {lasted_s} it was taken as it read"
    if isinstance(event, Act) and event.deed in {"next", "uncovered"}:
        return "note", "the welder pressed after {lasted_s}: right as it read"
    if isinstance(event, Act) and event.joint_reading:
        return "note", "{typed_c} was measured by hand after {lasted_s}, as it read"
    was_c, now_c = asked.doubt.was_c, control.value_c
    if was_c is not None and now_c is not None and abs(now_c - was_c) <= BACK_DC:
        # So short it may as well have been a loose plug.
        brief = lasted_s < SILENCE_TOLD_S
        return "note" if brief else "finding", "back where it was after {lasted_s}"
    return (
        "finding",
        "after {lasted_s} it ended unanswered",
    )


def _finding(state: State, fall: _Fall, t_s: float, weight: Weight, how: str) -> Finding:
    doubt = fall.doubt
    values = {**doubt.values, "lasted_s": round(t_s - doubt.since_s, 3)}
    measured = ""
    if fall.typed_c is not None:
        values["typed_c"] = fall.typed_c
        measured = "" if "{typed_c}" in how else "; meanwhile {typed_c} was measured by hand"
    if fall.lowest_c is not None and fall.lowest_c < values["now_c"]:
        values["now_c"] = round(fall.lowest_c, 1)
    fell_dc = round(values["was_c"] - values["now_c"], 1)
    values["fell_dc"] = fell_dc
    before = () if fall.covered else laid_before(state.work.beads, doubt.since_s)
    after = ""
    if before:
        values["bead"] = before[-1].number
        after = ", after bead {bead}"
    limit = None
    if not fall.covered:
        values["allowed_dc"] = KNOCKED_OFF_DC
        limit = ours("a fall in the peen or soon after it is asked about from", "allowed_dc")
    return Finding(
        name="probe knocked off",
        t_s=doubt.since_s,
        to_s=t_s,
        record=fall.record,
        words=f"the reading {doubt.because}{after}; {how}{measured}",
        values=values,
        weight=weight,
        limit=limit,
        times=round(fell_dc / KNOCKED_OFF_DC, 2) if limit else None,
    )
