"""A fixed table of standard-normal draws for forecast intervals.

The same table every time, so that a replay gives the same interval. Made by formula, not
by chance: the additive recurrence ``u_ij = frac(1/2 + i g^-j)`` with g the positive root
of ``g^(d+1) = g + 1`` (the generalised golden ratio, which spreads points evenly in d
dimensions), put through the inverse normal distribution. Each point has its mirror
image, so odd moments vanish; columns are then made uncorrelated with variance 1.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

PAIRS = 40
"80 draws: the 10th and 90th percentile then rest on 8 draws beyond them."


def _ratio(columns: int) -> float:
    g = 1.5
    for _ in range(60):
        g = (1.0 + g) ** (1.0 / (columns + 1))
    return g


def _inverse_normal(share: float) -> float:
    """Return x with ``Phi(x) = share`` by bisection; exact to the last few digits."""
    low, high = -9.0, 9.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        if 0.5 * math.erfc(-middle / math.sqrt(2.0)) < share:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


@lru_cache(maxsize=8)
def normals(columns: int) -> Floats:
    """Return the table, shape ``(2 * PAIRS, columns)``; read-only."""
    g = _ratio(columns)
    half = np.array(
        [
            [_inverse_normal((0.5 + i * g**-j) % 1.0) for j in range(1, columns + 1)]
            for i in range(1, PAIRS + 1)
        ]
    )
    table = np.concatenate([half, -half])
    covariance = table.T @ table / len(table)
    table = table @ np.linalg.inv(np.linalg.cholesky(covariance)).T
    table.setflags(write=False)
    return table
