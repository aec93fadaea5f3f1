"""What heats the part: a torch moved in circles, or a grill, oven or hot plate.

Strengths are our own, chosen so that a thin part comes up in some ten minutes and could
be driven well above its ceiling; the seed makes them stronger or weaker and uneven.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from pacer.job.job import HeatSource
from pacer.sensor.practice.march import Floats
from pacer.sensor.practice.plate import Plate
from pacer.sensor.practice.truth import Truth

_CIRCLE_S = 11.0
_TORCH_SIGMA_M = 0.025


@dataclass(frozen=True)
class _Bed:
    """Something hot under or round the part."""

    film_w_m2k: float
    over_ceiling_dc: float
    unevenness: float
    "Share of the seed's unevenness that shows."
    bare_faces: float
    "Faces that still lose heat to the air."


_BEDS: dict[HeatSource, _Bed] = {
    "gas grill": _Bed(42.0, 300.0, 1.0, 1.0),
    "oven": _Bed(50.0, 120.0, 0.2, 0.0),
    "hot plate": _Bed(60.0, 200.0, 0.5, 1.0),
}


class Flame:
    """Heat into a plate while it is on."""

    def __init__(self, source: HeatSource, plate: Plate, truth: Truth, ceiling_c: float) -> None:
        self.on = False
        self._plate = plate
        self._bed = _BEDS.get(source)
        if self._bed is not None:
            self._gas_c = ceiling_c + self._bed.over_ceiling_dc
            self._film = self._film_w_m2k(self._bed, truth)
        else:
            self._power_w = truth.heater * self._torch_w(ceiling_c)

    def _film_w_m2k(self, bed: _Bed, truth: Truth) -> Floats:
        x = (self._plate.x_m / self._plate.size_m[0] - 0.5)[:, None]
        y = (self._plate.y_m / self._plate.size_m[1] - 0.5)[None, :]
        edge, along, across = (share * bed.unevenness for share in truth.uneven)
        pattern = 1.0 + edge * (1.0 - 6.0 * (x**2 + y**2)) + 2.0 * (along * x + across * y)
        return np.asarray(bed.film_w_m2k * truth.heater * pattern, dtype=np.float64)

    def _torch_w(self, ceiling_c: float) -> float:
        """Return a power that could hold the plate 80 K above its ceiling."""
        plate = self._plate
        hot = np.full_like(plate.temps_c, ceiling_c + 80.0)
        cell_m2 = plate.size_m[0] * plate.size_m[1] / hot.size
        return 1.2 * float(plate.loss_w_m2(hot, 2.0).sum()) * cell_m2

    def step(self, t_s: float, step_s: float, arc_w_m2: Floats | None) -> None:
        """Move the plate on by `step_s`, with an arc's heat where there is one."""
        flux: Floats | float = 0.0 if arc_w_m2 is None else arc_w_m2
        if not self.on:
            self._plate.step(step_s, flux)
        elif self._bed is not None:
            self._plate.step(step_s, flux, self._film, self._gas_c, self._bed.bare_faces)
        else:
            self._plate.step(step_s, flux + self._power_w * self._torch_spot(t_s))

    def _torch_spot(self, t_s: float) -> Floats:
        along, across = self._plate.size_m
        turn = 2.0 * math.pi * t_s / _CIRCLE_S
        return self._plate.spot(
            along * (0.5 + 0.3 * math.cos(turn)),
            across * (0.5 + 0.3 * math.sin(turn)),
            _TORCH_SIGMA_M,
        )
