"""The sensor: a probe knocked off, and times in which nothing told the temperature."""

from __future__ import annotations

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.blind import Blind
from pacer.review.rules.knocked_off import KnockedOff
from pacer.review.rules.rule import Step
from pacer.session.finding import Finding
from pacer.session.state import State


class Sensor:
    """What the record shows of the instrument that decides."""

    def __init__(self, job: Job) -> None:
        self._parts = (KnockedOff(), Blind(job))

    def see(self, step: Step) -> None:
        """Let both look."""
        for part in self._parts:
            part.see(step)

    def found(self, state: State) -> Capped[Finding]:
        """Return what both found."""
        found: Capped[Finding] = Capped()
        for part in self._parts:
            some = part.found(state)
            found.extend(some)
            found.more += some.more
        return found
