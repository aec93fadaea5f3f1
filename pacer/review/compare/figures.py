"""What was measured and done in one recording, in figures that can stand side by side."""

from __future__ import annotations

import statistics
from collections.abc import Iterable

import msgspec

from pacer.review.compare.course import covers
from pacer.review.compare.side import Side
from pacer.review.table import PhaseRow, Table
from pacer.session.excursion import Kind
from pacer.session.work import Bead, Peened, Phase

_CONFIRMED: frozenset[Peened] = frozenset({"ended by press", "begun"})


class Figures(msgspec.Struct, frozen=True):
    """Figures of one recording; None: it has none of that."""

    preheat_s: float | None
    "In preheat before the first bead."
    soak_held_s: float | None
    "Of the last soak before the first bead, as the pacing counts it."
    least_start_c: float | None
    "Of the temperatures at which beads were struck."
    median_start_c: float | None
    most_start_c: float | None
    beads_laid: int
    beads_planned: int
    mean_arc_s: float | None
    sd_arc_s: float | None
    "Standard deviation; of two beads or more."
    peens_confirmed: int
    peens_due: int
    "Beads of runs that the job peens."
    peens_late: int
    below_floor_s: float
    above_ceiling_s: float
    no_reading_s: float
    wait_s: float
    reheat_s: float
    post_heat_held_s: float | None
    covers: tuple[str, ...]
    "In force, one after the other."
    to_until_s: float | None
    "From covering until it was as cool as it was to be uncovered at; None: uncovered before."
    covered_s: float | None
    "Until it was first uncovered, cool enough or not."
    uncovered_c: float | None
    fastest_fall_c_h: float | None
    """Greatest mean over 30 min of the cool-down, covered or not; from 15 min on over what there
    is, its first 15 min left out."""
    outcomes: tuple[str, ...]
    "What each look found."


def figures(side: Side) -> Figures:
    """Return the figures of a recording; of a list that was cut, those of what is left."""
    out, course = side.reviewed.table, side.course
    job, measured = side.reviewed.opened.job, course.measured
    covered = covers(job)
    laid = [bead for bead in out.beads if bead.counted and bead.ended_s is not None]
    starts_c = [bead.start_c for bead in laid if bead.start_c is not None]
    arcs_s = [bead.arc_s(bead.started_s) for bead in laid]
    due = [bead for bead in laid if not bead.unpeened]
    return Figures(
        preheat_s=_before_beads(out.phases, out.beads),
        soak_held_s=_rounded(measured.soak_s, 3),
        least_start_c=_rounded(min(starts_c, default=None), 6),
        median_start_c=_rounded(statistics.median(starts_c) if starts_c else None, 6),
        most_start_c=_rounded(max(starts_c, default=None), 6),
        beads_laid=course.laid,
        beads_planned=job.plan.beads,
        mean_arc_s=_rounded(statistics.fmean(arcs_s) if arcs_s else None, 2),
        sd_arc_s=_rounded(statistics.stdev(arcs_s) if len(arcs_s) > 1 else None, 2),
        peens_confirmed=sum(bead.peened in _CONFIRMED for bead in due),
        peens_due=len(due),
        peens_late=sum(finding.name == "late peen" for finding in out.findings),
        below_floor_s=_outside(out, "below the floor"),
        above_ceiling_s=_outside(out, "above the ceiling"),
        no_reading_s=_outside(out, "no reading"),
        wait_s=_lasted(out.phases, Phase.WAIT),
        reheat_s=_lasted(out.phases, Phase.REHEAT),
        post_heat_held_s=_rounded(measured.hold_s, 3),
        covers=tuple(course.covers),
        to_until_s=course.to_until_s,
        covered_s=_rounded(measured.covered_s, 3) if covered else None,
        uncovered_c=_rounded(measured.uncovered_c, 6) if covered else None,
        fastest_fall_c_h=_rounded(measured.cooling_c_h, 1),
        outcomes=tuple(outcome.found for outcome in out.outcomes),
    )


def _before_beads(phases: Iterable[PhaseRow], beads: tuple[Bead, ...]) -> float | None:
    first_s = beads[0].started_s if beads else float("inf")
    stays = [row for row in phases if row.phase is Phase.PREHEAT and row.from_s < first_s]
    return round(sum(row.to_s - row.from_s for row in stays), 3) if stays else None


def _lasted(phases: Iterable[PhaseRow], phase: Phase) -> float:
    return round(sum(row.to_s - row.from_s for row in phases if row.phase is phase), 3)


def _outside(out: Table, kind: Kind) -> float:
    return round(sum(e.to_s - e.from_s for e in out.excursions if e.kind == kind), 3)


def _rounded(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits)
