"""The cool-down's forecast: prior, readings so far, when it will be cold enough.

``fit(prior(part, cover, ambient_c, start_c), bins)`` then ``forecast_eta``: the room's
front door, everything a caller needs by one name. All pure functions of their arguments,
so a replay gives the same numbers. Times are seconds since the cool-down began.

Intervals are 80 %. Finite input gives finite numbers; where a bound can't be given it is None.
"""

from __future__ import annotations

from pacer.heat.estimate import DOUBT, Bound
from pacer.heat.eta import HORIZON_S, INTERVAL, NEAR_AMBIENT_DC, Eta, forecast_eta
from pacer.heat.fitted import Fit, fit, temperature_curve
from pacer.heat.part import CoolingPart, Cover
from pacer.heat.prior import Prior, prior

__all__ = [
    "DOUBT",
    "HORIZON_S",
    "INTERVAL",
    "NEAR_AMBIENT_DC",
    "Bound",
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
