"""A cool-down's temperatures still to come, as plain numbers to draw."""

from __future__ import annotations

import numpy as np

from pacer.heat.cooldown.fitted import Fit, temperature_curve

_POINTS = 25


def curve_ahead(
    fit: Fit, now_s: float, end_s: float
) -> tuple[tuple[float, float, float, float], ...]:
    """Return (s since the cool-down began, °C, low °C, high °C) from now to the end; 80 %."""
    times = np.linspace(now_s, end_s, _POINTS)
    columns = (times, *temperature_curve(fit, times))
    return tuple(zip(*(column.round(1).tolist() for column in columns), strict=True))
