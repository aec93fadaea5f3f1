"""The cool-down's forecast: prior, readings so far, when it will be cold enough.

``fit(prior(part, cover, ambient_c, start_c), bins)`` then ``forecast_eta``.
Everything is a pure function of its arguments (no stored filter, no chance, no warm
start), so a replay gives the same numbers. Times are seconds since the cool-down began.

The interval is 80 %: a fixed table of normal draws through the fitted spread of the
parameters. Finite input gives finite numbers; where a bound can't be given it is None.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pacer.heat.bins import Bins
from pacer.heat.curves import Curves, curves_of
from pacer.heat.draws import normals
from pacer.heat.estimate import DOUBT, bin_sd_dc, estimate
from pacer.heat.part import CoolingPart, Cover
from pacer.heat.prior import Prior, prior

__all__ = [
    "DOUBT",
    "HORIZON_S",
    "INTERVAL",
    "NEAR_AMBIENT_DC",
    "CoolingPart",
    "Cover",
    "Eta",
    "Fit",
    "Prior",
    "fit",
    "forecast_eta",
    "prior",
    "temperature_curve",
]

Floats = npt.NDArray[np.float64]

HORIZON_S = 14.0 * 86400.0
"Where a forecast stops looking; an estimate that never reaches its target says this."

NEAR_AMBIENT_DC = 8.0
"A target closer to ambient than this gets no upper bound: the curve is too flat there."

INTERVAL = 0.8
"Share of truths an interval is meant to hold."

_SENSOR_SD_DC = 1.0
"What a sensor reads wrong all the time (type K, class 2: 2.5 °C at most, from memory)."
_MODEL_SD, _EARLY_SD, _EARLY_S = 0.02, 0.12, 1800.0
"""What the model gets wrong of the time still to go, beyond its parameters (tuned):
2 %, and under a cover more while only the flow near the part has been seen, which cups
and rings bend.
"""

_SETTLING = 0.5
"A miss of the latest readings fades over this share of the time gone by, s/s."
_LATEST = 5
"Bins whose median miss counts as the present one: two spoilt bins don't move it."


@dataclass(frozen=True, eq=False)
class Fit:
    """What a cool-down's readings so far say."""

    prior: Prior
    pull: float
    "Distance of the fitted parameters from the prior, sd; above `DOUBT` something is amiss."
    bins_used: int
    _best: Curves
    _draws: Curves
    _last_s: float
    _best_miss_dc: Floats
    _draws_miss_dc: Floats

    def best_c(self, times_s: Floats) -> Floats:
        """Return the most probable temperature at `times_s`, °C, shape (1, times)."""
        return self._joined(self._best, self._best_miss_dc, times_s)

    def draws_c(self, times_s: Floats) -> Floats:
        """Return the temperature of every draw, °C, shape (draws, times)."""
        return self._joined(self._draws, self._draws_miss_dc, times_s)

    def _joined(self, curves: Curves, miss_dc: Floats, times_s: Floats) -> Floats:
        settling_s = max(_SETTLING * self._last_s, 60.0)
        fade = np.exp(-np.abs(times_s - self._last_s) / settling_s)
        return curves.at(times_s) + miss_dc[:, None] * fade


@dataclass(frozen=True)
class Eta:
    """When a temperature is reached, whole seconds since the cool-down began."""

    eta_s: float
    low_s: float
    high_s: float | None
    "None where no upper bound can be given."
    model: str
    "Model and version, such as `buried/1`."


def fit(prior: Prior, bins: Bins, reading_sd_c: float = 1.0) -> Fit:
    """Fit `prior`'s model to `bins`; without bins the fit is the prior.

    `reading_sd_c` is the error of a bin's readings, °C: 1 for an instrument, 10 for
    temperatures typed from a hand-held or a crayon.
    """
    found = estimate(prior, bins, reading_sd_c)
    best = curves_of(prior, found.z[None, :])
    draws = curves_of(prior, found.z + _draws_of(prior)[:, :-2] @ found.spread.T)
    last_s, best_miss_dc = _miss(best, prior, bins, reading_sd_c)
    _, draws_miss_dc = _miss(draws, prior, bins, reading_sd_c)
    return Fit(prior, found.pull, len(bins), best, draws, last_s, best_miss_dc, draws_miss_dc)


def _draws_of(prior: Prior) -> Floats:
    """Return the table of draws: a column a parameter, then sensor and model error."""
    return normals(len(prior.mean) + 2)


