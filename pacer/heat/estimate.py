"""Fitting a cooling model to binned readings: the most probable parameters and spread.

Gauss-Newton on standardised parameters (prior = unit normal), readings weighted by
Huber's rule, so that a bin spoilt by a spike pulls no harder than one 1.5 sd off.
The sd of a bin is mostly the model's own error, not the sensor's:
``sqrt(sd^2 + 3^2 + (0.02 (1 + 1.5 exp(-t/900 s)) (T - Ta))^2)`` °C.
The floor was tuned on simulated cool-downs; without it the intervals hold only half
the time. The first quarter of an hour counts less: it carries the start gradient, the
contact and any moisture.

No warm start: the result is a pure function of prior and bins.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pacer.heat.bins import Bins
from pacer.heat.curves import FARTHEST_SD, curves_of
from pacer.heat.prior import Prior

Floats = npt.NDArray[np.float64]

DOUBT = 3.0
"""A pull above this, half an hour in or later, says the cover is not what was said.

Simulated: dry sand as said 0.5-2.1 (10-90 %), damp sand 3.2-5.1: cooling much faster than
dry sand, so damp, uncovered, or the probe has moved.
"""

FLOOR_DC, RELATIVE, EARLY, EARLY_S = 3.0, 0.02, 1.5, 900.0
HUBER = 1.5
_STEP = 0.03
_ROUNDS = 12
_CLOSE, _GAIN = 0.03, 1e-3
"A move in sd, or a gain in the cost, too small to change a forecast by a second."


@dataclass(frozen=True, eq=False)
class Estimate:
    """Where the parameters are most probable, in sd from the prior, and how sure."""

    z: Floats
    "(parameters,)"
    spread: Floats
    "(parameters, parameters): spread @ unit normals are draws about z"

    @property
    def pull(self) -> float:
        """Distance from the prior in sd, all parameters together; see `DOUBT`."""
        return float(np.sqrt(np.sum(self.z**2)))


def bin_sd_dc(times_s: Floats, temps_c: Floats, ambient_c: float, reading_sd_c: float) -> Floats:
    """Return the likelihood sd of each bin, °C; see the module's head."""
    relative = RELATIVE * (1.0 + EARLY * np.exp(-times_s / EARLY_S)) * (temps_c - ambient_c)
    return np.asarray(np.sqrt(reading_sd_c**2 + FLOOR_DC**2 + relative**2), dtype=np.float64)


def _cost(residual: Floats, z: Floats) -> float:
    size = np.abs(residual)
    huber = np.where(size <= HUBER, 0.5 * size**2, HUBER * (size - 0.5 * HUBER))
    return float(np.sum(huber) + 0.5 * np.sum(z**2))


def estimate(prior: Prior, bins: Bins, reading_sd_c: float) -> Estimate:
    """Return the most probable parameters of `prior`'s model given `bins`.

    Without bins that is the prior itself.
    """
    count = len(prior.mean)
    z = np.zeros(count)
    if not bins:
        return Estimate(z, np.eye(count))
    times_s = np.array([b[0] for b in bins])
    temps_c = np.array([b[1] for b in bins])
    sd = bin_sd_dc(times_s, temps_c, prior.ambient_c, reading_sd_c)
    nudges = np.concatenate([np.zeros((1, count)), _STEP * np.eye(count)])

    def around(centre: Floats) -> tuple[Floats, Floats, float]:
        """Return residuals, their slopes and the cost at `centre`."""
        misses = (temps_c - curves_of(prior, centre + nudges).at(times_s)) / sd
        slopes = (misses[1:] - misses[0]).T / _STEP
        return misses[0], slopes, _cost(misses[0], centre)

    residual, slope, cost = around(z)
    share = 1.0
    for _ in range(_ROUNDS):
        step, _ = _gauss_newton(residual, slope, z)
        tried = np.clip(z + share * step, -FARTHEST_SD, FARTHEST_SD)
        there = around(tried)
        if there[2] >= cost:
            # Too far for the tangent; where even a tenth doesn't help, this is the place.
            share *= 0.3
            if share < 0.05:
                break
            continue
        settled = float(np.max(np.abs(tried - z))) < _CLOSE or cost - there[2] < _GAIN
        z, (residual, slope, cost), share = tried, there, min(1.0, 2.0 * share)
        if settled:
            break
    _, normal = _gauss_newton(residual, slope, z)
    return Estimate(z, np.linalg.inv(np.linalg.cholesky(normal)).T)


def _gauss_newton(residual: Floats, slope: Floats, z: Floats) -> tuple[Floats, Floats]:
    """Return the step to the minimum of the tangent problem and its normal matrix."""
    weight = np.minimum(1.0, HUBER / np.maximum(np.abs(residual), 1e-12))
    normal = (slope * weight[:, None]).T @ slope + np.eye(len(z))
    step = np.linalg.solve(normal, -(slope.T @ (weight * residual)) - z)
    return np.asarray(step, dtype=np.float64), normal
