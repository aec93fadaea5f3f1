"""How far the hottest place is above the part and the sensor, and the beat that keeps it cool.

By the even plate of `heat/places.py` and the order planned; simulated, never measured on a
casting. The beat is the cold method's real one, its wait included: the part at its ceiling
loses one bead's heat from bead to bead. A place near the last beads is hotter than the part,
so that beat can be too quick for it, and the beat that does is looked for.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import NamedTuple

from pacer.heat.places import Rises
from pacer.job.job import Job
from pacer.job.order import RUNS_WATCHED, laid, row_of
from pacer.job.walk import bead_wait_s, waited_beat_s

LONGEST_BEAT_S = 3600.0
"Nobody waits longer for a bead (our choice, no source)."
_HALVINGS = 12


@dataclass(frozen=True)
class LocalHeat:
    """What is expected of the hottest place of a session just before its bead."""

    rise_dc: float
    "Over the part's mean."
    over_sensor_dc: float
    """Over what the sensor shows then, by its distance, without its lag; the most of three:
    level with the joint's middle and a bead's length to either side, for nobody tells where."""
    in_row_dc: float
    "The rise if every run went from left to right."


class Start(NamedTuple):
    """When beads may start, so that every place stays below the ceiling."""

    below_c: float
    "On the sensor."
    beat_s: float
    "From one bead's start to the next one's."


def local_heat(job: Job, beat_s: float | None = None) -> LocalHeat | None:
    """Return the hottest place's forecast for the job's order; None for a patch.

    Where a patch lies to the sensor isn't known. `beat_s`: another beat than the job's own.
    """
    row, plan = row_of(job), job.plan
    if row.ring or sorted(plan.order[: plan.places]) != list(range(plan.places)):
        return None
    row = row if beat_s is None else replace(row, cycle_s=beat_s)
    rises = Rises(row)
    beads = plan.places * min(plan.runs, RUNS_WATCHED)
    order = laid(plan.order, beads)
    places_dc = rises.before_each_dc(order)
    over_dc = [
        place_dc - seen_dc
        for level in (-1.0, 0.0, 1.0)
        for place_dc, seen_dc in zip(
            places_dc, Rises(row, job.sensor.distance_m, level).sensor_dc(order), strict=True
        )
    ]
    return LocalHeat(
        rise_dc=round(max(places_dc), 1),
        over_sensor_dc=round(max(over_dc), 1),
        in_row_dc=round(rises.worst_dc(laid(tuple(range(plan.places)), beads)), 1),
    )


def start_below(job: Job) -> Start | None:
    """Return the quickest beat that keeps every place below the ceiling, and its start.

    None where none up to `LONGEST_BEAT_S` does, or no local heat is known. Hot: the start
    isn't below the floor. Cold: in that beat the part comes down far enough in still air.
    """
    quick_s, slow_s = waited_beat_s(job), LONGEST_BEAT_S
    found = _start(job, quick_s)
    if found is not None or quick_s >= slow_s:
        return found
    found = _start(job, slow_s)
    if found is None:
        return None
    for _ in range(_HALVINGS):
        between_s = math.sqrt(quick_s * slow_s)
        start = _start(job, between_s)
        quick_s, slow_s = (between_s, slow_s) if start is None else (quick_s, between_s)
        found = start or found
    return found


def _start(job: Job, beat_s: float) -> Start | None:
    """Return the start that this beat needs, None where the part can't be had so cool in it."""
    heat, band = local_heat(job, beat_s), job.band
    if heat is None:
        return None
    below_c = band.ceiling_c - max(0.0, heat.over_sensor_dc)
    if band.floor_c is not None:
        held = below_c >= band.floor_c
    else:
        # The sensor sees some of the local heat: it is the part that has to come down.
        mean_c = band.ceiling_c - max(0.0, heat.rise_dc)
        held = job.bead.planned_s + bead_wait_s(job, mean_c) <= beat_s
        held = held and below_c > job.cooldown.ambient_c
    return Start(below_c, beat_s) if held else None
