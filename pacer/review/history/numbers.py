"""The numbers of one session by the names of `quantities.NUMBERS`, from its job and its tables."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from statistics import median

from pacer.job.job import Job
from pacer.review.measured import Measured
from pacer.review.table import Table
from pacer.session.events import ClockGap
from pacer.session.excursion import Kind
from pacer.session.work import Phase

_BEFORE_BEADS = (Phase.PREHEAT, Phase.SOAK)


def numbers(job: Job, out: Table, measured: Measured) -> dict[str, float]:
    """Return what is known; what is not has no entry. Rounded to what can be told apart."""
    found = planned(job) | _of_beads(job, out) | _of_phases(out) | _of_cooling(out, measured)
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


def _of_beads(job: Job, out: Table) -> dict[str, float | None]:
    beads = [bead for bead in out.beads if bead.counted]
    ended = [(bead, bead.ended_s) for bead in beads if bead.ended_s is not None]
    starts_c = [bead.start_c for bead in beads if bead.start_c is not None]
    due = [bead for bead in beads if not bead.unpeened]
    told = [bead for bead in due if bead.peened in ("ended by press", "begun")]
    return {
        "start_median_c": _median(starts_c),
        "start_least_c": min(starts_c, default=None),
        "start_most_c": max(starts_c, default=None),
        "beads_n": sum(not bead.lost for bead, _ in ended),
        "bead_m": _median(bead.length_m for bead, _ in ended if bead.length_m is not None),
        "bead_arc_s": _median(bead.arc_s(end_s) for bead, end_s in ended),
        "pause_s": _median(
            after.started_s - before.ended_s
            for before, after in pairwise(beads)
            if before.ended_s is not None
        ),
        "peened_share": len(told) / len(due) if due else None,
        "welding_s": ended[-1][1] - beads[0].started_s if ended else None,
    }


def _of_phases(out: Table) -> dict[str, float | None]:
    first_s = min((bead.started_s for bead in out.beads), default=float("inf"))
    heating = [
        row.most_c
        for row in out.phases
        if row.phase in _BEFORE_BEADS and row.from_s < first_s and row.most_c is not None
    ]
    stays = [row for row in out.phases if row.phase is Phase.WAIT]
    gaps = [event for event in out.between if isinstance(event, ClockGap)]
    known = all(gap.by != "unknown" for gap in gaps)
    welded = bool(out.beads)
    return {
        "preheat_reached_c": max(heating, default=None),
        "waited_s": sum(row.to_s - row.from_s for row in stays) if welded else None,
        "reheats_n": sum(row.phase is Phase.REHEAT for row in out.phases) if welded else None,
        "below_floor_s": _outside_s(out, "below the floor") if welded else None,
        "above_ceiling_s": _outside_s(out, "above the ceiling") if welded else None,
        "unwatched_s": sum(gap.to_s - gap.t_s for gap in gaps) if known else None,
    }


def _outside_s(out: Table, kind: Kind) -> float:
    return sum(e.to_s - e.from_s for e in out.excursions if e.kind == kind)


def _of_cooling(out: Table, measured: Measured) -> dict[str, float | None]:
    last_s = max((bead.ended_s for bead in out.beads if bead.ended_s is not None), default=None)
    covered_s = measured.covered_at_s
    bare_s = None if last_s is None or covered_s is None else covered_s - last_s
    return {
        "soak_held_s": measured.soak_s,
        "hold_s": measured.hold_s,
        "bare_s": bare_s,
        "covered_c": measured.covered_c,
        "covered_s": measured.covered_s,
        "uncovered_c": measured.uncovered_c,
        "cooling_c_h": measured.cooling_c_h,
    }


def _median(values: Iterable[float]) -> float | None:
    known = list(values)
    return median(known) if known else None
