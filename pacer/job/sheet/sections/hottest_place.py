"""How hot the hottest place gets in the planned order, and when beads may start below the ceiling."""

from __future__ import annotations

from pacer.job.job import Job
from pacer.job.local_heat import LONGEST_BEAT_S, LocalHeat, Start, local_heat
from pacer.job.order import simple_order, way_of
from pacer.job.plan import Plan
from pacer.job.sheet.records import Entry, Line, Source, Sources, Step
from pacer.job.walk import beat_s, waited_beat_s
from pacer.units import Shown

OUR_CHOICE: Sources = (Source("our choice, no source"),)


def lines(made: Plan, job: Job, shown: Shown) -> list[Line]:
    """Return why this order, the hottest place's excess, and where beads may start by the sensor."""
    heat, plan, way = local_heat(job), job.plan, way_of(job)
    if plan.order == simple_order(plan.places, way):
        why = "The rule's plain order: no other it allows is clearly cooler."
    else:
        why = "Of the orders that the rule leaves, one that keeps the hottest place coolest."
    if job.method == "cold":
        why = (
            "Of the orders with the fewest beads beside the one before, one that keeps the hottest "
            "place coolest."
        )
    found: list[Line] = [Step(why, OUR_CHOICE)]
    if heat is None:
        return found
    in_row = "left to right" if way == "to the edge" else "left to right, against the rule,"
    return [
        *found,
        Entry(
            "a place's excess",
            f"up to {shown.temp_dc(heat.rise_dc)}",
            "computed",
            f"above the part's mean just before its bead, a bead every "
            f"{shown.duration(waited_beat_s(job))}; {in_row} {shown.temp_dc(heat.in_row_dc)}. Even plate, "
            "not measured",
        ),
        *_against_ceiling(made, job, heat, shown),
    ]


def _against_ceiling(made: Plan, job: Job, heat: LocalHeat, shown: Shown) -> list[Line]:
    band, over_dc = job.band, max(0.0, heat.over_sensor_dc)
    at_c = band.preheat_c if band.preheat_c is not None else band.ceiling_c
    what = "preheat target" if band.preheat_c is not None else "ceiling"
    return [
        Entry(
            "hottest place",
            shown.temp_c(at_c + over_dc),
            "computed",
            f"with the sensor at the {what}: up to {shown.temp_dc(over_dc)} above it, by the beads "
            "alone",
        ),
        _start(job, made.start, band.ceiling_c - over_dc, shown),
        *_from_the_first(job, made.start, shown),
    ]


def _from_the_first(job: Job, held: Start | None, shown: Shown) -> list[Line]:
    """Say that a cool part is no leave to hurry: only at the ceiling the session waits."""
    quick_s = beat_s(job)
    if job.method == "hot" or held is None or held.beat_s <= quick_s:
        return []
    quick = local_heat(job, quick_s)
    assert quick is not None
    return [
        Step(
            f"Keep a bead every {shown.duration(held.beat_s)} from the first one on. Quicker ones, "
            f"while the sensor is still cool, heat a place more than it shows: up to "
            f"{shown.temp_dc(quick.rise_dc)} above the part with one every "
            f"{shown.duration(quick_s)}.",
            OUR_CHOICE,
            "do",
        )
    ]


def _start(job: Job, held: Start | None, below_c: float, shown: Shown) -> Entry | Step:
    """Return where beads may start by the sensor; where that can't be had, what else to do."""
    waited_s, band = waited_beat_s(job), job.band
    ceiling = shown.temp_c(band.ceiling_c)
    if held is None:
        return Step(
            f"No start keeps every place below the ceiling of {ceiling} with this order, not even "
            f"with a bead every {shown.duration(LONGEST_BEAT_S)}: shorter beads, or less current.",
            OUR_CHOICE,
            "decide",
        )
    if below_c <= (job.cooldown.ambient_c if band.floor_c is None else band.floor_c):
        return Step(
            f"With a bead every {shown.duration(waited_s)} this order can't keep every place below "
            f"the ceiling of {ceiling}: longer waits, shorter beads, or less current. A bead every "
            f"{shown.duration(held.beat_s)} would do, by the model.",
            OUR_CHOICE,
            "decide",
        )
    why = f"on the sensor, to keep every place below the ceiling of {ceiling}"
    if held.beat_s > waited_s:
        why += f"; by the part's loss in still air a bead every {shown.duration(held.beat_s)}"
    return Entry("start beads below", shown.temp_c(below_c), "computed", why)
