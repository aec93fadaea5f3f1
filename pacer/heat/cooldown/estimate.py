"""Fitting a cooling model to binned readings: the most probable parameters and spread.

Gauss-Newton on standardised parameters (prior = unit normal), readings weighted by
Huber's rule, so that a bin spoilt by a spike pulls no harder than one 1.5 sd off.
The sd of a bin is mostly the model's own error, not the sensor's:
``sqrt(sd^2 + 1.2^2 + (0.01 (1 + 1.5 exp(-t/900 s)) (T - Ta))^2)`` °C, tuned on simulated
cool-downs: half as much and the intervals hold too seldom, twice as much and the readings
are not believed soon enough. The first quarter of an hour counts less: it carries the start gradient, the
contact and any moisture.

A fit may start near an earlier one, which is only quicker: it ends where a fit from the
prior ends, because both stop at the same small predicted gain.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pacer.heat.bins import Bins
from pacer.heat.cooldown.curves import FARTHEST_SD
from pacer.heat.cooldown.prior import Prior
from pacer.heat.cooldown.slopes import curve_and_slopes

Floats = npt.NDArray[np.float64]

Bound = tuple[float, float, int]
"""(seconds since the cool-down began, °C, +1 at least that hot or -1 at most).

What a temperature crayon tells: it melts or it doesn't.
"""

DOUBT = 3.5
"""A pull above this, half an hour in or later, says the cover is not what was said.

Simulated: 144 cool-downs as said reach 2.6 in sand (90 %), 3.4 at most; damp sand 3.7-6.8.
"""

FLOOR_DC, RELATIVE, EARLY, EARLY_S = 1.2, 0.01, 1.5, 900.0
BOUND_SD_DC = 10.0
"A crayon's melting point, and the moment between looking and noting (as a typed reading)."
HUBER = 1.5
_ROUNDS = 20
_STALE = 2.0
"A predicted gain above this says that an earlier fit has little to do with these readings."
GAIN = 1e-4
"Predicted gain in the cost below which a step is taken unseen: 0.014 sd of the fit at most."


@dataclass(frozen=True, eq=False)
class Estimate:
    """Where the parameters are most probable, in sd from the prior, and how sure."""

    z: Floats
    "(parameters,)"
    spread: Floats
    "(parameters, parameters): spread @ unit normals are draws about z"
    evidence: float = 0.0
    "Logarithm of how probable the model makes the readings (Laplace), up to what models share."

    @property
    def pull(self) -> float:
        """Distance from the prior in sd, all parameters together; see `DOUBT`."""
        return float(np.sqrt(np.sum(self.z**2)))


def bin_sd_dc(times_s: Floats, temps_c: Floats, ambient_c: float, reading_sd_dc: float) -> Floats:
    """Return the likelihood sd of each bin, °C; see the module's head."""
    relative = RELATIVE * (1.0 + EARLY * np.exp(-times_s / EARLY_S)) * (temps_c - ambient_c)
    return np.asarray(np.sqrt(reading_sd_dc**2 + FLOOR_DC**2 + relative**2), dtype=np.float64)


class Seen:
    """Everything read of one cool-down, as arrays: bins first, then bounds."""

    def __init__(
        self, prior: Prior, bins: Bins, reading_sd_dc: float, bounds: Sequence[Bound]
    ) -> None:
        """Join bins and bounds."""
        self.times_s = np.array([b[0] for b in bins] + [b[0] for b in bounds])
        self.temps_c = np.array([b[1] for b in bins] + [b[1] for b in bounds])
        self._side = np.array([0.0] * len(bins) + [float(b[2]) for b in bounds])
        own = np.where(self._side == 0.0, reading_sd_dc, BOUND_SD_DC)
        floor = bin_sd_dc(self.times_s, self.temps_c, prior.ambient_c, 0.0)
        self._sd = np.hypot(own, floor)

    def misses(self, curve_c: Floats) -> tuple[Floats, Floats]:
        """Return how far the readings lie above `curve_c`, in sd, and 0 where that is no miss."""
        miss = (self.temps_c - curve_c) / self._sd
        # At least so hot: only a curve below is wrong.
        counts = np.where(self._side * miss >= 0.0, 1.0 / self._sd, 0.0)
        return np.where(counts > 0.0, miss, 0.0), counts


def _cost(miss: Floats, z: Floats) -> float:
    size = np.abs(miss)
    huber = np.where(size <= HUBER, 0.5 * size**2, HUBER * (size - 0.5 * HUBER))
    return float(np.sum(huber) + 0.5 * np.sum(z**2))


class _Place:
    """The tangent problem at one point: its cost, the step to its minimum, what that gains."""

    def __init__(self, prior: Prior, seen: Seen, z: Floats) -> None:
        curve_c, slopes = curve_and_slopes(prior, z, seen.times_s)
        miss, counts = seen.misses(curve_c)
        self.z, self.cost = z, _cost(miss, z)
        weight = np.minimum(1.0, HUBER / np.maximum(np.abs(miss), 1e-12))
        slopes = slopes * counts[:, None]
        self.normal = (slopes * weight[:, None]).T @ slopes + np.eye(len(z))
        downhill = slopes.T @ (weight * miss) - z
        self.step = np.linalg.solve(self.normal, downhill)
        self.gain = 0.5 * float(downhill @ self.step)

    def after(self, share: float) -> Floats:
        """Return where `share` of the step leads."""
        return np.clip(self.z + share * self.step, -FARTHEST_SD, FARTHEST_SD)


def estimate(
    prior: Prior,
    bins: Bins,
    reading_sd_dc: float,
    near: Sequence[float] | None = None,
    bounds: Sequence[Bound] = (),
    gain: float = GAIN,
) -> Estimate:
    """Return the most probable parameters of `prior`'s model given `bins` and `bounds`.

    Without either that is the prior itself. `near` is the `z` of an earlier fit of the same
    cool-down; `gain` is the predicted gain in the cost at which the place is good enough.
    """
    count = len(prior.mean)
    if not bins and not bounds:
        return Estimate(np.zeros(count), np.eye(count))
    seen = Seen(prior, bins, reading_sd_dc, bounds)
    here = _first(prior, seen, near)
    share = 1.0
    for _ in range(_ROUNDS):
        if here.gain < gain:
            break
        there = _Place(prior, seen, here.after(share))
        if there.cost < here.cost:
            here, share = there, min(1.0, 2.0 * share)
        elif share < 0.1:
            # Too far for the tangent, and even a tenth of it doesn't help: this is the place.
            return _of(here, here.z)
        else:
            share *= 0.3
    return _of(here, here.after(1.0) if here.gain < gain else here.z)


def _first(prior: Prior, seen: Seen, near: Sequence[float] | None) -> _Place:
    """Return where to start: `near`, unless it is stale and the prior explains more."""
    origin = np.zeros(len(prior.mean))
    if near is None or len(near) != len(origin):
        return _Place(prior, seen, origin)
    place = _Place(prior, seen, np.clip(np.asarray(near), -FARTHEST_SD, FARTHEST_SD))
    if place.gain < _STALE:
        return place
    return min(place, _Place(prior, seen, origin), key=lambda one: one.cost)


def _of(place: _Place, z: Floats) -> Estimate:
    root = np.linalg.cholesky(place.normal)
    # Half the logarithm of the determinant: a model that could have made much else says less.
    evidence = -place.cost - float(np.sum(np.log(np.diagonal(root))))
    return Estimate(z, np.linalg.inv(root).T, evidence)
