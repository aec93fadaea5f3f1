"""How hot each place of a joint is just before its bead, from the beads laid before it.

A thin plate, one temperature through its thickness, its rim closed, the joint straight
along x through the middle of its width. A bead's heat E is set free at once, half-way
through its arc, along the bead's length L; after t it has raised a place by

    E / (rho c d) gx gy exp(-b t),    s = sqrt(4 a t)
    gx = sum of [ erf((x + L/2) / s) - erf((x - L/2) / s) ] / 2L    over x of the images
    gy = sum of exp(-(y / s)^2) / (sqrt(pi) s)                      over y of the images

with diffusivity a and loss rate b. Far from the rim and for L much shorter than s that is
the instantaneous line source ``E / (4 pi k d t) exp(-r^2 / 4 a t - b t)`` (textbook result,
from memory; checked against its own peak in the tests). Heats add up.
What is returned is the rise over the plate's mean, because the mean is what waiting and
reheating keep in the band, whatever the order of the beads.

Standard library only, for it runs when a job file is read. Left out: heat going through a
groove still open, boss and rib, conductivity that falls with temperature.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pacer.heat.part import IRON_K_W_MK, RHO_KG_M3

REMEMBERED = 24
"""Beads looked back on. The local rise falls as 1/t: an older one is some 1 K for the
example job, and much the same for every order."""

_GONE = 3.5
"Times s: farther from a source than that nothing of it is felt, e^-12."
_EVEN = 2.0
"Times a plate's length: where s is that wide the heat is even along it, to 1 in 10,000."


@dataclass(frozen=True)
class Row:
    """Equal places along a joint, and the bead laid on each. All numbers positive."""

    places: int
    length_m: float
    "Of a bead, and from place to place."
    heat_j: float
    "Into the part from one bead."
    wall_m: float
    cp_j_kgk: float
    cycle_s: float
    "From one bead's start to the next one's."
    arc_s: float
    left_m: float = math.inf
    "From the joint's left end to the plate's edge; inf: no edge near."
    right_m: float = math.inf
    width_m: float = math.inf
    "Of the plate, across the joint."
    loss_1_s: float = 0.0
    ring: bool = False
    "The joint is closed on itself, as round a patch: places on a circle, no edges."

    @property
    def joint_m(self) -> float:
        """Length of the joint."""
        return self.places * self.length_m

    @property
    def plate_m(self) -> float:
        """Length of the plate along the joint."""
        return self.left_m + self.joint_m + self.right_m

    @property
    def diffusivity_m2_s(self) -> float:
        """``k / (rho c)``."""
        return IRON_K_W_MK / (RHO_KG_M3 * self.cp_j_kgk)

    def apart_m(self, steps: float) -> float:
        """Straight distance of two places that are `steps` apart along the joint."""
        if self.ring:
            return self.joint_m / math.pi * math.sin(math.pi * steps / self.places)
        return steps * self.length_m


class Rises:
    """Rise of a place by a bead so many cycles ago, tabulated once for a row."""

    def __init__(self, row: Row, sensor_m: float | None = None, level: float = 0.0) -> None:
        """Tabulate; `sensor_m` is the sensor's distance from the joint.

        `level` is its place along the joint, in bead lengths from the middle.
        """
        self.row = row
        self._level = 0.5 * (row.places - 1) + level
        self._direct: list[list[float]] = []
        self._edge: list[list[float]] = []
        self._sensor: list[list[float]] = []
        for ago in range(1, REMEMBERED + 1):
            self._add(ago * row.cycle_s - 0.5 * row.arc_s, sensor_m)

    def _add(self, time_s: float, sensor_m: float | None) -> None:
        row = self.row
        along = _Along(row, time_s)
        density_j = row.heat_j / (RHO_KG_M3 * row.cp_j_kgk * row.wall_m)
        density_j *= math.exp(-row.loss_1_s * time_s)
        mean = 0.0 if row.ring else density_j / (row.plate_m * row.width_m)
        across = density_j * _across_1_m(0.0, row.width_m, along.wide_m)
        steps = range(row.places)
        self._direct.append([across * along.direct(i) - mean for i in steps])
        self._edge.append([across * along.edge(i) for i in range(2 * row.places)])
        if sensor_m is not None:
            across = density_j * _across_1_m(sensor_m, row.width_m, along.wide_m)
            level = self._level
            seen = (along.direct(abs(i - level)) + along.edge(i + level) for i in steps)
            self._sensor.append([across * share - mean for share in seen])

    def before_each_dc(self, order: Sequence[int], most_dc: float = math.inf) -> list[float]:
        """Return the rise of each bead's place over the plate's mean just before it, °C.

        `order` holds the places of the beads one after the other, several runs if need be.
        Ends early after a rise above `most_dc`.
        """
        rises = []
        for at, place in enumerate(order):
            rise = 0.0
            before = order[max(0, at - REMEMBERED) : at][::-1]
            for direct, edge, other in zip(self._direct, self._edge, before, strict=False):
                rise += direct[abs(place - other)] + edge[place + other]
            rises.append(rise)
            if rise > most_dc:
                break
        return rises

    def worst_dc(self, order: Sequence[int], most_dc: float = math.inf) -> float:
        """Return the highest of these rises; some value above `most_dc` where it is above it."""
        return max(self.before_each_dc(order, most_dc), default=0.0)

    def sensor_dc(self, order: Sequence[int]) -> list[float]:
        """Return the rise over the plate's mean at the sensor just before each bead, °C.

        Without the lag of the probe. Empty for a row tabulated without a sensor.
        """
        if not self._sensor:
            return []
        return [
            sum(
                seen[other]
                for seen, other in zip(
                    self._sensor, order[max(0, at - REMEMBERED) : at][::-1], strict=False
                )
            )
            for at in range(len(order))
        ]


class _Along:
    """gx at one time: a part by the difference of two places and one by their sum."""

    def __init__(self, row: Row, time_s: float) -> None:
        self.row = row
        self.wide_m = math.sqrt(4.0 * row.diffusivity_m2_s * time_s)
        self._turns = _turns_m(2.0 * row.plate_m, self.wide_m)

    def direct(self, steps: float) -> float:
        """From the source itself, and the images whole turns of the plate away."""
        if self.wide_m > _EVEN * self.row.plate_m:
            return 0.5 / self.row.plate_m
        x_m = self.row.apart_m(steps)
        return sum(self._g_1_m(x_m + turn_m) for turn_m in self._turns)

    def edge(self, steps: float) -> float:
        """From the images beyond the edges; `steps` is the sum of both places."""
        row = self.row
        if row.ring:
            return 0.0
        if self.wide_m > _EVEN * row.plate_m:
            return 0.5 / row.plate_m
        from_left_m = 2.0 * row.left_m + (steps + 1.0) * row.length_m
        if math.isfinite(row.plate_m):
            return sum(self._g_1_m(from_left_m + turn_m) for turn_m in self._turns)
        from_right_m = 2.0 * (row.right_m + row.joint_m) - (steps + 1.0) * row.length_m
        return sum(self._g_1_m(x_m) for x_m in (from_left_m, from_right_m) if math.isfinite(x_m))

    def _g_1_m(self, x_m: float) -> float:
        half_m = 0.5 * self.row.length_m
        if abs(x_m) - half_m > _GONE * self.wide_m:
            return 0.0
        ends = math.erf((x_m + half_m) / self.wide_m) - math.erf((x_m - half_m) / self.wide_m)
        return ends / (2.0 * self.row.length_m)


def _across_1_m(y_m: float, width_m: float, wide_m: float) -> float:
    """Return gy for a source in the middle of the width: images one width apart."""
    if wide_m > _EVEN * width_m:
        return 1.0 / width_m
    total = sum(math.exp(-(((y_m + turn_m) / wide_m) ** 2)) for turn_m in _turns_m(width_m, wide_m))
    return total / (math.sqrt(math.pi) * wide_m)


def _turns_m(period_m: float, wide_m: float) -> list[float]:
    """Return how far away the images that still matter are: up to `_GONE` s."""
    if math.isinf(period_m):
        return [0.0]
    most = 1 + int(_GONE * wide_m / period_m)
    return [turn * period_m for turn in range(-most, most + 1)]
