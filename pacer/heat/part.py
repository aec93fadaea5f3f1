"""The part as heat sees it, and what it is covered with.

Only what the user can tell goes in: mass, overall sizes, wall, the cover and how much of
it. What a cooling model needs (areas, shape factor, how far the medium reaches) follows.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

CoverName = Literal["dry sand", "vermiculite", "ceramic blanket", "still air", "furnace"]

RHO_KG_M3 = 7200.0
"Grey iron; published values run 7150-7500 (`ht` library and data sheet pages, SEEN-S)."

ROUNDNESS = 0.85
"""Envelope area over the area of the box given by the overall sizes.

A box is 1, the round part that just fits it is pi/4 = 0.785, and nobody is asked which.
A little below midway: most outlines don't fill their box, and too large an area makes a
forecast early, which is the dangerous side. The area's prior of 22 % holds both ends.
"""


def shape_constant(thin_ratio: float) -> float:
    """Return the shape factor of a buried convex body over the root of its area.

    ``S / sqrt(A) = 3.19 + 0.26 min(1, 2 thin/wide)``; exact ends: sphere 2 sqrt(pi),
    thin disc 8R, i.e. 3.19; cube 3.39 (from memory). That it hardly changes
    from shape to shape is a published result (from memory).
    """
    return 3.19 + 0.26 * min(1.0, max(thin_ratio, 0.0) / 0.5)


@dataclass(frozen=True)
class CoolingPart:
    """Mass and sizes of an iron part. Numbers must be positive; the job checks them."""

    mass_kg: float
    size_m: tuple[float, float, float] | None
    "Overall length, width, height; None where only the mass is known."
    wall_m: float
    "Typical thickness."

    @property
    def volume_m3(self) -> float:
        """Iron volume, which is what the part displaces in its box."""
        return self.mass_kg / RHO_KG_M3

    @property
    def plate_area_m2(self) -> float:
        """Both faces of a plate of this mass and wall, ``2 m / (rho d)``: what air touches.

        Never less than the envelope: a solid block has a wall as thick as itself.
        """
        return max(2.0 * self.volume_m3 / self.wall_m, self._least_area_m2)

    @property
    def _least_area_m2(self) -> float:
        return float((36.0 * math.pi * self.volume_m3**2) ** (1.0 / 3.0))

    @property
    def _box_m(self) -> tuple[float, float, float]:
        """Sizes, smallest first; a square plate of this mass and wall where not given."""
        if self.size_m is not None:
            small, middle, large = sorted(self.size_m)
            return small, middle, large
        side_m = math.sqrt(self.volume_m3 / self.wall_m)
        small, middle, large = sorted((self.wall_m, side_m, side_m))
        return small, middle, large

    @property
    def envelope_area_m2(self) -> float:
        """Area of the convex envelope: what sand or a blanket touches.

        Never less than the sphere of this much iron, whatever sizes were typed.
        """
        a, b, c = self._box_m
        return max(ROUNDNESS * 2.0 * (a * b + a * c + b * c), self._least_area_m2)

    @property
    def hollow_m3(self) -> float:
        """How much of the volume inside the envelope acts as a store of heat when buried.

        A quarter: the rest, near the mouth of a cup, behaves as the sand outside
        does (measured on simulated cups, where 0.2-0.4 fits the first hour best).
        """
        a, b, c = self._box_m
        return max(0.25 * (ROUNDNESS * a * b * c - self.volume_m3), 0.01 * self.volume_m3)

    @property
    def thin_ratio(self) -> float:
        """Smallest size over the mean of the two larger ones, 0 to 1."""
        small, middle, large = self._box_m
        return small / math.sqrt(middle * large)

    @property
    def shape_factor_m(self) -> float:
        """Conduction shape factor S of the buried part in an endless medium."""
        return math.sqrt(self.envelope_area_m2) * shape_constant(self.thin_ratio)


@dataclass(frozen=True)
class Cover:
    """What the part is left to cool in."""

    name: CoverName
    volume_m3: float | None = None
    "Inside volume of the sand or vermiculite box, part included."
    thickness_m: float | None = None
    "Of a blanket, all turns together."

    def medium_volume_m3(self, part: CoolingPart) -> float:
        """Volume of sand or vermiculite round the part.

        Default where no box was given: room for some 80 mm on every side of the
        envelope, the depth a part is usually buried to (common practice, no source);
        it matters little in sand, some 9 % of the time in vermiculite.
        A box too small for the part still gets a thin layer.
        """
        if self.volume_m3 is None:
            return layer_volume_m3(part, 0.08)
        return max(self.volume_m3 - part.volume_m3, layer_volume_m3(part, 0.005))

    def blanket_m(self) -> float:
        """Thickness of the blanket: as given, else 50 mm.

        The default is two turns of the common 25 mm blanket (common practice, no source).
        """
        return 0.05 if self.thickness_m is None else max(self.thickness_m, 0.002)


def steiner_m(area_m2: float, shape: float) -> float:
    """Return M, so that layers of area ``A + 2 M x + 4 pi x^2`` have the right resistance, m.

    `shape` is ``S / sqrt(A)``, see `shape_constant`.

    Chosen so that ``1 / integral of dx/A(x)`` from 0 to infinity is the shape factor.
    With ``M = 2 sqrt(pi A) cos(phi)`` that integral is ``phi / (2 sqrt(pi A) sin(phi))``,
    hence ``S / (2 sqrt(pi A)) = sin(phi) / phi``. The textbook M of a convex body gives 8 %
    (cube) to 20 % (thin disc) too much loss.
    """
    ratio = min(shape / (2.0 * math.sqrt(math.pi)), 1.0)
    phi = math.sqrt(max(6.0 * (1.0 - ratio), 0.0))
    for _ in range(20):
        # Newton on sin(phi) = ratio phi, started from the series; 4 rounds are enough.
        slope = math.cos(phi) - ratio
        if abs(slope) < 1e-12:
            break
        phi -= (math.sin(phi) - ratio * phi) / slope
    return 2.0 * math.sqrt(math.pi * area_m2) * math.cos(phi)


def layer_volume_m3(part: CoolingPart, thickness_m: float) -> float:
    """Return the volume of a layer of even thickness round the part's envelope, m3."""
    area_m2 = part.envelope_area_m2
    m = steiner_m(area_m2, shape_constant(part.thin_ratio))
    return area_m2 * thickness_m + m * thickness_m**2 + 4.0 / 3.0 * math.pi * thickness_m**3
