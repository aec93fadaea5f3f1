"""`Course`: what a comparison needs of a recording beside its tables, taken while it is folded."""

from __future__ import annotations

from pacer.review.measured import Measured
from pacer.review.rules.rule import Step
from pacer.session.work import Phase


class Course:
    """What was held and how it cooled; closed once the last event was seen."""

    def __init__(self) -> None:
        self.measured = Measured()
        self.laid = 0
        "Beads of the plan."
        self.covers: list[str] = []
        "In force, one after the other."
        self.to_until_s: float | None = None
        "From covering until it was first as cool as it was to be uncovered at."

    def see(self, step: Step) -> None:
        """Take one event."""
        self.measured.see(step)
        state, work = step.state, step.state.work
        self.laid = work.laid
        if work.cover is not None and self.covers[-1:] != [work.cover]:
            self.covers.append(work.cover)
        cool_s = state.conditions.at_until
        if self.to_until_s is None and state.phase is Phase.COOL_DOWN and cool_s is not None:
            covered_s = work.covered_s if work.covered_s is not None else work.entered_s
            self.to_until_s = round(max(0.0, cool_s - covered_s), 3)

    def close(self) -> None:
        """Take in what the last state holds."""
        self.measured.close()
