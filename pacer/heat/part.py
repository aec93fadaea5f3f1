"""The part as heat sees it, and what it is covered with.

Only what the user can tell goes in: mass, overall sizes, wall, the cover and how much of
it. What a cooling model needs (areas, shape factor, how far the medium reaches) follows.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

_NEAR_SHARE = 0.85
"""Of a box's medium, what an even layer as good at conducting would hold: a rectangular box has
a quarter more volume than the even layer inside it, and a part seldom lies in its middle."""

CoverName = Literal["dry sand", "vermiculite", "ceramic blanket", "still air", "furnace"]

RHO_KG_M3 = 7200.0
"Grey iron; published values run 7150-7500 (`ht` library and data sheet pages, SEEN-S)."

ROUNDNESS = 0.87
"""Area of a part seen from above over that of the rectangle round it, where nothing tells.

A rectangle is 1, the round part that just fits it is pi/4, and nobody is asked which: a
little below midway, since too large an area makes a forecast early, which is the
dangerous side.
"""

_ROUND = math.pi / 4.0
_CLOSING = 0.3
"Holes' diameter, roughly, to the depth at which the heat flow no longer sees them (tuned)."
_FLAT = 1.4
"A part no higher than this many walls is a plate: its height is its thickness."


IRON_K_W_MK = 48.0
"""Grey iron near 250 °C: 46 (data sheet page, SEEN-S), 50 (`ht` library, SEEN-P), falling with
temperature."""


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
    def _thickness_m(self) -> float:
        """The wall; of a flat part its height, which is measured better."""
        small, _, _ = self._box_m
        return small if small < _FLAT * self.wall_m else self.wall_m

    @property
    def _sheet_m2(self) -> float:
        """One face of all the iron, rolled out at its thickness."""
        return self.volume_m3 / self._thickness_m

    @property
    def plan_m2(self) -> float:
        """Area seen from above, the smallest size upright.

        Half-way between what the mass says of the outline and what is usual: mass, wall
        and sizes each have their error.
        """
        _, b, c = self._box_m
        outline = ROUNDNESS
        if self.size_m is not None:
            filled = min(max(self._sheet_m2 / (b * c), _ROUND), 1.0)
            outline = 0.5 * (outline + filled)
        return outline * b * c

    @property
    def _girth_m(self) -> float:
        """Length of the outline: that of a rectangle of the same proportions and this area."""
        _, b, c = self._box_m
        return 2.0 * (b + c) * math.sqrt(self.plan_m2 / (b * c))

    @property
    def rim_m(self) -> float:
        """Height of the rim or ribs that the iron left over by a floor of one wall makes.

        0 where the iron is only enough for a flat plate: an overall height beyond the wall
        is then some foot or boss, and counting it as a hollow makes a forecast early.
        """
        small, _, _ = self._box_m
        left_m2 = self._sheet_m2 - self.plan_m2
        return min(max(left_m2 / self._girth_m, 0.0), max(small - self._thickness_m, 0.0))

    @property
    def _high_m(self) -> float:
        small, _, _ = self._box_m
        return min(max(self._thickness_m + self.rim_m, self.volume_m3 / self.plan_m2), small)

    @property
    def envelope_area_m2(self) -> float:
        """Area of the convex envelope: what the medium is wrapped round.

        Never less than the sphere of this much iron, whatever sizes were typed.
        """
        return max(2.0 * self.plan_m2 + self._girth_m * self._high_m, self._least_area_m2)

    @property
    def touch(self) -> float:
        """Iron the medium touches over the area of the envelope.

        More than 1 for a cup, whose inside is touched too; less for a plate with holes.
        """
        touched_m2 = 2.0 * self._sheet_m2 + self._girth_m * self._thickness_m
        return min(max(touched_m2 / self.envelope_area_m2, 0.5), 1.6)

    @property
    def closing_m(self) -> float:
        """Depth of medium at which the heat flow has closed over hollows and holes."""
        holes_m2 = max(self.plan_m2 - self._sheet_m2, 0.0)
        return max(self.rim_m, _CLOSING * math.sqrt(holes_m2), 0.003)

    @property
    def thin_ratio(self) -> float:
        """Height over the mean of the two other sizes, 0 to 1."""
        _, middle, large = self._box_m
        return min(self._high_m / math.sqrt(middle * large), 1.0)


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

        Default where no box was given: room for some 110 mm on every side of the envelope
        (estimate; a part is buried at least 80 mm deep by common practice, no source, and
        more is late, the safe side). It matters little in sand, much in vermiculite.
        A box too small for the part still gets a thin layer. Of a told volume the corners
        and the farther sides hold medium that hardly conducts.
        """
        if self.volume_m3 is None:
            return layer_volume_m3(part, 0.11)
        told_m3 = _NEAR_SHARE * (self.volume_m3 - part.volume_m3)
        return max(told_m3, layer_volume_m3(part, 0.005))

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
