"""What an event tells by itself: a crack, a tink, time nobody watched."""

from __future__ import annotations

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.rule import Step
from pacer.session.events import Act, ClockGap, GapBy
from pacer.session.filled import as_is
from pacer.session.finding import Finding
from pacer.session.state import State

KNOWN_BY: dict[GapBy, str] = {
    "steady": "",
    "wall": ", by the wall clock",
    "said": ", by the welder's word",
    "unknown": "",
}


class Watched:
    """Takes what was said and missed, as it comes."""

    def __init__(self, job: Job) -> None:
        self._found: Capped[Finding] = Capped()

    def see(self, step: Step) -> None:
        """Take cracks, tinks and gaps."""
        event = step.event
        if isinstance(event, Act) and event.deed in {"crack", "tink"}:
            name = "crack reported" if event.deed == "crack" else "tink heard"
            words = as_is(event.text or name)
            found = Finding(name=name, t_s=event.t_s, record=step.record, words=words)
            self._found.add(found)
        if isinstance(event, ClockGap):
            length = f"{{gap_s}} without a record{KNOWN_BY[event.by]}"
            if event.by == "unknown":
                length = "for how long is not known"
            self._found.add(
                Finding(
                    name="nobody watched",
                    t_s=event.t_s,
                    to_s=max(event.to_s, event.t_s),
                    record=step.record,
                    words=f"{length}: {as_is(event.why)}",
                    values={"gap_s": round(event.to_s - event.t_s, 3)},
                )
            )

    def found(self, state: State) -> Capped[Finding]:
        """Return them."""
        return self._found
