"""A cool-down's prior and readings put together: the fitted curve and how far it may be off.

Pure: nothing is carried from one fit to the next but what the caller hands in.
The curve is the model's at the most probable parameters, moved on to where the latest
readings are; curves of other parameters are made only when somebody asks.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from pacer.heat.bins import Bins
from pacer.heat.cooldown.curves import Curves, curves_of
from pacer.heat.cooldown.estimate import GAIN, Bound, bin_sd_dc, estimate
from pacer.heat.cooldown.prior import Prior
from pacer.heat.cooldown.slopes import curve_and_slopes
from pacer.heat.draws import normals

Floats = npt.NDArray[np.float64]

_SETTLING = 0.5
"A miss of the latest readings fades over this share of the time gone by, s/s."
_FARTHEST_MISS_SD = 8.0
"A miss beyond so many likelihood sd is not carried on in full."
_LATEST = 5
"Bins whose median miss counts as the present one: two spoilt bins don't move it."


@dataclass(frozen=True, eq=False)
class Fit:
    """What a cool-down's readings so far say."""

    prior: Prior
    z: tuple[float, ...]
    "Fitted parameters in sd from the prior; `near` of the next fit."
    spread: Floats
    "(parameters, parameters): spread @ unit normals are draws about z."
    bins: Bins
    reading_sd_dc: float
    bounds: tuple[Bound, ...] = ()
    evidence: float = 0.0
    "See `estimate.Estimate`."

    @property
    def bins_used(self) -> int:
        """How many bins the fit rests on."""
        return len(self.bins)

    @property
    def latest(self) -> Bins:
        """The last few bins."""
        return self.bins[-_LATEST:]

    @property
    def pull(self) -> float:
        """Distance of the fitted parameters from the prior, sd; above `DOUBT` something is amiss."""
        return float(np.sqrt(np.sum(np.square(self.z))))

    @cached_property
    def _best(self) -> tuple[Curves, Floats]:
        return self._of(np.array([self.z]))

    @cached_property
    def _draws(self) -> tuple[Curves, Floats]:
        return self._of(np.array(self.z) + normals(len(self.z)) @ self.spread.T)

    def best_c(self, times_s: Floats) -> Floats:
        """Return the most probable curve, °C; `times_s` and shape as `burial.Modes.at`, one set."""
        return self._corrected(self._best, times_s)

    def draws_c(self, times_s: Floats) -> Floats:
        """Return curves drawn from the fit, °C, shape (draws, times)."""
        return self._corrected(self._draws, times_s)

    def others_c(self, z: Floats) -> Callable[[Floats], Floats]:
        """Return the curves at `z`, (sets, parameters), as a function of times."""
        made = self._of(z)
        return lambda times_s: self._corrected(made, times_s)

    def slopes_dc(self, t_s: float) -> Floats:
        """Return the change of `best_c` at `t_s` by one sd of each prior, (parameters,), °C."""
        times = np.array([t_s, *(b[0] for b in self.latest)])
        slopes = curve_and_slopes(self.prior, np.array(self.z), times)[1]
        if not self.latest:
            return np.asarray(slopes[0], dtype=np.float64)
        share, _ = self._share
        carried = share * float(self._fade(np.array([t_s]))[0])
        return np.asarray(slopes[0] - carried * np.mean(slopes[1:], axis=0), dtype=np.float64)

    @cached_property
    def _share(self) -> tuple[float, float]:
        """Return how much of a miss is the model's, not the readings', and its limit, °C."""
        times_s, temps_c, _ = np.array(self.latest).T
        model_sd = float(np.median(bin_sd_dc(times_s, temps_c, self.prior.ambient_c, 0.0)))
        noise_dc = self.reading_sd_dc / len(self.latest) ** 0.5
        return model_sd**2 / (model_sd**2 + noise_dc**2), _FARTHEST_MISS_SD * model_sd

    def _of(self, z: Floats) -> tuple[Curves, Floats]:
        """Return curves and how far the latest readings lie above each, °C.

        The model misses a little, and a forecast that starts where the part is not would
        carry the whole miss into the time.
        """
        curves = curves_of(self.prior, z)
        if not self.latest:
            return curves, np.zeros(len(z))
        times_s, temps_c, _ = np.array(self.latest).T
        share, limit_dc = self._share
        miss_dc = share * np.median(temps_c - curves.at(times_s), axis=1)
        return curves, np.clip(miss_dc, -limit_dc, limit_dc)

    def _fade(self, times_s: Floats) -> Floats:
        last_s = self.latest[-1][0] if self.latest else 0.0
        return np.exp(-np.abs(times_s - last_s) / max(_SETTLING * last_s, 60.0))

    def _corrected(self, made: tuple[Curves, Floats], times_s: Floats) -> Floats:
        curves, miss_dc = made
        return curves.at(times_s) + miss_dc[:, None] * self._fade(times_s)


def fit(
    prior: Prior,
    bins: Bins,
    reading_sd_dc: float = 1.0,
    near: Sequence[float] | None = None,
    bounds: Sequence[Bound] = (),
    gain: float = GAIN,
) -> Fit:
    """Fit `prior`'s model to `bins` and `bounds`; without either the fit is the prior.

    `reading_sd_dc` is the error of a bin's readings, °C: 1 for an instrument, 10 for
    temperatures typed from a hand-held. `bounds` are what a crayon told, "at least" or
    "at most". `near` is the `z` of an earlier fit of the same cool-down: quicker, same result.
    `gain` is the precision, see `estimate`.
    """
    found = estimate(prior, bins, reading_sd_dc, near, bounds, gain)
    z = tuple(round(float(x), 6) for x in found.z)
    return Fit(prior, z, found.spread, bins, reading_sd_dc, tuple(bounds), found.evidence)


def temperature_curve(fit: Fit, times_s: Floats) -> tuple[Floats, Floats, Floats]:
    """Return the forecast temperature and its 80 % interval at `times_s`, °C, (times,) each."""
    times = np.asarray(times_s, dtype=np.float64)
    low, high = np.quantile(fit.draws_c(times), [0.1, 0.9], axis=0)
    best = fit.best_c(times)[0]
    return best, np.minimum(low, best), np.maximum(high, best)
