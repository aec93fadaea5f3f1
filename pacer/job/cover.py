"""How much cover medium a burial takes: litres and kilograms, or blanket by area.

The part is taken as its overall box, lying in the middle of a box of cover with the same
layer on all sides; without sizes as a square plate of its mass and wall. What is needed is
the layer of row `depth`, whatever box there is; how thick a layer a given box leaves is told
beside it. Densities are those of the trade table of covers. What the heat makes of it is
`heat/`'s.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from pacer.heat.part import RHO_KG_M3
from pacer.job.job import Job, Part
from pacer.trade.rows import Row, row
from pacer.units import Shown

Sizes = tuple[float, float, float]

TURN_M = 0.025
"Thickness of the common ceramic blanket (common practice, no source)."
_HALVINGS = 50
_LAYER_SLACK_M = 0.0005
"A box given to three figures is not small for the fourth."


class Box(NamedTuple):
    """A box of sand or vermiculite, and the part in it."""

    volume_m3: float
    layer_m: float
    "What it leaves on every side of the part's overall box; 0 where that doesn't go in."
    fill_m3: float
    "Medium that fills it."
    needed_m3: float
    "The box that has the least layer on every side."

    @property
    def small(self) -> bool:
        """Whether it leaves less than the least layer."""
        return self.layer_m < least_layer_m() - _LAYER_SLACK_M


class Amount(NamedTuple):
    """Cover for one part."""

    medium_m3: float
    "Loose medium, or blanket, that is needed, without the iron."
    mass_kg: tuple[float, float]
    "By the range of densities in `row`."
    layer_m: float
    "How thick it is to lie on every side of the part's overall box."
    area_m2: float | None
    "Of the blanket, all turns together, without overlaps; None for loose medium."
    row: Row
    "The medium's densities."
    box: Box | None = None
    "The job's box of loose medium."


def amount(job: Job) -> Amount | None:
    """Return how much of the job's cover it takes; None in still air or a furnace.

    >>> loose_m3 = box_m3((0.2, 0.1, 0.05), 0.08)
    >>> round(loose_m3 * 1e3, 2)  # 0.36 x 0.26 x 0.21 m
    19.66
    """
    cover, sizes = job.cooldown, overall_m(job.part)
    if cover.cover not in ("dry sand", "vermiculite", "ceramic blanket"):
        return None
    known = row("covers", cover.cover)
    area_m2 = box = None
    if cover.cover != "ceramic blanket":
        layer_m, iron_m3 = least_layer_m(), job.part.mass_kg / RHO_KG_M3
        needed_m3 = box_m3(sizes, layer_m)
        medium_m3 = needed_m3 - iron_m3
        if cover.volume_m3 is not None:
            leaves_m = layer_in_box_m(sizes, cover.volume_m3)
            box = Box(cover.volume_m3, leaves_m, cover.volume_m3 - iron_m3, needed_m3)
    else:
        layer_m = cover.thickness_m or 2.0 * TURN_M
        medium_m3 = box_m3(sizes, layer_m) - box_m3(sizes, 0.0)
        area_m2 = medium_m3 / min(TURN_M, layer_m)
    low, high = (medium_m3 * rho for rho in known.values["rho_kg_m3"])
    return Amount(medium_m3, (low, high), layer_m, area_m2, known, box)


def small_box(job: Job) -> str | None:
    """Return the one line about a box that leaves less than the least layer; None for others.

    In metric units, as every warning is before it is shown.
    """
    needed, shown = amount(job), Shown("metric")
    box = needed.box if needed is not None else None
    if box is None or not box.small:
        return None
    return (
        f"cooldown.volume: {shown.volume_m3(box.volume_m3)} leaves {shown.length_m(box.layer_m)} "
        f"of {job.cooldown.cover} on every side, expected {shown.length_m(least_layer_m())} or "
        f"more (row depth, {row('covers', 'depth').seen}); "
        f"take a box of {shown.volume_m3(box.needed_m3)}"
    )


def least_box_m3(sizes_m: Sizes) -> float:
    """Return the box that has the least layer round these sizes, rounded up to 0.1 l, m³."""
    return math.ceil(round(box_m3(sizes_m, least_layer_m()) * 1e4, 6)) / 1e4


def least_layer_m() -> float:
    """Return how deep a part is buried at least on all sides, m (row `depth`: common practice)."""
    return float(row("covers", "depth").values["layer_mm"]) / 1000.0


def overall_m(part: Part) -> Sizes:
    """Return the part's overall sizes, m; those of a square plate where they aren't known."""
    return plate_m(part.mass_kg, part.wall_m) if part.size_m is None else part.size_m


def plate_m(mass_kg: float, wall_m: float) -> Sizes:
    """Return the sizes of a square plate of this mass and wall, m, as the heat models take it."""
    side_m = math.sqrt(mass_kg / (RHO_KG_M3 * wall_m))
    return side_m, side_m, wall_m


def box_m3(sizes_m: Sizes, layer_m: float) -> float:
    """Return the volume of a box with `layer_m` of room on every side of these sizes, m³."""
    return math.prod(size_m + 2.0 * layer_m for size_m in sizes_m)


def layer_in_box_m(sizes_m: Sizes, volume_m3: float) -> float:
    """Return the even layer on every side that a box of this volume leaves, m; 0 if none."""
    low_m, high_m = 0.0, volume_m3 ** (1.0 / 3.0)
    for _ in range(_HALVINGS):
        middle_m = 0.5 * (low_m + high_m)
        if box_m3(sizes_m, middle_m) > volume_m3:
            high_m = middle_m
        else:
            low_m = middle_m
    return low_m
