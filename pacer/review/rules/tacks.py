"""Tacks: cracks that were marked at them in the session, and the look at them that had no time.

What a later look finds at a tack is the outcome itself, and no finding that explains it.
"""

from __future__ import annotations

from collections.abc import Iterator

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.bead_marks import BeadMarks
from pacer.review.rules.rule import Step, ours
from pacer.session.cues import CueKind
from pacer.session.events import Act
from pacer.session.filled import as_is
from pacer.session.finding import Finding
from pacer.session.state import State
from pacer.session.work import Phase

LOOK_S = 10.0
"From LOOK AT TACKS to the first arc: in less nobody looks. Common practice, no source."

_COLD_TACKS = (
    "cold tacks may crack, and it doesn't matter so long as the piece stayed put until the part "
    "was hot (R08)",
)


def at_tacks(step: Step) -> bool:
    """True for a crack that was marked at the tacks: while tacking, or at the look after the preheat."""
    event, state = step.event, step.state
    if not (isinstance(event, Act) and event.deed == "crack"):
        return False
    looked_at = state.phase is Phase.SOAK and state.work.tacked and not state.work.beads
    return state.phase is Phase.TACK or looked_at


class Tacks:
    """Takes what was said of a tack, as it comes, and when the look at them was called."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._marks = BeadMarks()
        self._called_s: float | None = None
        self._found: Capped[Finding] = Capped()

    def see(self, step: Step) -> None:
        """Take a crack at the tacks, and the first call to look at them."""
        self._marks.see(step)
        event = step.event
        if isinstance(event, Act) and at_tacks(step):
            self._found.add(self._seen(step, event))
        for cue in step.cues:
            if cue.kind is CueKind.LOOK_AT_TACKS and self._called_s is None:
                self._called_s = cue.t_s

    def _seen(self, step: Step, act: Act) -> Finding:
        tacking = step.state.phase is Phase.TACK
        cold = tacking and self._job.joint.tack == "cold"
        when = "while tacking" if tacking else "at the look after the preheat"
        said = f": {as_is(act.text)}" if act.text else ""
        places = self._job.facts.get("joint.tack_places")
        stand = f"; the tacks: {as_is(places)}" if places else ""
        return Finding(
            name="tack cracked",
            t_s=act.t_s,
            record=step.record,
            words=f"marked {when}{said}{stand}",
            weight="note" if cold else "finding",
            against=_COLD_TACKS if cold else (),
        )

    def found(self, state: State) -> Capped[Finding]:
        """Return them, and a look that had no time."""
        found: Capped[Finding] = Capped()
        found.take(self._found)
        found.extend(self._not_looked_at(state))
        return found

    def _not_looked_at(self, state: State) -> Iterator[Finding]:
        """Yield a first bead on cold tacks that came before the look, or right after its call."""
        job = self._job
        if job.joint.tack != "cold" or job.method != "hot" or not state.work.tacked:
            return
        for index, bead in enumerate(state.work.beads):
            if not bead.counted:
                continue
            called_s, since = self._called_s, "before the look at the tacks was called"
            values = {"bead": bead.number, "allowed_s": LOOK_S}
            if called_s is not None and called_s <= bead.started_s:
                values["after_s"] = round(bead.started_s - called_s, 3)
                since = "{after_s} after the look at the tacks was called"
            if values.get("after_s", 0.0) < LOOK_S:
                yield Finding(
                    name="no time to look at the tacks",
                    t_s=bead.started_s,
                    record=self._marks[index].started,
                    words=f"bead {{bead}} was struck {since}",
                    values=values,
                    weight="note",
                    limit=ours("a look at the tacks takes at least", "allowed_s"),
                )
            return
