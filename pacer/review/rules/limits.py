"""Times outside the band: too hot in the flame, cooled through between beads."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.rule import Step, of_job
from pacer.session.excursion import Excursion, follow
from pacer.session.finding import Finding
from pacer.session.state import State

COOLED_THROUGH_S = 60.0
"""Below the floor this long between beads is "cooled through" (procedure.md section 7 says
minutes; the figure is common practice, no source)."""

TOO_HOT_S = 10.0
"""Shorter excursions above the ceiling make no finding. Common practice, no source."""


class Limits:
    """Follows the excursions; one that was long enough is a finding."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._running: list[Excursion] = []
        self._record = 0
        self._found: Capped[Finding] = Capped()

    def see(self, step: Step) -> None:
        """Follow; only the one that goes on is kept."""
        had = bool(self._running)
        follow(self._running, step.state, step.t_s)
        if self._running and not had:
            self._record = step.record
        while self._running and self._running[0].over:
            self._found.extend(self._of(self._running.pop(0)))
            self._record = step.record

    def found(self, state: State) -> Capped[Finding]:
        """Return those that mattered, the running one among them."""
        for excursion in self._running:
            self._found.extend(self._of(excursion))
        return self._found

    def _of(self, excursion: Excursion) -> Iterator[Finding]:
        lasted_s = round(excursion.to_s - excursion.from_s, 3)
        if excursion.peak_c is None:
            return
        values, band = {"lasted_s": lasted_s, "peak_c": round(excursion.peak_c, 1)}, self._job.band
        if excursion.kind == "below the floor" and lasted_s >= COOLED_THROUGH_S:
            assert band.floor_c is not None
            yield Finding(
                name="cooled through",
                t_s=excursion.from_s,
                to_s=excursion.to_s,
                record=self._record,
                words="below the floor {floor_c} for {lasted_s} between beads, down to {peak_c}",
                values={**values, "floor_c": band.floor_c},
                limit=of_job(self._job, "band.floor", "floor_c"),
                times=round(lasted_s / COOLED_THROUGH_S, 2),
            )
        if excursion.kind == "above the ceiling" and lasted_s >= TOO_HOT_S:
            yield Finding(
                name="above the ceiling",
                t_s=excursion.from_s,
                to_s=excursion.to_s,
                record=self._record,
                words="above the ceiling {ceiling_c} for {lasted_s}, up to {peak_c}",
                values={**values, "ceiling_c": band.ceiling_c},
                limit=of_job(self._job, "band.ceiling", "ceiling_c"),
                times=round(lasted_s / TOO_HOT_S, 2),
            )
