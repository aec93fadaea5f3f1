"""A finer still-air cool-down than the program's own model, to test its forecasts against.

Three lumps of different thickness joined by conduction (a flange, a web, a boss), each
losing heat by the vertical-plate correlation of Churchill and Chu (as in `ht`, there from
the paper; here with properties of air at film temperature) and by radiation with an
emissivity of its own; a draught factor that drifts. The model knows one temperature, a
quarter-power film and one emissivity.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.integrate import solve_ivp

from pacer.heat.bins import Bins, add
from pacer.heat.part import CoolingPart

Floats = npt.NDArray[np.float64]


def film_w_m2k(surface_c: Floats, air_c: float, height_m: float) -> Floats:
    """Return the mean film coefficient of a vertical plate, Churchill and Chu (laminar form).

    ``Nu = 0.68 + 0.670 Ra^(1/4) / [1 + (0.492/Pr)^(9/16)]^(4/9)``.
    """
    middle_c = 0.5 * (surface_c + air_c)
    k = 0.0243 + 7.0e-5 * middle_c
    nu = 1.33e-5 + 9.5e-8 * middle_c
    prandtl = 0.70
    expansion = 1.0 / (middle_c + 273.15)
    grashof = 9.81 * expansion * np.abs(surface_c - air_c) * height_m**3 / nu**2
    factor = (1.0 + (0.492 / prandtl) ** (9.0 / 16.0)) ** (4.0 / 9.0)
    nusselt = 0.68 + 0.670 * (grashof * prandtl) ** 0.25 / factor
    return np.asarray(nusselt * k / height_m, dtype=np.float64)


@dataclass(frozen=True, eq=False)
class AirTruth:
    """What happened and what the user said of it."""

    times_s: Floats
    part_c: Floats
    part: CoolingPart
    ambient_c: float
    bias_dc: float

    def reached_s(self, until_c: float) -> float:
        """Return when the sensor's place was at `until_c`, s."""
        return float(np.interp(-until_c, -self.part_c, self.times_s))

    def bins_until(self, now_s: float, seed: int) -> Bins:
        """Return the bins of a sensor with bias and 1 °C noise, every 5 s."""
        chance = np.random.default_rng(seed + 1000)
        bins: Bins = ()
        for t in np.arange(0.0, now_s + 1e-6, 5.0):
            temp = float(np.interp(t, self.times_s, self.part_c)) + self.bias_dc
            bins = add(bins, float(t), temp + float(chance.normal(0.0, 1.0)))
        return bins


def truth(seed: int) -> AirTruth:
    """Return the story of one seed: 2.5-5 kg, user 5 % wrong in mass, 10 % in wall."""
    chance = np.random.default_rng(seed + 300)
    mass = chance.uniform(2.5, 5.0)
    walls = chance.uniform(0.008, 0.018) * np.array([0.75, 1.0, 1.7])
    share = np.array([0.3, 0.5, 0.2])
    rho = 7250.0
    area = 2.0 * mass * share / (rho * walls) * chance.uniform(0.95, 1.15)
    emissivity = chance.uniform(0.62, 0.92) + chance.uniform(-0.05, 0.05, 3)
    draught = chance.uniform(0.8, 1.5)
    drift = chance.uniform(-0.15, 0.15)
    height = chance.uniform(0.05, 0.2)
    joint_w_k = 46.0 * walls[:2] * 0.15 / 0.08
    air = chance.uniform(12.0, 28.0)
    start = chance.uniform(230.0, 290.0) + np.array([-10.0, 0.0, 8.0])
    slope = chance.uniform(0.3, 0.5)

    def rate(t: float, temp: Floats) -> Floats:
        film = film_w_m2k(temp, air, height) * draught * (1.0 + drift * np.sin(t / 900.0))
        sigma = 5.670374419e-8
        radiated = emissivity * sigma * ((temp + 273.15) ** 4 - (air + 273.15) ** 4)
        gain = -area * (film * (temp - air) + radiated)
        across = joint_w_k * np.diff(temp)
        gain[:2] += across
        gain[1:] -= across
        return np.asarray(gain / (mass * share * (460.0 + slope * temp)), dtype=np.float64)

    times = np.arange(0.0, 6.0 * 3600.0, 20.0)
    solved = solve_ivp(rate, (0.0, times[-1]), start, t_eval=times, method="LSODA", rtol=1e-6)
    told_kg = float(mass * np.exp(chance.normal(0.0, 0.05)))
    told_m = float(walls[1] * np.exp(chance.normal(0.0, 0.1)))
    part = CoolingPart(told_kg, None, told_m)
    told_air = air + float(chance.normal(0.0, 1.0))
    return AirTruth(times, solved.y[1], part, told_air, float(chance.uniform(-1.5, 1.5)))
