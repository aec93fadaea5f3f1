"""Clamps: loosened before the part cools, so that it can shrink (R10); or said so only later."""

from __future__ import annotations

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.rule import Step, ours
from pacer.session.events import Act
from pacer.session.filled import as_is
from pacer.session.finding import Finding
from pacer.session.state import State
from pacer.session.track import believed
from pacer.session.work import Phase

SAID_LATE_S = 60.0
"""Loosened, covered, and only then said: so soon after the cover it was one turn of hands. Common
practice, no source."""

CLAMPS = "joint.clamps"

_SINCE_1_5 = "cooldown.max_spread"
"""Jobs have said where this key is from since the format in which `loosened` can be recorded: in an
older recording nobody could say it."""

_COOLING = frozenset({Phase.COOL_DOWN, Phase.DONE})


class Clamps:
    """Follows the cool-down that goes on, and what is said of the clamps."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._covered: Step | None = None
        "What began the cool-down that goes on."
        self._loose = False
        "Said, before or in the cool-down that goes on."
        self._late: Finding | None = None
        self._found: Capped[Finding] = Capped()

    def see(self, step: Step) -> None:
        """Take the cover, and what is said of the clamps."""
        if (step.state.phase in _COOLING) is not (self._covered is not None):
            self._turn_to(step)
        event = step.event
        if isinstance(event, Act) and event.deed == "loosened" and not self._loose:
            self._loose = True
            if self._covered is not None:
                self._late = _judged(step, round(event.t_s - self._covered.t_s, 3))

    def _turn_to(self, step: Step) -> None:
        if self._covered is None:
            self._covered = step
            return
        undone = isinstance(step.event, Act) and step.event.deed == "undo"
        if not undone:
            # A long stop is over, and the clamps may be on again.
            self._keep()
            self._loose = False
        self._covered = self._late = None

    def _keep(self) -> None:
        if self._late is not None:
            self._found.add(self._late)

    def found(self, state: State) -> Capped[Finding]:
        """Return what was said late, or a note that nothing was."""
        self._keep()
        covered, facts = self._covered, self._job.facts
        imported = covered is not None and covered.event is None
        could_say = _SINCE_1_5 in self._job.origin and not imported
        if covered is not None and not self._loose and CLAMPS in facts and could_say:
            self._found.add(
                Finding(
                    name="clamps not confirmed loose",
                    t_s=covered.t_s,
                    record=covered.record,
                    words="covered, and nobody said that they were loosened before: "
                    f"{as_is(facts[CLAMPS])}",
                    weight="note",
                )
            )
        return self._found


def _judged(step: Step, after_s: float) -> Finding | None:
    """Return the finding that the clamps were loosened so long after the cover, or None."""
    if after_s <= SAID_LATE_S:
        return None
    now = believed(step.state, step.t_s)
    values = {"after_s": after_s, "allowed_s": SAID_LATE_S}
    at = ""
    if now is not None:
        values["temp_c"] = round(now.temp_c, 1)
        at = ", at {temp_c}"
    return Finding(
        name="clamps left on",
        t_s=round(step.t_s - after_s, 3),
        to_s=step.t_s,
        record=step.record,
        words=f"said to be loosened {{after_s}} after it was covered{at}",
        values=values,
        limit=ours("who loosened them before the cover says so within", "allowed_s"),
    )
