"""A cool-down with a gap of which no steady clock knows the length: the readings help to tell.

Two things are weighed. The length that was said (by the wall clock, or by the welder) is
believed beforehand, but for a share: a clock can be an hour off, or a day. Else any length
can be: then the cooling curve before the gap, and where on it the part is found again, say
how long it was. Each length is a fit of its own; how probable each makes the readings
(`fitted.Fit.evidence`) weighs them, and the interval is that of all of them together.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from pacer.heat.bins import Bins
from pacer.heat.cooldown.estimate import Bound
from pacer.heat.cooldown.eta import Eta, Weighed, forecast_weighed
from pacer.heat.cooldown.fitted import Fit
from pacer.heat.cooldown.gap import Gap

WRONG_CLOCK = 0.3
"Share of belief, beforehand, that a length said is wrong altogether (our choice, no source)."

_LENGTHS_S = tuple(
    60.0 * m for m in (0.0, 8.0, 20.0, 40.0, 75.0, 130.0, 240.0, 450.0, 900.0, 2000.0)
)
"Lengths looked at first; then finer around what the readings like best."
_SOFT_S = 600.0
"Beforehand lengths are taken as equally probable in the logarithm of the length plus this."
_MOST_FITS = 20
_FINE = 0.7
"A step in evidence between neighbours that is fine enough."
_TENTH = 1.2815516
"Nine tenths of a normal distribution lie below this many sd."
_MOST_WEIGHED = 8
_FAR = 4.0
"What is so much less probable than the best (logarithm) is left out."


def _compared(evidence: float) -> float:
    """Return evidence as it is compared: rounded, so that another processor chooses the same."""
    return round(evidence, 1)


@dataclass(frozen=True, slots=True)
class Bridged:
    """A forecast over a gap, in the time in which the bins came."""

    eta: Eta
    fit: Fit
    "With the most probable length."
    lag_s: float
    "By how much that length is longer than was said: the fit's own time is ahead by it."


def moved(bins: Bins, gap: Gap, lag_s: float) -> Bins:
    """Return the bins with those after the gap later by `lag_s`."""
    return tuple((t + lag_s if t >= gap.from_s else t, c, n) for t, c, n in bins)


def _moved(bounds: Sequence[Bound], gap: Gap, lag_s: float) -> tuple[Bound, ...]:
    return tuple((t + lag_s if t >= gap.from_s else t, c, side) for t, c, side in bounds)


Refit = Callable[[Bins, tuple[Bound, ...], tuple[float, ...] | None], Fit]
"Fits bins and bounds with the prior at hand, beginning near the parameters of another fit."


def weighed(bins: Bins, bounds: Sequence[Bound], gap: Gap, refit: Refit) -> list[Weighed]:
    """Return fits with lengths of the gap that may be, most probable first; their shares sum to 1."""

    def at(lag_s: float, near: Fit | None = None) -> Fit:
        begin = None if near is None else near.z
        return refit(moved(bins, gap, lag_s), _moved(bounds, gap, lag_s), begin)

    found: list[tuple[float, float, Fit]] = []
    if gap.sd_s is not None:
        for sds, share in ((-1.22, 0.25), (0.0, 0.5), (1.22, 0.25)):
            lag_s = max(float(round(sds * gap.sd_s)), -gap.length_s)
            one = at(lag_s)
            found.append((lag_s, one.evidence + math.log(share * (1.0 - WRONG_CLOCK)), one))
    wide = 1.0 if gap.sd_s is None else WRONG_CLOCK
    found += _any_length(gap, at, math.log(wide))
    found.sort(key=lambda row: (-_compared(row[1]), abs(row[0])))
    best = found[0][1]
    near = [row for row in found if _compared(best - row[1]) < _FAR][:_MOST_WEIGHED]
    whole = sum(math.exp(row[1] - best) for row in near)
    return [Weighed(one, lag_s, math.exp(log - best) / whole) for lag_s, log, one in near]


def _any_length(
    gap: Gap, at: Callable[[float, Fit | None], Fit], log_share: float
) -> list[tuple[float, float, Fit]]:
    """Return (lag, logarithm of its weight, fit) over all lengths, finer where it matters."""
    rows: dict[float, Fit] = {}
    before: Fit | None = None
    for length_s in _LENGTHS_S:
        before = rows[length_s] = at(length_s - gap.length_s, before)

    def coordinate(length_s: float) -> float:
        return math.log(length_s + _SOFT_S)

    while len(rows) < _MOST_FITS:
        ordered = sorted(rows)
        told = {x: _compared(rows[x].evidence) for x in ordered}
        best = max(told.values())
        steps = [
            (round(max(told[a], told[b]) - best, 1), round(abs(told[a] - told[b]), 1), a, b)
            for a, b in pairwise(ordered)
        ]
        rough = [step for step in steps if step[0] > -3.0 and step[1] > _FINE]
        if not rough:
            break
        _, _, a, b = max(rough, key=lambda step: (step[0], step[1]))
        middle = math.exp(0.5 * (coordinate(a) + coordinate(b))) - _SOFT_S
        if b - a < 30.0:
            break
        rows[round(middle)] = at(round(middle) - gap.length_s, rows[a])
    ordered = sorted(rows)
    ends = coordinate(ordered[0]), coordinate(ordered[-1])
    result = []
    for i, length_s in enumerate(ordered):
        down = coordinate(ordered[max(i - 1, 0)])
        up = coordinate(ordered[min(i + 1, len(ordered) - 1)])
        share = 0.5 * (up - down) / (ends[1] - ends[0])
        one = rows[length_s]
        result.append((length_s - gap.length_s, one.evidence + math.log(share) + log_share, one))
    return result


def forecast_bridged(
    bins: Bins, bounds: Sequence[Bound], gap: Gap, refit: Refit, until_c: float, now_s: float
) -> Bridged:
    """Return when the part will be down to `until_c`, seen from `now_s`, over the gap.

    Seconds are those of the bins: since the cool-down began, with the gap as long as was said.
    """
    shares = weighed(bins, bounds, gap, refit)
    eta = forecast_weighed(shares, until_c, now_s)
    if gap.sd_s is not None:
        eta = _at_least(eta, gap.sd_s, now_s)
    return Bridged(eta, shares[0].fit, shares[0].lag_s)


def _at_least(eta: Eta, sd_s: float, now_s: float) -> Eta:
    """Return the forecast with its interval widened by what the length said may be wrong."""
    if eta.eta_s <= now_s:
        return eta
    by_s = _TENTH * sd_s
    low_s = max(round(eta.eta_s - math.hypot(eta.eta_s - eta.low_s, by_s)), math.ceil(now_s))
    high_s = eta.high_s
    if high_s is not None:
        high_s = round(eta.eta_s + math.hypot(high_s - eta.eta_s, by_s))
    return replace(eta, low_s=low_s, high_s=high_s)
