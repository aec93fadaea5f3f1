"""Tacks that cracked: seen while tacking, at the look after the preheat, or at a later look."""

from __future__ import annotations

import re
from collections.abc import Iterator

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.rule import Step
from pacer.session.events import Act, Inspection, Outcome
from pacer.session.filled import as_is
from pacer.session.finding import Finding
from pacer.session.state import State
from pacer.session.work import Phase

_A_TACK = re.compile(r"\btacks?\b", re.IGNORECASE)

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
    """Takes what was said of a tack, as it comes."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._found: Capped[Finding] = Capped()

    def see(self, step: Step) -> None:
        """Take a crack at the tacks, an outcome or an imperfection at one."""
        event = step.event
        if isinstance(event, Act):
            if at_tacks(step):
                self._found.add(self._seen(step, event))
        elif isinstance(event, Outcome | Inspection):
            for words in _said(event):
                self._found.add(Finding("tack cracked", step.t_s, words, record=step.record))

    def _seen(self, step: Step, act: Act) -> Finding:
        tacking = step.state.phase is Phase.TACK
        when = "while tacking" if tacking else "at the look after the preheat"
        said = f": {as_is(act.text)}" if act.text else ""
        places = self._job.facts.get("joint.tack_places")
        stand = f"; the tacks: {as_is(places)}" if places else ""
        return Finding(
            name="tack cracked",
            t_s=act.t_s,
            record=step.record,
            words=f"marked {when}{said}{stand}",
            against=_COLD_TACKS if tacking and self._job.joint.tack == "cold" else (),
        )

    def found(self, state: State) -> Capped[Finding]:
        """Return them."""
        return self._found


def _said(event: Outcome | Inspection) -> Iterator[str]:
    """Yield each crack at a tack that a later look found, in the record's words."""
    if isinstance(event, Outcome):
        if event.found == "crack" and event.at == "tack":
            said = f": {as_is(event.text)}" if event.text else ""
            yield f"a crack at a tack {event.when or 'found later'}{said}"
        return
    for one in event.imperfections:
        # Cracks are group 1 of ISO 6520-1.
        if str(one.number).startswith("1") and _A_TACK.search(one.place):
            yield f"{as_is(one.name)} found by {event.look}: {as_is(one.place)}"
