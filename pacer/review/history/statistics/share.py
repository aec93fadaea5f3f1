"""How large a share can be, by what few sessions show: the interval of Clopper and Pearson.

It is the exact one: whatever the true share, at least 95 of 100 such intervals hold it. With few
sessions it is wider than it need be; the shorter ones, such as Wilson's, hold it less often than
they say for some shares, and here too wide is the safe side.
"""

from __future__ import annotations

import math

CONFIDENCE = 0.95

_STEPS = 60
"Halvings of the interval from 0 to 1: beyond the digits of a float."

_MOST_TERMS = 100_000
_SMALLEST = 1e-300


def interval(hits: int, of: int, confidence: float = CONFIDENCE) -> tuple[float, float]:
    """Return the lowest and highest share that agree with `hits` of `of`; (0, 1) for none of none.

    >>> low, high = interval(5, 6)
    >>> round(low, 3), round(high, 3)
    (0.359, 0.996)
    """
    tail = (1.0 - confidence) / 2.0
    low = 0.0 if hits == 0 else _share_at(tail, hits, of - hits + 1)
    high = 1.0 if hits == of else _share_at(1.0 - tail, hits + 1, of - hits)
    return low, high


def _share_at(probability: float, a: int, b: int) -> float:
    """Return the share at which the incomplete beta function of a and b has this value."""
    low, high = 0.0, 1.0
    for _ in range(_STEPS):
        middle = (low + high) / 2.0
        if _incomplete_beta(middle, a, b) < probability:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def _incomplete_beta(x: float, a: int, b: int) -> float:
    """Return I_x(a, b): how likely `a` hits or more of a + b - 1 are at the share x."""
    if not 0.0 < x < 1.0:
        return float(x >= 1.0)
    log_scale = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
    scale = math.exp(log_scale + a * math.log(x) + b * math.log1p(-x))
    # The continued fraction converges fast on this side of the mean only.
    if x < (a + 1) / (a + b + 2):
        return scale * _fraction(x, a, b) / a
    return 1.0 - scale * _fraction(1.0 - x, b, a) / b


def _fraction(x: float, a: int, b: int) -> float:
    """Return the continued fraction of the incomplete beta function, by Lentz's method."""
    upper = 1.0
    lower = 1.0 / _not_zero(1.0 - (a + b) * x / (a + 1))
    value = lower
    for m in range(1, _MOST_TERMS):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        change = 1.0
        for term in (even, odd):
            lower = 1.0 / _not_zero(1.0 + term * lower)
            upper = _not_zero(1.0 + term / upper)
            change = lower * upper
            value *= change
        if abs(change - 1.0) < 1e-15:
            break
    return value


def _not_zero(value: float) -> float:
    return value if abs(value) > _SMALLEST else _SMALLEST
