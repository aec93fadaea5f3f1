"""Explicit time steps many times longer than the explicit limit: heat spread over cells.

A Runge-Kutta-Legendre scheme of second order: `s` stages reach ``(s^2 + s - 2)/4`` times
the step at which the plain explicit scheme turns unstable (published for diffusion in
astrophysics in 2012-2014, from memory; the test compares it with the exact exponential).
Each stage is a sum of fluxes, so heat is conserved to the last digits, and properties
may change with temperature at every stage.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

_SAFETY = 0.9


def stages(step_s: float, limit_s: float) -> int:
    """Return how many stages a step needs; `limit_s` is the explicit limit, 2 / fastest rate.

    >>> stages(0.25, 0.29), stages(0.25, 0.15), stages(10.0, 0.3)
    (1, 3, 13)
    """
    ratio = step_s / (_SAFETY * limit_s)
    if ratio <= 1.0:
        return 1
    s = math.ceil(0.5 * (math.sqrt(9.0 + 16.0 * ratio) - 1.0) - 1e-9)
    # Odd numbers damp the fastest swings better.
    return max(3, s + (s + 1) % 2)


@lru_cache(maxsize=64)
def _weights(s: int) -> tuple[tuple[float, float, float, float], ...]:
    """Return (mu, nu, mu', gamma') of stages 2 to s; stage 1 has mu' = w/3 alone."""
    w = 4.0 / (s * s + s - 2.0)
    b = [1.0 / 3.0, 1.0 / 3.0] + [
        (j * j + j - 2.0) / (2.0 * j * (j + 1.0)) for j in range(2, s + 1)
    ]
    rows = []
    for j in range(2, s + 1):
        mu = (2.0 * j - 1.0) / j * b[j] / b[j - 1]
        nu = -(j - 1.0) / j * b[j] / b[j - 2]
        rows.append((mu, nu, mu * w, -(1.0 - b[j - 1]) * mu * w))
    return tuple(rows)


def march(start: Floats, rate: Callable[[Floats], Floats], step_s: float, s: int) -> Floats:
    """Return `start` after one step of `step_s` in `s` stages (odd; 1 is the plain explicit step).

    `rate` gives the change per second of what `start` holds, in a new array.
    """
    first = rate(start)
    if s == 1:
        return start + step_s * first
    two_ago = start
    last = start + (step_s * 4.0 / (3.0 * (s * s + s - 2.0))) * first
    for mu, nu, mu_dt, gamma_dt in _weights(s):
        now = rate(last)
        now *= mu_dt * step_s
        now += mu * last
        now += nu * two_ago
        if abs(1.0 - mu - nu) > 1e-15:
            now += (1.0 - mu - nu) * start
        now += (gamma_dt * step_s) * first
        two_ago, last = last, now
    return last
