"""`Course`: what a comparison needs of a recording beside its tables, taken while it is folded."""

from __future__ import annotations

from pacer.job.job import Job
from pacer.review.measured import Measured
from pacer.review.rules.rule import Step
from pacer.session.work import Work


class Course:
    """What was held and how it cooled; closed once the last event was seen."""

    def __init__(self) -> None:
        self.measured = Measured()
        self.laid = 0
        "Beads of the plan."
        self.covers: list[str] = []
        "In force, one after the other."
        self.to_until_s: float | None = None
        """From covering until it was first as cool as it was to be uncovered at; None where it was
        uncovered before, and where nothing was to cover it."""
        self._work: Work | None = None

    def see(self, step: Step) -> None:
        """Take one event."""
        self.measured.see(step)
        state = step.state
        if state.work is not self._work:
            self._work = state.work
            if state.work.cover is not None and self.covers[-1:] != [state.work.cover]:
                self.covers.append(state.work.cover)
        covered_s, cool_s = self.measured.covered_at_s, state.conditions.at_until
        if covered_s is None or cool_s is None or self.to_until_s is not None:
            return
        if self.measured.covered_s is None and covers(state.job):
            self.to_until_s = round(max(0.0, cool_s - covered_s), 3)

    def close(self) -> None:
        """Take in what the last state holds."""
        self.measured.close()
        self.laid = 0 if self._work is None else self._work.laid


def covers(job: Job) -> bool:
    """True where a job has its part cool under something: a cold repair has nothing to wait for."""
    return job.method == "hot" and job.cooldown.cover != "still air"
