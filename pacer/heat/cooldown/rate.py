"""How fast a part cools: from the bins, and what its cover usually does to it.

30-minute means: a rate limit in a procedure is never meant for a shorter time, and a
slope over less is mostly noise.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from pacer.heat.bins import Bins
from pacer.heat.cooldown.curves import curves_of
from pacer.heat.cooldown.prior import Prior
from pacer.heat.draws import normals

Floats = npt.NDArray[np.float64]

MEAN_S, LEAST_S = 1800.0, 900.0
_FIRST_S = 4.0 * 3600.0
_LONGEST_S = 14.0 * 86400.0


def rate_c_h(bins: Bins, now_s: float) -> float | None:
    """Return the mean fall over the last 30 min up to `now_s`, °C/h; negative while it warms.

    Over what there is from 15 min on, None before that. Late bins are wider than 30 min:
    then it is the mean from the bin before.
    """
    known = [b for b in bins if b[0] <= now_s]
    if len(known) < 2 or known[-1][0] - known[0][0] < LEAST_S:
        return None
    times_s, temps_c, _ = np.array(known).T
    from_s = min(max(times_s[-1] - MEAN_S, times_s[0]), times_s[-2])
    fall_dc = float(np.interp(from_s, times_s, temps_c)) - temps_c[-1]
    return float(fall_dc / (times_s[-1] - from_s) * 3600.0)


def usual_rate_c_h(prior: Prior, temp_c: float) -> tuple[float, float, float]:
    """Return low, likely and high rate at which this cover cools this part to `temp_c`, °C/h.

    80 %, from the prior alone: the mean of the 30 min (of a first half hour what there
    is, at least 15 min) up to the moment `temp_c` is reached. 0 where it never is.
    """
    z = np.concatenate([np.zeros((1, len(prior.mean))), normals(len(prior.mean))])
    curves = curves_of(prior, z)
    grid_s = np.concatenate([[0.0], np.geomspace(30.0, _LONGEST_S, 160)])
    grid_c = curves.at(grid_s)
    at_s = np.array([_when_s(row, grid_s, temp_c) for row in grid_c])
    end_s = np.maximum(at_s, LEAST_S)
    begin_s = np.maximum(end_s - MEAN_S, 0.0)
    ends_c = curves.at(np.stack([begin_s, end_s], axis=1))
    rates = np.where(at_s < _LONGEST_S, ends_c[:, 0] - ends_c[:, 1], 0.0)
    rates = np.maximum(rates / (end_s - begin_s) * 3600.0, 0.0)
    low, high = np.quantile(rates[1:], [0.1, 0.9])
    return float(min(low, rates[0])), float(rates[0]), float(max(high, rates[0]))


def first_rate_c_h(prior: Prior) -> tuple[float, float, float]:
    """Return low, likely and high greatest 30-minute mean of the first hours, °C/h.

    80 %, from the prior alone: how fast this part begins to cool in this cover.
    """
    z = np.concatenate([np.zeros((1, len(prior.mean))), normals(len(prior.mean))])
    begin_s = np.linspace(0.0, _FIRST_S, 25)
    curves = curves_of(prior, z)
    falls_dc = np.max(curves.at(begin_s) - curves.at(begin_s + MEAN_S), axis=1)
    rates = np.maximum(falls_dc, 0.0) / MEAN_S * 3600.0
    low, high = np.quantile(rates[1:], [0.1, 0.9])
    return float(min(low, rates[0])), float(rates[0]), float(max(high, rates[0]))


def _when_s(curve_c: Floats, grid_s: Floats, temp_c: float) -> float:
    below = np.flatnonzero(curve_c <= temp_c)
    if len(below) == 0:
        return _LONGEST_S
    i = int(below[0])
    if i == 0:
        return 0.0
    share = (curve_c[i - 1] - temp_c) / (curve_c[i - 1] - curve_c[i])
    return float(grid_s[i - 1] + share * (grid_s[i] - grid_s[i - 1]))
