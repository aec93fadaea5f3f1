"""When a cooling part reaches a temperature, with its 80 % interval.

The interval needs three curves, not a crowd of them: the moment a limit is crossed
depends on all parameters mostly through one combination of them, the direction in which
the temperature at that moment changes fastest for what is uncertain. The curves one
tenth and nine tenths of the way along that direction bound the time (the first-order
reliability method of structural engineering, from memory). Errors that are no parameter
(what the sensor always reads wrong, what the model can't do) join as directions of their own.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pacer.heat.cooldown.fitted import Fit
from pacer.heat.cooldown.foreign import enough, unlike
from pacer.heat.cooldown.prior import Prior

Floats = npt.NDArray[np.float64]

Span = tuple[float, float, float]
"Likely, low and high time ahead, s."

HORIZON_S = 14.0 * 86400.0
"Where a forecast stops looking; an estimate that never reaches its target says this."

NEAR_AMBIENT_DC = 8.0
"A target closer to ambient than this gets no upper bound: the curve is too flat there."

_LEAST_SHARE = 0.01
"Less belief than this in another body changes no number."

INTERVAL = 0.8
"Share of truths an interval is meant to hold."
_TENTH = 1.2815516
"Nine tenths of a normal distribution lie below this many sd."

_SENSOR_SD_DC = 1.0
"What a sensor reads wrong all the time (type K, class 2: 2.5 °C at most, from memory)."
_MODEL_SD: dict[str, tuple[float, float, float]] = {
    "buried": (0.02, 0.10, 1800.0),
    "wrapped": (0.02, 0.10, 1800.0),
    "still air": (0.035, 0.10, math.inf),
    "furnace": (0.03, 0.25, 7200.0),
    "any body": (0.05, 0.0, math.inf),
}
"""What a model gets wrong of the time still to go, beyond its parameters (tuned): a share
for good, and more at first, fading over so many s or (inf) with the share of the way to go:
under a cover only the flow near the part has been seen, in air only its loss when hot.
"""


@dataclass(frozen=True)
class Eta:
    """When a temperature is reached, whole seconds since the cool-down began."""

    eta_s: float
    low_s: float
    high_s: float | None
    "None where no upper bound can be given."
    model: str
    "Model and version, such as `buried/2`."


def forecast_eta(fit: Fit, until_c: float, now_s: float) -> Eta:
    """Return when the part will be down to `until_c`, seen from `now_s`.

    `now_s` and the answer count from the cool-down's start, s. `eta_s` and `low_s` are
    always numbers, not before `now_s`; a target never reached gives the later of `HORIZON_S` and that.
    `high_s` is None for a target less than 8 °C above ambient or where the slow one of the
    three curves never gets there. A target reached already is the caller's to tell, from the
    readings (`bins.reached_s`); here it gives `now_s`.
    """
    now_s = max(now_s, 0.0)
    if _there(fit, until_c, _looked_at(now_s)):
        reached = math.ceil(now_s)
        return Eta(reached, reached, reached, fit.prior.label)
    return _told(fit.prior, _whole_span(fit, until_c, _looked_at(now_s)), until_c, now_s)


def _looked_at(now_s: float) -> float:
    """Return the moment of a fit's time at which its curves are looked at for `now_s`."""
    return min(max(now_s, 0.0), HORIZON_S)


@dataclass(frozen=True, slots=True)
class Weighed:
    """One of several fits that may be right, in a time of its own."""

    fit: Fit
    lag_s: float
    "The fit's time less that in which the question is asked, s."
    share: float
    "How much it is believed; all together 1."


def forecast_weighed(fits: Sequence[Weighed], until_c: float, now_s: float) -> Eta:
    """Return what `forecast_eta` does, of several fits; the first is the most probable."""
    now_s = max(now_s, 0.0)
    first = fits[0]
    if _there(first.fit, until_c, _looked_at(now_s + first.lag_s)):
        reached = math.ceil(now_s)
        return Eta(reached, reached, reached, first.fit.prior.label)
    spans = [_whole_span(first.fit, until_c, _looked_at(now_s + first.lag_s))]
    spans += [_span(one.fit, until_c, _looked_at(now_s + one.lag_s)) for one in fits[1:]]
    mixed = _mixed(spans, [one.share for one in fits])
    return _told(first.fit.prior, mixed, until_c, now_s)


def _whole_span(fit: Fit, until_c: float, now_s: float) -> Span:
    """Return the span of a fit and, as far as it may be the truth, of another body's."""
    own = _span(fit, until_c, now_s)
    if not enough(fit):
        return own
    other, share = unlike(fit)
    if share <= _LEAST_SHARE:
        return own
    return _mixed([own, _span(other, until_c, now_s)], [1.0 - share, share])


def _told(prior: Prior, span: Span, until_c: float, now_s: float) -> Eta:
    best_s, low_s, high_s = span
    ahead = best_s * _mean_over_mode(low_s, high_s)
    first_s = math.ceil(now_s)

    def moment(ahead_s: float) -> float:
        return max(round(min(now_s + ahead_s, HORIZON_S)), first_s)

    open_ended = until_c - prior.ambient_c < NEAR_AMBIENT_DC or now_s + high_s >= HORIZON_S
    high = None if open_ended else moment(max(high_s, ahead))
    return Eta(moment(ahead), moment(min(low_s, ahead)), high, prior.label)


