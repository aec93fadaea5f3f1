"""Under the cover: taken off before its time. A normal burial in any cover makes no finding."""

from __future__ import annotations

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.rule import Step, of_job
from pacer.session.cues import CueKind
from pacer.session.finding import Finding
from pacer.session.state import State


class Cover:
    """What the cues of the cool-down should show again."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._found: Capped[Finding] = Capped()

    def see(self, step: Step) -> None:
        """Take an early uncovering, as it was told."""
        for cue in step.cues:
            if cue.kind is CueKind.UNCOVERED_EARLY:
                self._found.add(
                    Finding(
                        name="uncovered early",
                        t_s=cue.t_s,
                        record=step.record,
                        words="uncovered at {temp_c} at the probe, planned not before {until_c}",
                        values=cue.values,
                        limit=of_job(self._job, "cooldown.until", "until_c"),
                    )
                )

    def found(self, state: State) -> Capped[Finding]:
        """Return them."""
        return self._found
