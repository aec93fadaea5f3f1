"""Forecasts scored against truths: error, bias, coverage and width, the same for every truth."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Protocol

import numpy as np
import truth2d
import truth_air
import truth_buried
import truth_furnace

from pacer.heat.bins import Bins
from pacer.heat.cooldown.eta import forecast_eta
from pacer.heat.cooldown.fitted import fit
from pacer.heat.cooldown.prior import prior
from pacer.heat.part import CoolingPart, Cover, CoverName

FIRST_SEED = 300
"Seeds from here on were never used for tuning."


class Story(Protocol):
    """What a truth tells."""

    @property
    def part(self) -> CoolingPart:
        """Return the part as told by the user."""

    @property
    def ambient_c(self) -> float:
        """Return the shop as told by the user."""

    def reached_s(self, until_c: float) -> float:
        """Return when it was so cold, s; inf if it wasn't."""

    def bins_until(self, now_s: float, seed: int) -> Bins:
        """Return what the sensor showed until then."""


@lru_cache(maxsize=512)
def story(kind: str, cover: CoverName, seed: int, end_c: float = 43.0) -> tuple[Story, Cover]:
    """Return one truth and the cover as told; `kind` is 2d (down to `end_c`), buried, air, furnace."""
    if kind == "air":
        return truth_air.truth(seed), Cover("still air")
    if kind == "furnace":
        return truth_furnace.truth(seed), Cover("furnace")
    if kind == "buried":
        # One job a seed: the draws of a seed are the same in every job.
        names = tuple(truth_buried.JOBS)
        buried = truth_buried.truth(seed, names[seed % len(names)], cover)
        return buried, buried.cover
    plain = truth2d.truth(seed, cover, end_c, longest_h=60.0)
    return plain, plain.cover


@dataclass(frozen=True)
class Score:
    """Shares of the true time."""

    count: int
    error: float
    "Median of its size."
    bias: float
    "Median; early negative."
    inside: float
    "Share of truths the 80 % interval holds."
    width: float

    @property
    def most_inside(self) -> float:
        """95 % and two standard deviations of sampling: what a calibrated interval may show."""
        return 0.95 + 2.0 * math.sqrt(0.95 * 0.05 / self.count)

    @property
    def least_inside(self) -> float:
        """70 %, no allowance."""
        return 0.70


def score(
    kind: str,
    cover: CoverName,
    seeds: range,
    now_s: float,
    until_c: float = 45.0,
    typed: bool = False,
    untold: str = "",
) -> Score:
    """Score the forecasts at `now_s` of truths whose end is still 15 % or more away.

    `untold` is "sizes" or "box" where the user didn't tell them.
    """
    errors, inside, widths = [], [], []
    for seed in seeds:
        truth, told = story(kind, cover, seed, min(43.0, until_c - 1.0))
        true_s = truth.reached_s(until_c)
        if not 1.15 * now_s < true_s < math.inf:
            continue
        if typed:
            assert isinstance(truth, truth2d.Truth)
            bins = truth.typed_until(now_s, seed)
        else:
            bins = truth.bins_until(now_s, seed)
        part = replace(truth.part, size_m=None) if untold == "sizes" else truth.part
        cover_told = Cover(told.name) if untold == "box" else told
        p = prior(part, cover_told, truth.ambient_c, bins[0][1])
        found = fit(p, bins if now_s else (), 10.0 if typed else 1.0)
        eta = forecast_eta(found, until_c, now_s)
        high_s = math.inf if eta.high_s is None else eta.high_s
        errors.append(eta.eta_s / true_s - 1.0)
        inside.append(eta.low_s <= true_s <= high_s)
        widths.append((high_s - eta.low_s) / true_s)
    if not errors:
        return Score(0, math.nan, math.nan, math.nan, math.nan)
    return Score(
        len(errors),
        float(np.median(np.abs(errors))),
        float(np.median(errors)),
        float(np.mean(inside)),
        float(np.median(widths)),
    )