def _miss(curves: Curves, prior: Prior, bins: Bins, reading_sd_c: float) -> tuple[float, Floats]:
    """Return the last bin's time and how far its neighbours lie above each curve, °C.

    The model misses a little, and a forecast that starts where the part is not would
    carry the whole miss into the time.
    Shrunk by how much of a miss may be the readings' own.
    """
    if not bins:
        return 0.0, np.zeros(len(curves.at(np.zeros(1))))
    latest = bins[-_LATEST:]
    times_s = np.array([b[0] for b in latest])
    temps_c = np.array([b[1] for b in latest])
    sd = bin_sd_dc(times_s, temps_c, prior.ambient_c, 0.0)
    miss_dc = np.median(temps_c - curves.at(times_s), axis=1)
    model_sd = float(np.median(sd))
    share = model_sd**2 / (model_sd**2 + reading_sd_c**2)
    limit_dc = 3.0 * model_sd
    return bins[-1][0], np.clip(share * miss_dc, -limit_dc, limit_dc)


def temperature_curve(fit: Fit, times_s: Floats) -> tuple[Floats, Floats, Floats]:
    """Return the forecast temperature and its 80 % interval at `times_s`, °C, (times,) each."""
    times = np.asarray(times_s, dtype=np.float64)
    low, high = np.quantile(fit.draws_c(times), [0.1, 0.9], axis=0)
    best = fit.best_c(times)[0]
    return best, np.minimum(low, best), np.maximum(high, best)


def forecast_eta(fit: Fit, until_c: float, now_s: float) -> Eta:
    """Return when the part will be down to `until_c`, seen from `now_s`.

    `now_s` and the answer count from the cool-down's start, s. `eta_s` and `low_s` are
    always numbers, not before `now_s`; a target never reached gives `HORIZON_S`.
    `high_s` is None for a target less than 8 °C above ambient or where more than one draw in
    ten never gets there. A target reached already is the caller's to tell, from the
    readings (`bins.reached_s`); here it gives `now_s`.
    """
    now_s = min(max(now_s, 0.0), HORIZON_S)
    sensor, model = _draws_of(fit.prior)[:, -2:].T
    best = _crossing_s(fit.best_c, np.array([until_c]), now_s)[0]
    draws = _crossing_s(fit.draws_c, until_c + _SENSOR_SD_DC * sensor, now_s)
    early_sd = _EARLY_SD if fit.prior.model in ("buried", "wrapped") else 0.0
    model_sd = math.hypot(_MODEL_SD, early_sd * math.exp(-now_s / _EARLY_S))
    draws = np.minimum(now_s + (draws - now_s) * np.exp(model_sd * model), HORIZON_S)
    low, high = np.quantile(draws, [0.1, 0.9])
    best = min(now_s + (best - now_s) * _mean_over_mode(low - now_s, high - now_s), HORIZON_S)
    first_s = math.ceil(now_s)
    eta_s, low_s = max(round(best), first_s), max(round(min(low, best)), first_s)
    high_s = max(round(max(high, best)), first_s)
    open_ended = until_c - fit.prior.ambient_c < NEAR_AMBIENT_DC or high >= HORIZON_S
    return Eta(eta_s, low_s, None if open_ended else high_s, fit.prior.label)


def _mean_over_mode(low_s: float, high_s: float) -> float:
    """Return the mean over the most probable value of a log-normal with this 80 % interval.

    The most probable time is early more often than late by as much; early is what cracks
    a casting, so the forecast is the mean. 1 for a narrow interval, at most 1.2.
    """
    if low_s <= 1.0:
        return 1.0
    sd = min(math.log(high_s / low_s) / (2.0 * 1.2816), 0.6)
    return math.exp(0.5 * sd**2)


def _crossing_s(curve_c: Callable[[Floats], Floats], until_c: Floats, now_s: float) -> Floats:
    """Return when each curve is first at or below its `until_c` from `now_s` on, (sets,).

    A grid in the logarithm of the time ahead finds the step, a finer one inside it the
    moment. `HORIZON_S` where none is found.
    """
    ahead = 30.0 * np.expm1(np.linspace(0.0, math.log1p(HORIZON_S / 30.0), 64))
    times = np.repeat(now_s + ahead[None, :], len(until_c), axis=0)
    below = curve_c(times) <= until_c[:, None]
    never = ~np.any(below, axis=1)
    before, after, _ = _bracket(times, below)
    times = before[:, None] + (after - before)[:, None] * np.linspace(0.0, 1.0, 17)[None, :]
    temps = curve_c(times)
    before, after, index = _bracket(times, temps <= until_c[:, None])
    rows = np.arange(len(until_c))
    above_dc = temps[rows, np.maximum(index - 1, 0)] - until_c
    fall_dc = above_dc + until_c - temps[rows, index]
    share = np.where(fall_dc > 0.0, above_dc / np.maximum(fall_dc, 1e-9), 1.0)
    found = before + np.clip(share, 0.0, 1.0) * (after - before)
    return np.where(never, HORIZON_S, np.minimum(found, HORIZON_S))


def _bracket(
    times: Floats, below: npt.NDArray[np.bool_]
) -> tuple[Floats, Floats, npt.NDArray[np.intp]]:
    """Return the times before and at the first True of each row, and its index."""
    index = np.argmax(below, axis=1)
    rows = np.arange(len(times))
    return times[rows, np.maximum(index - 1, 0)], times[rows, index], index
