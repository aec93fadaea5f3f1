"""A finer heat-up than the program's own model, to test its forecasts against.

What the plates and sources of `truth_heat_sources` do, seen by a sensor that lags, errs and
is noisy, and told by a user who errs in mass, wall and air temperature.

No measured heat-up of a casting was at hand: the figures show the cost of simplification
and wrong input, not accuracy in a workshop. Seeds below 100 were used for tuning.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt
from truth_heat_sources import CELL_M, SOURCES, TARGET_C, Turns, flux_of, invent_plate, turned

from pacer.heat.bins import Bins, add
from pacer.heat.part import CoolingPart
from pacer.heat.preheat.target import HeatingPrior, SourceName, heating_prior

Floats = npt.NDArray[np.float64]

LONGEST_S = 4.0 * 3600.0
WATT_M2 = {"gas grill": 7000.0, "oven": 8000.0, "torch": 20000.0, "hot plate": 7000.0}
"Heat into each m² of iron as the plan assumes it (`job/preheat.py`; estimates)."
_EVERY_S = 2.0


@dataclass(frozen=True, eq=False)
class HeatUp:
    """What happened, once a second, and what the user said of it."""

    source: SourceName
    place_c: Floats
    "At the sensor's place, (seconds,)"
    coldest_c: Floats
    hottest_c: Floats
    shown_c: Floats
    "What the sensor shows, with lag and bias, without noise."
    part: CoolingPart
    ambient_c: float
    start_c: float
    warm: bool
    "The source has burnt before."

    def reached_s(self, temp_c: float) -> float:
        """Return when the sensor's place was first at `temp_c`, s; inf if it wasn't."""
        there = self.place_c >= temp_c
        return float(np.argmax(there)) if there.any() else math.inf

    def moment_s(self, shown_c: float) -> float:
        """Return when the sensor first showed `shown_c`, s."""
        return float(np.argmax(self.shown_c >= shown_c))

    def prior(self) -> HeatingPrior:
        """Return what the plan would have believed."""
        area_m2 = self.part.plate_area_m2
        return heating_prior(
            self.source,
            WATT_M2[self.source] * area_m2,
            self.part.mass_kg,
            area_m2,
            self.ambient_c,
            self.ambient_c if self.start_c < 100.0 else self.start_c,
            TARGET_C,
            self.warm,
        )

    def spread_dc(self, temp_c: float) -> float:
        """Return hottest less coldest cell when the sensor first showed `temp_c`."""
        at = int(np.argmax(self.shown_c >= temp_c))
        return float(self.hottest_c[at] - self.coldest_c[at])

    def bins_until(self, now_s: float, seed: int) -> Bins:
        """Return the bins of readings every 2 s with 1 °C of noise."""
        chance = np.random.default_rng(seed + 1000)
        bins: Bins = ()
        for t in np.arange(0.0, min(now_s, len(self.shown_c) - 1.0) + 1e-6, _EVERY_S):
            bins = add(bins, float(t), float(self.shown_c[int(t)] + chance.normal()))
        return bins

    def typed_until(self, now_s: float, seed: int) -> Bins:
        """Return the bins of readings typed every 2-5 min, each up to 10 °C wrong."""
        chance = np.random.default_rng(seed + 2000)
        bins: Bins = ()
        t = 0.0
        while t <= now_s:
            bins = add(bins, t, float(self.place_c[int(t)] + chance.uniform(-10.0, 10.0)))
            t += chance.uniform(120.0, 300.0)
        return bins


@lru_cache(maxsize=256)
def heat_up(
    source: SourceName,
    seed: int,
    from_c: float | None = None,
    lit_s: float = 0.0,
    turns: Turns = (),
) -> HeatUp:
    """Return the story of one seed, up to 10 °C above the target or `LONGEST_S`.

    `from_c` is where the whole part begins (default: about the air), `lit_s` how long the
    source has burnt by then, `turns` what the welder does with its tap.
    """
    chance = np.random.default_rng([seed, SOURCES.index(source)])
    plate = invent_plate(chance)
    flux = turned(flux_of(source, plate, chance), plate, turns)
    nx, ny = plate.thickness_m.shape
    angle, away = chance.uniform(0.0, 2.0 * math.pi), chance.uniform(0.025, 0.06) / CELL_M
    i = min(max(int(nx / 2 + away * math.cos(angle)), 0), nx - 1)
    j = min(max(int(ny / 2 + away * math.sin(angle)), 0), ny - 1)
    lag_s, bias_dc = chance.uniform(3.0, 9.0), chance.uniform(-2.0, 2.0)
    start_c = plate.ambient_c + chance.uniform(-2.0, 3.0)
    start_c = start_c if from_c is None else from_c
    temp_c = np.full((nx, ny), start_c)
    rows, lagged_c = [], start_c
    for t in range(int(LONGEST_S)):
        lagged_c += (temp_c[i, j] - lagged_c) / lag_s
        rows.append((temp_c[i, j], temp_c.min(), temp_c.max(), lagged_c + bias_dc))
        if lagged_c > TARGET_C + 10.0:
            break
        temp_c = plate.step(temp_c, flux(lit_s + t, temp_c), 1.0)
    place, cold, hot, shown = np.array(rows).T
    told_kg = float(plate.mass_kg * np.exp(chance.normal(0.0, 0.06)))
    told_m = float(np.median(plate.thickness_m) * np.exp(chance.normal(0.0, 0.10)))
    told_air_c = plate.ambient_c + float(chance.normal(0.0, 1.0))
    part = CoolingPart(told_kg, None, told_m)
    return HeatUp(source, place, cold, hot, shown, part, told_air_c, start_c, lit_s > 0.0)
