"""The list before the heat: what of it nobody confirmed. For the record, and never nagged about."""

from __future__ import annotations

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.rule import Step
from pacer.session.events import SKIPPED, Act
from pacer.session.filled import as_is
from pacer.session.finding import Finding
from pacer.session.state import State
from pacer.session.work import Phase


class Cautions:
    """Takes the last answer of each stay in PREPARE; headless, and before 1.4, nobody was asked."""

    def __init__(self, job: Job) -> None:
        self._said: tuple[int, Act] | None = None
        "Record number and answer of this stay's list, as it was last said."
        self._preparing = True
        self._found: Capped[Finding] = Capped()

    def see(self, step: Step) -> None:
        """Take an answer; another day's list is another one, after an undo it is the same."""
        event, preparing = step.event, step.state.phase is Phase.PREPARE
        if preparing is not self._preparing:
            self._preparing = preparing
            undone = isinstance(event, Act) and event.deed == "undo"
            if preparing and not undone:
                self._conclude()
        if isinstance(event, Act) and event.deed == "prepared":
            self._said = step.record, event

    def _conclude(self) -> None:
        said, self._said = self._said, None
        if said is None or not said[1].text:
            return
        record, act = said
        skipped = act.text == SKIPPED
        words = "the list before the heat was skipped" if skipped else as_is(act.text or "")
        self._found.add(
            Finding("cautions not confirmed", act.t_s, words, weight="note", record=record)
        )

    def found(self, state: State) -> Capped[Finding]:
        """Return them."""
        self._conclude()
        return self._found
