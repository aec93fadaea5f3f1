"""A number that is not known yet, and how the doubts behind it make its range."""

from __future__ import annotations

import math
from collections.abc import Callable

import msgspec

Cause = tuple[float, float, float]
"One doubtful number: likely, and the two ends of its 80 % range in either order."


class Forecast(msgspec.Struct, frozen=True):
    """A number that is not known yet, with its range."""

    value: float
    low: float
    high: float | None
    "None where no upper bound can be given."


def rounded(value: float, low: float, high: float) -> Forecast:
    """Return a forecast in whole numbers, its value inside its range.

    Whole seconds, joules or beads: the doubt is always larger.
    """
    return Forecast(
        float(round(value)), float(round(min(low, value))), float(round(max(high, value)))
    )


def spread(
    outcome: Callable[..., float], *causes: Cause, least: float = 0.0, most: float = math.inf
) -> Forecast:
    """Return the outcome at the likely causes, and its range.

    One cause at a time is moved to its ends, and the changes are added in quadrature, as
    for causes that have nothing to do with each other; kept between `least` and `most`.
    """
    middle = [cause[0] for cause in causes]
    value = outcome(*middle)
    less, more = 0.0, 0.0
    for i, cause in enumerate(causes):
        changes = [outcome(*middle[:i], end, *middle[i + 1 :]) - value for end in cause[1:]]
        less += min(0.0, *changes) ** 2
        more += max(0.0, *changes) ** 2
    low, high = value - math.sqrt(less), value + math.sqrt(more)
    return rounded(value, max(low, least), min(high, most))