def _there(fit: Fit, until_c: float, now_s: float) -> bool:
    """Return whether curve and readings are both down to `until_c`."""
    read_c = fit.bins[-1][1] if fit.bins else until_c
    curve_c = float(fit.best_c(np.array([now_s]))[0, 0])
    return curve_c <= until_c and read_c <= until_c + 3.0 * fit.reading_sd_dc


def _span(fit: Fit, until_c: float, now_s: float) -> Span:
    """Return likely, low and high time ahead until `until_c` is reached, s."""
    best = float(_crossing_s(fit.best_c, np.array([until_c]), now_s)[0])
    low, high = _ends_s(fit, until_c, now_s, best)
    lasting, early, fading_s = _MODEL_SD[fit.prior.model]
    fading = math.exp(-now_s / fading_s) * (
        1.0 if fading_s < math.inf else 1.0 - now_s / max(best, 1.0)
    )
    model_sd = math.hypot(lasting, early * fading)
    best -= now_s
    low = _stretched(best, min(low - now_s, best), model_sd)
    return best, low, _stretched(best, max(high - now_s, best), model_sd)


def _mixed(spans: Sequence[Span], shares: Sequence[float]) -> Span:
    """Return the span of models believed `shares`, which sum to 1."""
    logs = [[math.log(max(x, 1.0)) for x in span] for span in spans]
    pairs = list(zip(logs, shares, strict=True))

    def below(x: float) -> float:
        return sum(share * _share_below(x, *log) for log, share in pairs)

    def quantile(wanted: float) -> float:
        low, high = min(x[1] for x in logs), max(x[2] for x in logs)
        for _ in range(40):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if below(middle) < wanted else (low, middle)
        return math.exp(0.5 * (low + high))

    best = math.exp(sum(share * log[0] for log, share in pairs))
    low_s, high_s = quantile(0.5 - 0.5 * INTERVAL), quantile(0.5 + 0.5 * INTERVAL)
    return best, min(low_s, best), max(high_s, best)


def _share_below(x: float, best: float, low: float, high: float) -> float:
    """Return the share below `x` of a normal distribution with a width of its own on either side."""
    sd = max((best - low if x < best else high - best) / _TENTH, 1e-6)
    return 0.5 * math.erfc(-(x - best) / sd / math.sqrt(2.0))


def _ends_s(fit: Fit, until_c: float, now_s: float, best_s: float) -> tuple[float, float]:
    """Return the ends of the parameters' and the sensor's 80 % interval, s."""
    direction = np.append(fit.slopes_dc(best_s) @ fit.spread, -_SENSOR_SD_DC)
    direction *= _TENTH / max(float(np.linalg.norm(direction)), 1e-9)
    ends = np.stack([-direction, direction])
    curves = fit.others_c(np.array(fit.z) + ends[:, :-1] @ fit.spread.T)
    low, high = _crossing_s(curves, until_c + _SENSOR_SD_DC * ends[:, -1], now_s)
    return float(low), float(high)


def _stretched(best_s: float, end_s: float, model_sd: float) -> float:
    """Return `end_s` moved away from `best_s` by the model's own error; both from now on."""
    if best_s <= 0.0 or end_s <= 0.0:
        return end_s
    wide = math.log(end_s / best_s)
    return best_s * math.exp(math.copysign(math.hypot(wide, _TENTH * model_sd), wide))


def _mean_over_mode(low_s: float, high_s: float) -> float:
    """Return the mean over the most probable value of a log-normal with this 80 % interval.

    The most probable time is early more often than late by as much; early is what cracks
    a casting, so the forecast is the mean. 1 for a narrow interval, at most 1.2.
    """
    if low_s <= 1.0:
        return 1.0
    sd = min(math.log(high_s / low_s) / (2.0 * _TENTH), 0.6)
    return math.exp(0.5 * sd**2)


def _crossing_s(curve_c: Callable[[Floats], Floats], until_c: Floats, now_s: float) -> Floats:
    """Return when each curve is first at or below its `until_c` from `now_s` on, (sets,).

    A grid in the logarithm of the time ahead finds the step, a finer one inside it the
    moment. `HORIZON_S` where none is found.
    """
    ahead = 30.0 * np.expm1(np.linspace(0.0, math.log1p(HORIZON_S / 30.0), 64))
    times = np.repeat(now_s + ahead[None, :], len(until_c), axis=0)
    below = curve_c(times) <= until_c[:, None]
    never = ~np.any(below, axis=1)
    before, after, _ = _bracket(times, below)
    times = before[:, None] + (after - before)[:, None] * np.linspace(0.0, 1.0, 17)[None, :]
    temps = curve_c(times)
    before, after, index = _bracket(times, temps <= until_c[:, None])
    rows = np.arange(len(until_c))
    above_dc = temps[rows, np.maximum(index - 1, 0)] - until_c
    fall_dc = above_dc + until_c - temps[rows, index]
    share = np.where(fall_dc > 0.0, above_dc / np.maximum(fall_dc, 1e-9), 1.0)
    found = before + np.clip(share, 0.0, 1.0) * (after - before)
    return np.where(never, HORIZON_S, np.minimum(found, HORIZON_S))


def _bracket(
    times: Floats, below: npt.NDArray[np.bool_]
) -> tuple[Floats, Floats, npt.NDArray[np.intp]]:
    """Return the times before and at the first True of each row, and its index."""
    index = np.argmax(below, axis=1)
    rows = np.arange(len(times))
    return times[rows, np.maximum(index - 1, 0)], times[rows, index], index
