"""A finer cool-down in a furnace left shut, to test its forecasts against.

A part in a chamber of brick: heat leaves it by radiation and still air to the inner face,
goes through the lining (one dimension, finite volumes, soaked through for a time that
differs) and from the shell to the room; some leaves with air through gaps. The program's
own model of a furnace is a formula with two free numbers and knows nothing of brick.

All sizes and properties are estimates of small chamber furnaces (linings of light or dense
brick, 60-150 mm); no measured furnace was at hand.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pacer.heat.bins import Bins, add
from pacer.heat.part import CoolingPart

Floats = npt.NDArray[np.float64]

CELLS = 24
SIGMA = 5.670374419e-8


@dataclass(frozen=True, eq=False)
class FurnaceTruth:
    """What happened and what the user said of it."""

    times_s: Floats
    part_c: Floats
    part: CoolingPart
    ambient_c: float
    bias_dc: float

    def reached_s(self, until_c: float) -> float:
        """Return when the part was at `until_c`, s; inf if it wasn't."""
        if self.part_c[-1] > until_c:
            return float("inf")
        return float(np.interp(-until_c, -self.part_c, self.times_s))

    def bins_until(self, now_s: float, seed: int) -> Bins:
        """Return the bins of a sensor with bias and 1 °C noise, every 10 s."""
        chance = np.random.default_rng(seed + 1000)
        bins: Bins = ()
        for t in np.arange(0.0, now_s + 1e-6, 10.0):
            temp = float(np.interp(t, self.times_s, self.part_c)) + self.bias_dc
            bins = add(bins, float(t), temp + float(chance.normal(0.0, 1.0)))
        return bins


@dataclass(frozen=True)
class Furnace:
    """One furnace and what is in it; SI units."""

    mass: float
    area: float
    emissivity: float
    inner: float
    "Area of the chamber's inner face, m2."
    lining: float
    k: float
    rho_cp: float
    outer: float
    leak: float
    "Heat that goes with air through gaps, W/K."
    start: float
    soaked: float
    "Share of the steady profile the lining has reached: 0 cold behind the face, 1 steady."
    ambient: float


def invent(seed: int) -> Furnace:
    """Return a furnace drawn from the ranges named in the module's head."""
    chance = np.random.default_rng(seed + 4000)
    light = chance.random() < 0.6
    mass = chance.uniform(2.5, 12.0)
    return Furnace(
        mass=mass,
        area=2.0 * mass / 7250.0 / chance.uniform(0.010, 0.02),
        emissivity=chance.uniform(0.6, 0.9),
        inner=chance.uniform(0.35, 1.2),
        lining=chance.uniform(0.06, 0.15),
        k=chance.uniform(0.15, 0.35) if light else chance.uniform(0.6, 1.2),
        rho_cp=(chance.uniform(500, 900) if light else chance.uniform(1700, 2200)) * 950.0,
        outer=chance.uniform(7.0, 13.0),
        leak=chance.uniform(0.0, 1.0),
        start=chance.uniform(240.0, 560.0),
        soaked=chance.uniform(0.3, 1.0),
        ambient=chance.uniform(12.0, 28.0),
    )


def simulate(f: Furnace, until_c: float, longest_s: float) -> tuple[Floats, Floats]:
    """Return times and the part's temperature: implicit steps of 2 %, film of the step's start."""
    width = f.lining / CELLS
    heat = np.concatenate([[0.0], np.full(CELLS, f.inner * width * f.rho_cp)])
    resistance = (f.lining / f.k) / (f.lining / f.k + 1.0 / f.outer)
    depth = (np.arange(CELLS) + 0.5) / CELLS
    steady = 1.0 - resistance * depth
    cold = np.exp(-depth / 0.15)
    brick = f.ambient + (f.start - f.ambient) * (f.soaked * steady + (1.0 - f.soaked) * cold)
    temp = np.concatenate([[f.start], brick])
    inside = f.k * f.inner / width
    times, part = [0.0], [f.start]
    while part[-1] > until_c and times[-1] < longest_s:
        step = max(10.0, 0.02 * times[-1])
        heat[0] = f.mass * (450.0 + 0.4 * temp[0])
        hot, wall = temp[0] + 273.15, temp[1] + 273.15
        film = 4.0 + f.emissivity * SIGMA * (hot + wall) * (hot**2 + wall**2)
        joint = np.full(CELLS, inside)
        joint[0] = 1.0 / (1.0 / (f.area * film) + 0.5 / inside)
        matrix = np.diag(heat / step)
        for i in range(CELLS):
            matrix[i, i] += joint[i]
            matrix[i + 1, i + 1] += joint[i]
            matrix[i, i + 1] -= joint[i]
            matrix[i + 1, i] -= joint[i]
        out = 1.0 / (1.0 / (f.outer * f.inner) + 0.5 / inside)
        matrix[-1, -1] += out
        matrix[0, 0] += f.leak
        known = heat * temp / step
        known[-1] += out * f.ambient
        known[0] += f.leak * f.ambient
        temp = np.linalg.solve(matrix, known)
        times.append(times[-1] + step)
        part.append(float(temp[0]))
    return np.array(times), np.array(part)


def truth(seed: int, until_c: float = 43.0, longest_h: float = 96.0) -> FurnaceTruth:
    """Return the whole story of one seed."""
    chance = np.random.default_rng(seed + 5000)
    furnace = invent(seed)
    times, temps = simulate(furnace, until_c, longest_h * 3600.0)
    part = CoolingPart(float(furnace.mass * np.exp(chance.normal(0.0, 0.05))), None, 0.012)
    ambient = furnace.ambient + float(chance.normal(0.0, 1.0))
    return FurnaceTruth(times, temps, part, ambient, float(chance.uniform(-1.5, 1.5)))
