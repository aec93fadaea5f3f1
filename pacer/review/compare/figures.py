"""What was measured and done in one recording, in figures that can stand side by side."""

from __future__ import annotations

import statistics

import msgspec

from pacer.review.compare.course import covers
from pacer.review.compare.side import Side
from pacer.review.counted import arcs_s, laid, lasted_s, outside_s, peens, starts_c, stays
from pacer.review.table import Table
from pacer.session.work import Phase


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
    job, measured, cool = side.reviewed.opened.job, course.measured, course.measured.cool
    covered = covers(job)
    beads = laid(out)
    struck_c, burnt_s, peened = starts_c(beads), arcs_s(beads), peens(beads)
    return Figures(
        preheat_s=_before_beads(out),
        soak_held_s=_rounded(measured.soak_s, 3),
        least_start_c=_rounded(min(struck_c, default=None), 6),
        median_start_c=_rounded(statistics.median(struck_c) if struck_c else None, 6),
        most_start_c=_rounded(max(struck_c, default=None), 6),
        beads_laid=course.laid,
        beads_planned=job.plan.beads,
        mean_arc_s=_rounded(statistics.fmean(burnt_s) if burnt_s else None, 2),
        sd_arc_s=_rounded(statistics.stdev(burnt_s) if len(burnt_s) > 1 else None, 2),
        peens_confirmed=peened.told,
        peens_due=peened.due,
        peens_late=sum(finding.name == "late peen" for finding in out.findings),
        below_floor_s=_seconds(outside_s(out, "below the floor")),
        above_ceiling_s=_seconds(outside_s(out, "above the ceiling")),
        no_reading_s=_seconds(outside_s(out, "no reading")),
        wait_s=_seconds(lasted_s(stays(out, Phase.WAIT))),
        reheat_s=_seconds(lasted_s(stays(out, Phase.REHEAT))),
        post_heat_held_s=_rounded(measured.hold_s, 3),
        covers=tuple(course.covers),
        to_until_s=course.to_until_s,
        covered_s=_rounded(cool.covered_s, 3) if covered else None,
        uncovered_c=_rounded(cool.uncovered_c, 6) if covered else None,
        fastest_fall_c_h=_rounded(cool.fastest_c_h, 1),
        outcomes=tuple(outcome.found for outcome in out.outcomes),
    )


def _before_beads(out: Table) -> float | None:
    first_s = out.beads[0].started_s if out.beads else float("inf")
    before = [row for row in stays(out, Phase.PREHEAT) if row.from_s < first_s]
    return _seconds(lasted_s(before)) if before else None


def _seconds(value_s: float) -> float:
    return round(value_s, 3)


def _rounded(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits)
