"""The order of the beads as lines of the plan: which, by what rule, and what it keeps cool."""

from __future__ import annotations

from pacer.job.job import Job
from pacer.job.order import local_heat, rule_told, simple_order, way_of
from pacer.job.walk import beat_s
from pacer.units import Shown

_PLACES_SHOWN = 24


def order_lines(job: Job, shown: Shown) -> list[str]:
    """Return the order, places counted from the left, its rule with source, the local heat."""
    return [_order(job), f"rule: {rule_told(way_of(job))}", *_local(job, shown)]


def _order(job: Job) -> str:
    plan = job.plan
    runs = [
        plan.order[start : start + plan.places] for start in range(0, len(plan.order), plan.places)
    ]
    told = "; next run ".join(_run(run) for run in runs)
    again = ", and again" if len(runs) > 1 else ""
    return (
        f"order in a run, places counted from the left: {told}{again}; each bead is drawn "
        "toward the start of the neighbour laid before it"
    )


def _run(run: tuple[int, ...]) -> str:
    more = f" and so on to {len(run)} places" if len(run) > _PLACES_SHOWN else ""
    return "-".join(str(place + 1) for place in run[:_PLACES_SHOWN]) + more


def _local(job: Job, shown: Shown) -> list[str]:
    heat, plan, way = local_heat(job), job.plan, way_of(job)
    if plan.order == simple_order(plan.places, way):
        why = "the rule's plain order: none that the rule leaves is clearly cooler"
    else:
        why = "of the orders that the rule leaves, one that keeps the hottest place coolest"
    if heat is None:
        return [why]
    row_told = "left to right" if way == "to the edge" else "left to right, against the rule,"
    return [
        f"{why}; with a bead every {shown.duration(beat_s(job))} a place is up to "
        f"{shown.temp_dc(heat.rise_dc)} above the part's mean just before its bead ({row_told} "
        f"{shown.temp_dc(heat.in_row_dc)}); computed for an even plate of this wall, not measured",
        _against_ceiling(job, heat.over_sensor_dc, shown),
    ]


def _against_ceiling(job: Job, over_sensor_dc: float, shown: Shown) -> str:
    band = job.band
    at_c = band.preheat_c if band.preheat_c is not None else band.ceiling_c
    what = "preheat target" if band.preheat_c is not None else "ceiling"
    over_dc = max(0.0, over_sensor_dc)
    return (
        f"that is up to {shown.temp_dc(over_dc)} above the sensor, by the beads alone: "
        f"{shown.temp_c(at_c + over_dc)} there with the sensor at the {what}; to keep every place "
        f"below the ceiling of {shown.temp_c(band.ceiling_c)}, start beads below "
        f"{shown.temp_c(band.ceiling_c - over_dc)} on the sensor"
    )
