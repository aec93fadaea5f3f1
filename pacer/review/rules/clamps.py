"""Clamps: to be written."""

from __future__ import annotations

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.rule import Step
from pacer.session.finding import Finding
from pacer.session.state import State


class Clamps:
    """To be written."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._found: Capped[Finding] = Capped()

    def see(self, step: Step) -> None:
        """To be written."""

    def found(self, state: State) -> Capped[Finding]:
        """Return them."""
        return self._found
