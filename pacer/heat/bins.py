"""Readings of a cool-down, averaged into bins that grow with time.

A bin is 20 s wide, later 4 % of the time since the cool-down began: a cooling curve
changes ever more slowly, and neighbouring readings share their errors, so a thousand of
them are worth little more than one. Twelve hours are 139 bins at any sample rate.

Standard library only: the fold keeps the bins in its state. Bins are a tuple of plain
tuples, so that the state stays frozen and can be compared.
"""

from __future__ import annotations

import math

Bin = tuple[float, float, int]
"(mean time since the cool-down began in s, mean temperature in °C, readings)"

Bins = tuple[Bin, ...]

WIDTH_S = 20.0
GROWTH = 0.04

_EVEN = round(WIDTH_S / GROWTH / WIDTH_S)
"Bins of constant width before the growing ones begin."


def bin_index(t_s: float) -> int:
    """Return which bin `t_s` (seconds since the cool-down began, 0 or later) is in.

    >>> [bin_index(t) for t in (0.0, 19.9, 20.0, 499.0, 500.0, 43200.0)]
    [0, 0, 1, 24, 25, 138]
    """
    if t_s < WIDTH_S / GROWTH:
        return int(t_s / WIDTH_S)
    return _EVEN + int(math.log(t_s * GROWTH / WIDTH_S) / math.log1p(GROWTH))


def add(bins: Bins, t_s: float, temp_c: float) -> Bins:
    """Return `bins` with one trusted reading more.

    `t_s` counts from the cool-down's start. A reading from before it, or from before the
    last bin, or that is not a number is left out: nothing here raises.
    """
    if not (math.isfinite(t_s) and math.isfinite(temp_c)) or t_s < 0.0:
        return bins
    if not bins:
        return ((t_s, temp_c, 1),)
    last_t_s, last_c, n = bins[-1]
    here, there = bin_index(t_s), bin_index(last_t_s)
    if here > there:
        return (*bins, (t_s, temp_c, 1))
    if here < there:
        return bins
    n += 1
    return (*bins[:-1], (last_t_s + (t_s - last_t_s) / n, last_c + (temp_c - last_c) / n, n))


def reached_s(bins: Bins, until_c: float) -> float | None:
    """Return when the binned curve first came down to `until_c`, s, or None if it didn't.

    Interpolated between the last bin above and the first at or below it.
    """
    above: Bin | None = None
    for now in bins:
        if now[1] <= until_c:
            if above is None:
                return now[0]
            share = (above[1] - until_c) / (above[1] - now[1])
            return above[0] + share * (now[0] - above[0])
        above = now
    return None
