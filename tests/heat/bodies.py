"""Cooling curves of bodies no cover's model was made for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from pacer.heat.bins import Bins, add
from pacer.heat.cooldown.eta import forecast_eta
from pacer.heat.cooldown.fitted import fit
from pacer.heat.cooldown.prior import Prior, prior
from pacer.heat.part import CoolingPart, Cover, CoverName

Floats = npt.NDArray[np.float64]

COVERS: tuple[CoverName, ...] = (
    "dry sand",
    "vermiculite",
    "ceramic blanket",
    "still air",
    "furnace",
)
PARTS = (
    CoolingPart(3.2, (0.26, 0.18, 0.04), 0.012),
    CoolingPart(12.7, (0.32, 0.24, 0.06), 0.016),
    CoolingPart(6.0, None, 0.015),
)
FACTORS = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0)
KINDS = ("newton", "two", "lumps", "slow")
UNTIL_C = 45.0


@dataclass(frozen=True, eq=False)
class Body:
    """One body, and the prior of the job it is passed off as."""

    prior: Prior
    times_s: Floats
    temps_c: Floats
    every_s: float

    @property
    def reached_s(self) -> float:
        """Return when it is at 45 °C, s."""
        return float(np.interp(-UNTIL_C, -self.temps_c, self.times_s))

    def bins_until(self, now_s: float, chance: np.random.Generator) -> tuple[Prior, Bins]:
        """Return the prior with the start as read, and what a sensor with 0.5 °C noise showed."""
        bins: Bins = ()
        for t in np.arange(0.0, now_s + 1e-6, max(self.every_s, self.reached_s / 6000.0)):
            temp = float(np.interp(t, self.times_s, self.temps_c)) + chance.normal(0.0, 0.5)
            bins = add(bins, float(t), temp)
        start_c = bins[0][1]
        named = zip(self.prior.names, self.prior.mean, strict=True)
        mean = tuple(start_c if name == "start_c" else value for name, value in named)
        return replace(self.prior, start_c=start_c, mean=mean), bins


def _share_left(kind: str, x: Floats, fall: float, chance: np.random.Generator) -> Floats:
    """Return the share of the excess left at `x` (1 where a plain exponential is at 45 °C)."""
    if kind == "newton":
        left = np.exp(-x * fall)
    elif kind == "two":
        quick, ratio = chance.uniform(0.2, 0.6), chance.uniform(4.0, 15.0)
        left = quick * np.exp(-ratio * x * fall) + (1.0 - quick) * np.exp(-x * fall)
    elif kind == "lumps":
        shares = chance.dirichlet(np.ones(4))
        rates = np.exp(chance.normal(0.0, 0.8, 4))
        left = np.sum(shares[:, None] * np.exp(-rates[:, None] * x * fall), axis=0)
    else:
        slowing = chance.uniform(0.3, 1.2)
        left = (1.0 + np.expm1(slowing * fall) * x) ** (-1.0 / slowing)
    return np.asarray(left, dtype=np.float64)


def bodies(seed: int) -> Iterator[Body]:
    """Yield bodies 0.1 to 10 times as slow as their job's prior, of four kinds, in every cover."""
    chance = np.random.default_rng(seed)
    number = 0
    for cover in COVERS:
        for part in PARTS:
            p = prior(part, Cover(cover), 20.0, 260.0)
            usual_s = forecast_eta(fit(p, ()), UNTIL_C, 0.0).eta_s
            for factor in FACTORS:
                for kind in KINDS:
                    start_c = chance.uniform(230.0, 290.0)
                    room_c = 20.0 + chance.normal(0.0, 1.0)
                    fall = float(np.log((start_c - room_c) / (UNTIL_C - room_c)))
                    x = np.concatenate([[0.0], np.geomspace(1e-4, 12.0, 800)])
                    temps = room_c + (start_c - room_c) * _share_left(kind, x, fall, chance)
                    number += 1
                    if temps[-1] < UNTIL_C:
                        every_s = (1.0, 10.0, 60.0, 300.0)[number % 4]
                        yield Body(p, x * usual_s * factor, temps, every_s)
