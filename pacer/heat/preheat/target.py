"""The preheat's forecast: in how many seconds the part will be at its target.

``time_to_target(heating_prior(...), bins, target_c, now_s)``: a pure function of what the
plan knew and the readings since heating began (no stored filter, no chance), so a replay
gives the same numbers. It asks for an answer every few seconds, never for each reading.

The range is 80 %, from a fixed table of normal draws, as in the cool-down's forecast.
A straight line through the latest readings is always early; this is the exponential
approach of `heating_curve`, with a prior on where the source would stop heating.

Against simulated heat-ups (`tests/heat/truth_heatup.py`); no field data was at hand.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pacer.heat.bins import Bins
from pacer.heat.cooldown.estimate import Bound
from pacer.heat.draws import normals
from pacer.heat.preheat.fit import (
    COUNT,
    Believed,
    Fitted,
    Readings,
    between,
    curves_of,
    fit,
    knots_s,
)
from pacer.heat.preheat.prior import (
    AIR_C,
    KINDS,
    PART_C,
    VERSION,
    HeatingPrior,
    Kind,
    SourceName,
    heating_prior,
    held,
)

__all__ = [
    "HORIZON_S",
    "INTERVAL",
    "VERSION",
    "Bound",
    "HeatingEta",
    "HeatingPrior",
    "SourceName",
    "heating_prior",
    "time_to_target",
]

Floats = npt.NDArray[np.float64]
HORIZON_S = 8.0 * 3600.0
"Where a forecast stops looking; a value that never reaches its target says this."

INTERVAL = 0.8
"Share of truths a range is meant to hold."

_LONGEST_S = 1e7
"No session is longer: times from outside are held to it."
_START_SD_DC = 6.0
_SENSOR_SD_DC = 1.0
"What a sensor reads wrong all the time (type K, class 2: 2.5 °C at most, from memory)."
_LATEST = 3
"Bins whose median miss counts as the present one."
_NEW_SD = 0.5
"What the first readings, near the flame, say wrongly of the whole part; falls with their number."
_STEPS, _FIRST_S = 30, 10.0


@dataclass(frozen=True)
class HeatingEta:
    """When the target is reached, whole seconds from now."""

    value_s: float
    "`HORIZON_S` where it is more likely never reached."
    low_s: float
    high_s: float | None
    "None where no upper bound can be given: more than one in ten never get there."
    never: bool
    "More likely than not the source is too weak for the target, or off."


def time_to_target(
    prior: HeatingPrior,
    bins: Bins,
    target_c: float,
    now_s: float,
    reading_sd_dc: float = 1.0,
    bounds: tuple[Bound, ...] = (),
) -> HeatingEta | None:
    """Return in how many seconds the part will be at `target_c`, or None.

    `bins` and `bounds` count from when heating began, as does `now_s`; `reading_sd_dc` is 1
    for an instrument, 10 for typed readings; a bound is ``(t_s, temp_c, +1)`` for "at
    least", ``-1`` for "at most". None where the part is at its target by the last reading
    (or by the prior, without any), and where target or now is no number.
    Total: whatever is no number is left out, nothing raises.
    """
    if not (math.isfinite(target_c) and math.isfinite(now_s)):
        return None
    target_c, now_s = held(target_c, *PART_C), held(now_s, 0.0, _LONGEST_S)
    readings = _readings(bins, bounds, held(reading_sd_dc, 0.1, 1e3))
    if _there_already(prior, readings, target_c):
        return None
    kind = KINDS[prior.source]
    found = fit(_believed(prior, kind), readings, now_s)
    table = normals(COUNT + 2)
    z = found.z + table[:, :COUNT] @ found.spread.T
    temp_c, from_s = _present(found, readings, z, now_s)
    ahead_s = _FIRST_S * np.expm1(np.linspace(0.0, math.log1p(HORIZON_S / _FIRST_S), _STEPS))
    goal_sd_dc = math.hypot(_SENSOR_SD_DC, kind.swing_dc)
    goal_c = target_c - kind.swing_dc + goal_sd_dc * table[:, COUNT]
    reached_s = curves_of(found.believed, z)[0].reached_s(temp_c, goal_c, from_s + ahead_s)
    to_go_dc = target_c - float(np.median(temp_c))
    share = to_go_dc / max(target_c - found.believed.ambient_c, 1.0)
    sd = _model_sd(kind, share, len(readings.times_s))
    return _ranged(reached_s, np.exp(kind.late + sd * table[:, COUNT + 1]))


def _model_sd(kind: Kind, share: float, count: int) -> float:
    """Return what the model gets wrong of the time to go, as a logarithm.

    `share` of the way is still to go; `count` bins have been read.
    """
    new_sd = _NEW_SD / count if count else 0.0
    return math.hypot(kind.near_sd, kind.far_sd * held(share, 0.0, 1.0), new_sd)


def _ranged(reached_s: Floats, stretch: Floats) -> HeatingEta:
    """Return median and 80 % range of the draws, in whole seconds."""
    never = float(np.mean(np.isinf(reached_s))) > 0.5
    stretched_s = np.minimum(np.minimum(reached_s, HORIZON_S) * stretch, HORIZON_S)
    stretched_s = np.where(np.isinf(reached_s), HORIZON_S, stretched_s)
    low_s, value_s, high_s = np.quantile(stretched_s, [0.1, 0.5, 0.9]).round().tolist()
    return HeatingEta(value_s, low_s, None if high_s >= HORIZON_S else high_s, never)


def _believed(prior: HeatingPrior, kind: Kind) -> Believed:
    return Believed(
        rate_c_s=held(prior.rate_c_s, 1e-5, 1e2),
        rate_sd=kind.rate_sd,
        approach_dc=held(prior.approach_dc, 5.0, 1e4),
        approach_sd=kind.approach_sd,
        warmup_s=held(prior.warmup_s, 1.0, 1e4),
        warmup_sd=kind.warmup_sd,
        bend=kind.bend,
        start_c=held(prior.start_c, *PART_C),
        start_sd_dc=_START_SD_DC,
        ambient_c=held(prior.ambient_c, *AIR_C),
        floor_dc=kind.floor_dc,
        wobble_dc=kind.wobble_dc,
    )


def _readings(bins: Bins, bounds: tuple[Bound, ...], sd_dc: float) -> Readings:
    """Return the readings that are numbers and go forward in time."""
    rows: list[tuple[float, float, float]] = []
    for t_s, temp_c, n in bins:
        if _number(t_s, temp_c) and (not rows or t_s > rows[-1][0]):
            rows.append((t_s, held(temp_c, *PART_C), held(n, 1.0, 1e6)))
    sided = tuple(
        (t_s, held(temp_c, *PART_C), 1 if side > 0 else -1)
        for t_s, temp_c, side in bounds
        if _number(t_s, temp_c)
    )
    times_s, temps_c, counts = np.array(rows).reshape(-1, 3).T
    noise_dc = sd_dc / math.sqrt(float(np.median(counts))) if rows else sd_dc
    return Readings(times_s, temps_c, sided, sd_dc, noise_dc)


def _number(t_s: float, temp_c: float) -> bool:
    return 0.0 <= t_s <= _LONGEST_S and math.isfinite(temp_c)


def _there_already(prior: HeatingPrior, readings: Readings, target_c: float) -> bool:
    last_s = float(readings.times_s[-1]) if len(readings.times_s) else 0.0
    if any(t >= last_s and c >= target_c and side > 0 for t, c, side in readings.bounds):
        return True
    if len(readings.times_s):
        return float(readings.temps_c[-1]) >= target_c
    return not readings.bounds and prior.start_c >= target_c


def _present(found: Fitted, readings: Readings, z: Floats, now_s: float) -> tuple[Floats, float]:
    """Return each draw's temperature now, °C (draws,), and when now is.

    Corrected by the latest readings' miss, as far as a miss is the curve's and not theirs.
    """
    believed = found.believed
    curves, start_c = curves_of(believed, z)
    knots = knots_s(believed, readings.times_s)
    from_s = max(now_s, float(knots[-1]) + 1.0)
    temps_c = curves.through(start_c, np.append(knots, from_s))
    latest_s = readings.times_s[-_LATEST:]
    if not len(latest_s):
        return temps_c[:, -1], from_s
    curve_c = temps_c[:, :-1] @ between(knots, latest_s)
    miss_dc = np.median(readings.temps_c[-_LATEST:] - curve_c, axis=1)
    share = believed.floor_dc**2 / (believed.floor_dc**2 + readings.sd_dc**2)
    return np.clip(temps_c[:, -1] + share * miss_dc, *PART_C), from_s
