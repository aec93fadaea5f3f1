"""The shape of a covered part: a disc, a block or a cup round an axis, and its box.

Only mass, overall sizes and wall are known of a part: its floor is as thick as its wall,
iron left over stands round the rim, and iron too little for that makes it smaller.
"""

from __future__ import annotations

import math

import numpy as np

from pacer.job.job import Job
from pacer.sensor.practice.burial import Burial, Grid, Outside
from pacer.sensor.practice.march import Floats
from pacer.sensor.practice.truth import RHO_KG_M3, Truth

_GROWTH = 1.25
_NO_VOLUME_M = 0.10
"Medium all round where the job gives no volume."
_BLANKET_M = 0.05


def cup_m(mass_kg: float, size_m: tuple[float, ...] | None, wall_m: float) -> tuple[float, ...]:
    """Return outer radius, height, floor and rim thickness of a part, m; a disc has no rim (0)."""
    volume = mass_kg / RHO_KG_M3
    if size_m is None:
        return math.sqrt(volume / wall_m / math.pi), wall_m, wall_m, 0.0
    high, middle, wide = sorted(size_m)
    plan = middle * wide
    if volume >= 0.9 * plan * high:
        return math.sqrt(volume / high / math.pi), high, high, 0.0
    floor = min(wall_m, 0.9 * high, volume / plan)
    radius = math.sqrt(plan / math.pi)
    rest = volume - plan * floor
    if rest < 0.05 * volume:
        thick = volume / plan
        return radius, thick, thick, 0.0
    rim = radius - math.sqrt(max(radius**2 - rest / (high - floor) / math.pi, (0.2 * radius) ** 2))
    return radius, high, floor, rim


def clearance_m(radius_m: float, high_m: float, volume_m3: float) -> float:
    """Return the even layer round a disc that makes up a box of `volume_m3`, m, at least 5 mm."""
    low, top = 0.005, 5.0
    for _ in range(60):
        layer = 0.5 * (low + top)
        if math.pi * (radius_m + layer) ** 2 * (high_m + 2.0 * layer) < volume_m3:
            low = layer
        else:
            top = layer
    return low


def layer(thickness_m: float, first_m: float, finer: int) -> Floats:
    """Return distances of cell edges from the part, the first 0, cells growing outward."""
    ratio = _GROWTH ** (1.0 / finer)
    first = first_m / finer
    n = max(2, math.ceil(math.log1p(thickness_m * (ratio - 1.0) / first) / math.log(ratio)))
    edges = np.concatenate([[0.0], np.cumsum(ratio ** np.arange(n))])
    return np.asarray(edges * (thickness_m / edges[-1]), dtype=np.float64)


def grid(
    cup: tuple[float, ...], round_m: float, below_m: float, above_m: float, finer: int = 1
) -> Grid:
    """Return the cells of a cup with medium round, below and above it; `finer` divides them."""
    radius, high, floor, rim = cup
    first = 0.002
    inner = [np.linspace(0.0, radius - rim, 9 * finer + 1)]
    if rim > 0.0:
        inner.append(np.linspace(radius - rim, radius, 3 * finer + 1)[1:])
    r = np.concatenate([*inner, radius + layer(round_m, first, finer)[1:]])
    under = below_m - layer(below_m, first, finer)[::-1]
    part = [below_m + np.linspace(0.0, floor, 3 * finer + 1)[1:]]
    if high > floor:
        part.append(below_m + np.linspace(floor, high, 6 * finer + 1)[1:])
    z = np.concatenate([under, *part, below_m + high + layer(above_m, first, finer)[1:]])
    middle_r = 0.5 * (r[1:] + r[:-1])[:, None]
    middle_z = 0.5 * (z[1:] + z[:-1])[None, :] - below_m
    bottom = (middle_r < radius) & (middle_z > 0.0) & (middle_z < floor)
    wall = (middle_r < radius) & (middle_r > radius - rim) & (middle_z > 0.0) & (middle_z < high)
    return Grid(r, z, bottom | wall)


def bury(job: Job, truth: Truth, finer: int = 1) -> Burial:
    """Return the empty cover with the part's cells in it, ready for `put_in`."""
    assert truth.medium is not None
    cup = cup_m(truth.mass_kg, job.part.size_m, job.part.wall_m)
    if job.cooldown.cover == "ceramic blanket":
        round_m = below_m = above_m = max(0.002, job.cooldown.thickness_m or _BLANKET_M)
    else:
        volume = job.cooldown.volume_m3
        even = (
            _NO_VOLUME_M if volume is None else clearance_m(cup[0], cup[1], volume * truth.volume)
        )
        # Laid a little below the middle, more on top.
        round_m, below_m, above_m = even, 0.8 * even, 1.2 * even
    outside = Outside(
        truth.ambient_c, truth.outer_w_m2k, 1.25 * truth.outer_w_m2k, truth.floor_w_m2k
    )
    return Burial(grid(cup, round_m, below_m, above_m, finer), truth.iron, truth.medium, outside)
