"""The numbers of one session by the names of `quantities.NUMBERS`, from its job and its tables."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from statistics import median

from pacer.job.job import Job
from pacer.review.counted import arcs_s, laid, lasted_s, outside_s, peens, starts_c, stays
from pacer.review.measured import Measured
from pacer.review.table import Table
from pacer.session.events import ClockGap
from pacer.session.work import Phase

_BEFORE_BEADS = (Phase.PREHEAT, Phase.SOAK)


def numbers(job: Job, out: Table, measured: Measured) -> dict[str, float]:
    """Return what is known; what is not has no entry. Rounded to what can be told apart."""
    found = planned(job) | _of_beads(out) | _of_phases(out) | _of_cooling(out, measured)
    return {name: round(value, 6) for name, value in found.items() if value is not None}


def planned(job: Job) -> dict[str, float | None]:
    """Return what the job says."""
    return {
        "mass_kg": job.part.mass_kg,
        "wall_m": job.part.wall_m,
        "crack_length_m": job.joint.crack_length_m,
        "groove_depth_m": job.joint.depth_m,
        "planned_preheat_c": job.band.preheat_c,
        "planned_floor_c": job.band.floor_c,
        "planned_ceiling_c": job.band.ceiling_c,
        "planned_soak_s": job.band.soak_s,
        "planned_bead_m": job.bead.length_m,
        "planned_peen_s": job.bead.peen_s,
        "planned_beads_n": job.plan.beads,
        "planned_hold_s": job.postheat.hold_s,
        "planned_until_c": job.cooldown.until_c,
        "current_a": job.filler.current_a,
    }


def _of_beads(out: Table) -> dict[str, float | None]:
    beads = laid(out)
    struck_c, peened = starts_c(beads), peens(beads)
    ends_s = [bead.ended_s for bead in beads if bead.ended_s is not None]
    return {
        "start_median_c": _median(struck_c),
        "start_least_c": min(struck_c, default=None),
        "start_most_c": max(struck_c, default=None),
        "beads_n": sum(not bead.lost for bead in beads),
        "bead_m": _median(bead.length_m for bead in beads if bead.length_m is not None),
        "bead_arc_s": _median(arcs_s(beads)),
        "pause_s": _median(
            after.started_s - before.ended_s
            for before, after in pairwise(beads)
            if before.ended_s is not None
        ),
        "peened_share": peened.told / peened.due if peened.due else None,
        "welding_s": ends_s[-1] - beads[0].started_s if ends_s else None,
    }


def _of_phases(out: Table) -> dict[str, float | None]:
    first_s = min((bead.started_s for bead in out.beads), default=float("inf"))
    heating = [
        row.most_c
        for row in out.phases
        if row.phase in _BEFORE_BEADS and row.from_s < first_s and row.most_c is not None
    ]
    gaps = [event for event in out.between if isinstance(event, ClockGap)]
    known = all(gap.by != "unknown" for gap in gaps)
    welded = bool(out.beads)
    return {
        "preheat_reached_c": max(heating, default=None),
        "waited_s": lasted_s(stays(out, Phase.WAIT)) if welded else None,
        "reheats_n": len(stays(out, Phase.REHEAT)) if welded else None,
        "below_floor_s": outside_s(out, "below the floor") if welded else None,
        "above_ceiling_s": outside_s(out, "above the ceiling") if welded else None,
        "unwatched_s": sum(gap.to_s - gap.t_s for gap in gaps) if known else None,
    }


def _of_cooling(out: Table, measured: Measured) -> dict[str, float | None]:
    last_s = max((bead.ended_s for bead in out.beads if bead.ended_s is not None), default=None)
    cool = measured.cool
    bare_s = None
    if last_s is not None and cool.covered_at_s is not None:
        bare_s = cool.covered_at_s - last_s
    return {
        "soak_held_s": measured.soak_s,
        "hold_s": measured.hold_s,
        "bare_s": bare_s,
        "covered_c": cool.covered_c,
        "covered_s": cool.covered_s,
        "uncovered_c": cool.uncovered_c,
        "cooling_c_h": cool.fastest_c_h,
    }


def _median(values: Iterable[float]) -> float | None:
    known = list(values)
    return median(known) if known else None
