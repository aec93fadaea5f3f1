"""Cooling curves with their slopes: how the temperature moves with each parameter.

A fit needs both at every point it tries. For a covered part the slopes are exact: the
decay matrix changes linearly to first order, and the first-order change of its
exponential is, in its own eigenvectors, a table of divided differences of
``exp(-rate t)`` (standard perturbation result, derived here). That costs one
eigenproblem instead of one a parameter. The other models are cheap and have theirs by
differences.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from pacer.heat.cooldown import burial
from pacer.heat.cooldown.burial import AMBIENT, CLOCK_S, QUICKENING
from pacer.heat.cooldown.curves import COVERED, curves_of, params_of
from pacer.heat.cooldown.prior import Prior

Floats = npt.NDArray[np.float64]

_NUDGE = 1e-4
"Step of the differences, sd: small against any bend, large against rounding."


def curve_and_slopes(prior: Prior, z: Floats, times_s: Floats) -> tuple[Floats, Floats]:
    """Return °C, shape (times,), and its change by one sd of each parameter, (times, parameters).

    `z` is (parameters,) in sd from the prior; `times_s` is (times,).
    """
    nudged = z + np.concatenate([np.zeros((1, len(z))), _NUDGE * np.eye(len(z))])
    if prior.model in COVERED:
        return _covered(params_of(prior, nudged), prior, times_s)
    temps = curves_of(prior, nudged).at(times_s)
    return temps[0], (temps[1:] - temps[0]).T / _NUDGE


def _covered(params: Floats, prior: Prior, times_s: Floats) -> tuple[Floats, Floats]:
    flow = _Flow(params, prior)
    q, middle = params[0, QUICKENING], burial.middle_c(params)
    dq, dmiddle = (params[1:, QUICKENING] - q) / _NUDGE, (middle[1:] - middle[0]) / _NUDGE
    clock_c, clock_slopes, _ = flow.at(CLOCK_S)
    above_dc = clock_c - middle[0]
    slowness = np.exp(-np.clip(q * above_dc, -1.0, 1.0))
    change = -(above_dc[:, None] * dq + q * (clock_slopes - dmiddle)) * slowness[:, None]
    change[np.abs(q * above_dc) > 1.0] = 0.0
    steps = np.diff(CLOCK_S)
    pace = 0.5 * (slowness[1:] + slowness[:-1])
    real_s = np.concatenate([[0.0], np.cumsum(pace * steps)])
    moved = 0.5 * (change[1:] + change[:-1]) * steps[:, None]
    moved = np.concatenate([np.zeros((1, len(dq))), np.cumsum(moved, axis=0)])
    index = np.clip(np.searchsorted(real_s, times_s) - 1, 0, len(steps) - 1)
    share = np.clip((times_s - real_s[index]) / (pace[index] * steps[index]), 0.0, 1.0)
    temps, slopes, falling = flow.at(CLOCK_S[index] + share * steps[index])
    moved = moved[index] + share[:, None] * (moved[index + 1] - moved[index])
    return temps, slopes - (falling / pace[index])[:, None] * moved


class _Flow:
    """The linear flow of one parameter set and its first-order changes."""

    def __init__(self, params: Floats, prior: Prior) -> None:
        """Take `params`, (1 + parameters, columns): the set itself, then each one nudged."""
        heat, joint = burial.network(params, prior.shape, prior.model != "buried")
        diagonal, side = burial.bands(heat, joint)
        rate, vectors = burial.modes_of(diagonal[:1], side[:1])
        self._rate, vector = rate[0], vectors[0]
        root = np.sqrt(heat)
        excess = root * burial.start_excess_dc(params)
        out = vector[0] / root[0, 0]
        into = excess[0] @ vector
        d_diagonal = (diagonal[1:] - diagonal[0]) / _NUDGE
        d_side = (side[1:] - side[0]) / _NUDGE
        turned = d_diagonal[:, :, None] * vector
        turned[:, :-1] += d_side[:, :, None] * vector[1:]
        turned[:, 1:] += d_side[:, :, None] * vector[:-1]
        change = vector.T @ turned
        apart = self._rate[:, None] - self._rate[None, :]
        close = np.abs(apart) <= 1e-9 * (self._rate[:, None] + self._rate[None, :])
        mixed = np.where(close, 0.0, change / np.where(close, 1.0, apart))
        d_into = ((excess[1:] - excess[0]) / _NUDGE) @ vector
        d_root = (root[1:, 0] / root[0, 0] - 1.0) / _NUDGE
        self._ambient = params[0, AMBIENT]
        self._weight = out * into
        self._d_ambient = (params[1:, AMBIENT] - self._ambient) / _NUDGE
        self._d_weight = out * (mixed @ into + d_into) + into * (mixed @ out)
        self._d_weight -= d_root[:, None] * self._weight
        self._d_rate = np.diagonal(change, axis1=1, axis2=2) * self._weight

    def at(self, times_s: Floats) -> tuple[Floats, Floats, Floats]:
        """Return °C, its slopes by parameter and by time at `times_s` of the flow's own clock."""
        decay = np.exp(np.maximum(-self._rate * times_s[:, None], -60.0))
        temps = self._ambient + decay @ self._weight
        slopes = self._d_ambient + decay @ self._d_weight.T
        slopes -= (times_s[:, None] * decay) @ self._d_rate.T
        return temps, slopes, -(decay @ (self._rate * self._weight))
