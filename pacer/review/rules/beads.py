"""Beads: at what temperature each was struck, and how its arc ended."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.rule import Step, of_job, ours
from pacer.session.finding import Finding
from pacer.session.phases.bead import LOST_SHARE
from pacer.session.state import State


class Beads:
    """What the beads' starts and ends show; an undone one is none."""

    def __init__(self, job: Job) -> None:
        self._job = job

    def see(self, step: Step) -> None:
        """The beads stand in the last state."""

    def found(self, state: State) -> Capped[Finding]:
        """Return what each bead shows."""
        found: Capped[Finding] = Capped()
        found.extend(self._of(state))
        return found

    def _of(self, state: State) -> Iterator[Finding]:
        ceiling_c = self._job.band.ceiling_c
        for bead in state.work.beads:
            if bead.start_c is not None and bead.start_c > ceiling_c:
                yield Finding(
                    name="bead above the ceiling",
                    t_s=bead.started_s,
                    words="bead {bead} was started at {start_c}, above the ceiling {ceiling_c}",
                    values={
                        "bead": bead.number,
                        "start_c": round(bead.start_c, 1),
                        "ceiling_c": ceiling_c,
                    },
                    limit=of_job(self._job, "band.ceiling", "ceiling_c"),
                    bead=bead.number,
                    place=bead.place,
                )
            if bead.early:
                yield Finding(
                    name="bead before its time",
                    t_s=bead.started_s,
                    words="bead {bead} was started before it was called",
                    values={"bead": bead.number},
                    weight="note",
                    bead=bead.number,
                    place=bead.place,
                )
            if bead.lost:
                arc_s = bead.arc_s(bead.started_s)
                planned_s = self._job.bead.planned_s
                yield Finding(
                    name="arc lost",
                    t_s=bead.ended_s if bead.ended_s is not None else bead.started_s,
                    words="bead {bead}: the arc went out after {arc_s} of {planned_arc_s}",
                    values={
                        "bead": bead.number,
                        "arc_s": round(arc_s, 1),
                        "planned_arc_s": planned_s,
                        "least_arc_s": round(LOST_SHARE * planned_s, 1),
                    },
                    limit=ours("arc lost before", "least_arc_s"),
                    bead=bead.number,
                    place=bead.place,
                )
