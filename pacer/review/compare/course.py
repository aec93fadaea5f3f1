"""`Course`: what a comparison needs of a recording beside its tables, taken while it is folded."""

from __future__ import annotations

from pacer.job.job import Job
from pacer.review.measured import Measured
from pacer.review.rules.rule import Step
from pacer.session.state import State


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
        self._cover_s: float | None = None
        "When the cover was put on that this is of."
        self._covers_then: tuple[str, ...] = ()
        "Before the last press."
        self._before: State | None = None

    def see(self, step: Step) -> None:
        """Take one event."""
        self.measured.see(step)
        before, state = self._before, step.state
        self._before = state
        if before is None or state.work is not before.work:
            self._covered(before, state)
        cool = self.measured.cool
        if cool.covered_at_s != self._cover_s:
            self._cover_s, self.to_until_s = cool.covered_at_s, None
        cool_s = state.conditions.at_until
        if cool.covered_at_s is None or cool_s is None or self.to_until_s is not None:
            return
        if cool.covered_s is None and covers(state.job):
            self.to_until_s = round(max(0.0, cool_s - cool.covered_at_s), 3)

    def _covered(self, before: State | None, state: State) -> None:
        """Take the cover in force; one that is undone never was."""
        if before is not None and state.undone > before.undone:
            self.covers = list(self._covers_then)
        elif before is not None and state.undo is not before.undo:
            self._covers_then = tuple(self.covers)
        cover = state.work.cover
        if cover is not None and self.covers[-1:] != [cover]:
            self.covers.append(cover)

    def close(self) -> None:
        """Take in what the last state holds."""
        self.measured.close()
        self.laid = 0 if self._before is None else self._before.work.laid


def covers(job: Job) -> bool:
    """True where a job has its part cool under something: a cold repair has nothing to wait for."""
    return job.method == "hot" and job.cooldown.cover != "still air"
