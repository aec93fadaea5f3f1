"""Whether a curve is that of the body the job tells of, and a fit of any body if it may not be.

A water-filled pot, a brass block, an iron part ten times as heavy as typed: the cover's
model is then wrong in kind, and its interval too narrow whatever its priors. The readings
themselves say how much: two models are weighed by how probable each makes them (Laplace's
approximation), the cover's model being believed beforehand.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from pacer.heat.cooldown.curves import curves_of
from pacer.heat.cooldown.estimate import Seen
from pacer.heat.cooldown.fitted import Fit, fit
from pacer.heat.cooldown.prior import Prior, any_body

Floats = npt.NDArray[np.float64]

BEFOREHAND, _IN_AIR = 1.0, 0.3
"""Logarithm of the odds, before any reading, that part and cover are as said; in still air.

3 to 1 (estimate; in air, where anything is left to cool, less). On simulated cool-downs as
said the readings add 1 to 16 to it, on foreign bodies they take away 2 to 70.
"""
_FEWEST = 5
_ROUGHLY = 0.03
"Predicted gain at which the fit of any body is good enough: its interval is wide."
_STARTS_SD = np.linspace(-2.5, 2.5, 11)


def unlike(own: Fit) -> tuple[Fit, float]:
    """Return a fit of any body to the readings of `own`, and the share of belief it gets, 0 to 1."""
    prior = _any_body_for(own.prior)
    seen = Seen(prior, own.bins, own.reading_sd_dc, own.bounds)
    starts = np.zeros((len(_STARTS_SD), len(prior.mean)))
    starts[:, 0] = _STARTS_SD
    # The time scale may be far off: begin at the best of a row of them.
    misses = [seen.misses(c)[0] for c in curves_of(prior, starts).at(seen.times_s)]
    costs = [float(np.sum(np.minimum(np.abs(m), 30.0))) for m in misses]
    found = fit(
        prior, own.bins, own.reading_sd_dc, starts[int(np.argmin(costs))], own.bounds, _ROUGHLY
    )
    beforehand = _IN_AIR if own.prior.model == "still air" else BEFOREHAND
    odds = found.evidence - own.evidence - beforehand
    return found, 1.0 / (1.0 + math.exp(min(max(-odds, -60.0), 60.0)))


def enough(own: Fit) -> bool:
    """Return whether there are readings enough to judge by."""
    return own.bins_used >= _FEWEST


@lru_cache(maxsize=8)
def _any_body_for(prior: Prior) -> Prior:
    """Return any body's prior, its time scale that of `prior`: 1/e of the excess left."""
    grid_s = np.geomspace(60.0, 4e6, 60)
    excess_dc = curves_of(prior, np.zeros((1, len(prior.mean)))).at(grid_s)[0] - prior.ambient_c
    left = np.abs(excess_dc) / max(abs(prior.start_c - prior.ambient_c), 1.0)
    return any_body(prior, float(grid_s[int(np.argmax(left < 0.37))]))
