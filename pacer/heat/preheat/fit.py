"""Fitting a heating curve to readings: the most probable parameters and their spread.

Gauss-Newton on standardised parameters (prior = unit normal) with Huber's weights, as in
`estimate`. Two things differ from a cool-down:

* readings lose weight with age: a flame creeps, a hand tires, and only what the source
  does now matters;
* a flame is turned down, goes out, is lit again. Where one strength of the source doesn't
  explain all readings, only those since the last jump of their slope are used, and the
  plan's idea of the source is believed less.

One-sided readings (a crayon that has melted or hasn't) enter with their own likelihood.
No warm start: the result is a pure function of its arguments.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from pacer.heat.cooldown.estimate import BOUND_SD_DC, HUBER, Bound
from pacer.heat.preheat.curve import Curves

Floats = npt.NDArray[np.float64]
RATE, APPROACH, WARMUP, START = range(4)
"Columns of the standardised parameters."
COUNT = 4

FARTHEST_SD = 6.0
AGE_DC_S = 0.006
"How fast an old reading loses its hold, °C a second (tuned on simulated heat-ups)."
_LOOSER_RATE, _LOOSER_APPROACH = 2.0, 1.4
"How much wider the source's prior is once a change of it has been seen."
_NOISY, _LATE, _LATEST = 1.3, 1.5, 3
"Root mean square miss over wobble and noise, and over that the median of the latest three."
_COOLED_DC, _LEAST_APPROACH_DC = 0.5, 5.0
_SPIKE_SD = 5.0
"A spoilt bin counts as no more than this."
_FREE_START_DC = 15.0
_FEWEST = 3
_LARGE = 0.6
"Share of the largest jump from which another is one, too."
_TURN = 0.25
"Change of the slope, over the slope, that a tap makes and a lid lifted for a look doesn't."
_KNOTS, _SHORTEST_S = 10, 0.5
"Steps of a curve in the fit; bins between are interpolated."
_NUDGE, _ROUNDS, _CLOSE, _GAIN = 0.03, 10, 0.05, 0.03


@dataclass(frozen=True)
class Believed:
    """A source before its first reading: medians, and sds of the logarithms."""

    rate_c_s: float
    rate_sd: float
    approach_dc: float
    approach_sd: float
    warmup_s: float
    warmup_sd: float
    bend: float
    start_c: float
    start_sd_dc: float
    ambient_c: float
    floor_dc: float
    "What the curve misses of a reading, beyond the reading's own error."
    wobble_dc: float
    "How far readings wobble about the curve while the source is left as it is."
    began_s: float = 0.0
    "When the curve is at its start, s since heating began."


@dataclass(frozen=True, eq=False)
class Readings:
    """Trusted readings as arrays, times since heating began and rising."""

    times_s: Floats
    temps_c: Floats
    bounds: tuple[Bound, ...]
    sd_dc: float
    "Error of a reading."
    noise_dc: float
    "Of that, what differs from bin to bin."

    def latest(self, count: int) -> Readings:
        """Return the last `count` readings and the bounds since the first of them."""
        since_s = float(self.times_s[-count])
        bounds = tuple(b for b in self.bounds if b[0] >= since_s)
        times_s, temps_c = self.times_s[-count:], self.temps_c[-count:]
        return replace(self, times_s=times_s, temps_c=temps_c, bounds=bounds)


@dataclass(frozen=True, eq=False)
class Fitted:
    """Where the parameters are most probable and how sure that is."""

    believed: Believed
    z: Floats
    "(parameters,), in sd from the prior"
    spread: Floats
    "(parameters, parameters): spread @ unit normals are draws about z"
    explains: bool
    "Whether one strength of the source explains the readings."


def curves_of(believed: Believed, z: Floats) -> tuple[Curves, Floats]:
    """Return the curves at `z`, (sets, parameters), and where they start, °C (sets,)."""
    bounded = np.clip(z, -FARTHEST_SD, FARTHEST_SD)
    b = believed
    curves = Curves(
        b.rate_c_s * np.exp(b.rate_sd * bounded[:, RATE]),
        b.approach_dc * np.exp(b.approach_sd * bounded[:, APPROACH]),
        b.warmup_s * np.exp(b.warmup_sd * bounded[:, WARMUP]),
        b.bend,
        b.ambient_c,
    )
    return curves, b.start_c + b.start_sd_dc * bounded[:, START]


def fit(believed: Believed, readings: Readings, now_s: float) -> Fitted:
    """Return the fit to `readings`, or to those since the source's last turn.

    Where one strength of the source doesn't explain them all, the fit is made again from
    the last jump of their slope on.
    """
    found = _fit_to(believed, readings, now_s)
    since = None if found.explains else _last_turn(readings)
    if since is None:
        return found
    fewer = len(readings.times_s) - since
    return _fit_to(_looser(believed, readings, fewer), readings.latest(fewer), now_s)


def _last_turn(readings: Readings) -> int | None:
    """Return the index of the first reading after the last jump of the slope, or None.

    Jumps of the mean slope over three bins are compared with the largest of them: a flame
    that goes out and is lit again makes two, and the later one counts.
    """
    count = len(readings.times_s)
    if count < 2 * _FEWEST:
        return None
    slopes = np.diff(readings.temps_c) / np.diff(readings.times_s)
    jumps = np.zeros(count)
    for i in range(2, count - 2):
        before, after = slopes[max(i - 3, 0) : i].mean(), slopes[i : i + 3].mean()
        if abs(after - before) >= _TURN * max(abs(before), abs(after)):
            jumps[i] = abs(after - before)
    if not jumps.any():
        return None
    last = int(np.flatnonzero(jumps >= _LARGE * jumps.max())[-1])
    first = max(last - _FEWEST + 1, 0)
    turn = first + int(np.argmax(jumps[first : last + 1]))
    return min(turn + 1, count - _FEWEST)


def _looser(believed: Believed, readings: Readings, count: int) -> Believed:
    """Return `believed` after a change of the source, starting where readings were then.

    A part that has cooled since would, as things are, not even stay where it is.
    """
    since_c = readings.temps_c[-count:]
    start_c, end_c = float(np.median(since_c[:3])), float(np.median(since_c[-2:]))
    approach_dc = believed.approach_dc
    if end_c < start_c - _COOLED_DC - readings.noise_dc:
        approach_dc = min(approach_dc, max(end_c - believed.ambient_c, _LEAST_APPROACH_DC))
    return replace(
        believed,
        rate_sd=_LOOSER_RATE * believed.rate_sd,
        approach_dc=approach_dc,
        approach_sd=_LOOSER_APPROACH * believed.approach_sd,
        start_c=start_c,
        start_sd_dc=math.hypot(_FREE_START_DC, readings.sd_dc),
        began_s=float(readings.times_s[-count]),
    )


def _fit_to(believed: Believed, readings: Readings, now_s: float) -> Fitted:
    if not len(readings.times_s) and not readings.bounds:
        return Fitted(believed, np.zeros(COUNT), np.eye(COUNT), True)
    sd_dc = _sd_dc(believed, readings, now_s)
    z, miss, normal = _most_probable(_misses_of(believed, readings, sd_dc))
    spread = np.asarray(np.linalg.inv(np.linalg.cholesky(normal)).T, dtype=np.float64)
    count = len(readings.times_s)
    miss_dc = (np.clip(miss, -_SPIKE_SD, _SPIKE_SD) * sd_dc)[:count]
    return Fitted(believed, z, spread, _explained(miss_dc, believed, readings))


def _explained(miss_dc: Floats, believed: Believed, readings: Readings) -> bool:
    allowed_dc = math.hypot(believed.wobble_dc, _NOISY * readings.noise_dc)
    if not len(miss_dc):
        return True
    latest_dc = abs(float(np.median(miss_dc[-_LATEST:])))
    return float(np.sqrt(np.mean(miss_dc**2))) <= allowed_dc and latest_dc <= _LATE * allowed_dc


def knots_s(believed: Believed, times_s: Floats) -> Floats:
    """Return at most ten of `times_s`, from the curve's beginning on, for its steps."""
    inside = np.unique(np.append(times_s[times_s > believed.began_s], believed.began_s))
    inside = inside[np.concatenate([[True], np.diff(inside) > _SHORTEST_S])]
    chosen = np.linspace(0.0, len(inside) - 1.0, min(_KNOTS, len(inside)))
    return np.asarray(inside[np.unique(chosen.round()).astype(int)], dtype=np.float64)


def between(knots_s: Floats, times_s: Floats) -> Floats:
    """Return linear interpolation from `knots_s` to `times_s` as a matrix, (knots, times)."""
    return np.array([np.interp(times_s, knots_s, unit) for unit in np.eye(len(knots_s))])


def _sd_dc(believed: Believed, readings: Readings, now_s: float) -> Floats:
    """Return the likelihood sd of each reading and bound, °C, (n,)."""
    bounds = readings.bounds
    age_s = np.maximum(now_s - np.append(readings.times_s, [b[0] for b in bounds]), 0.0)
    own = np.full(len(age_s), readings.sd_dc)
    own[len(readings.times_s) :] = BOUND_SD_DC
    return np.sqrt(own**2 + believed.floor_dc**2 + (AGE_DC_S * age_s) ** 2)


def _misses_of(believed: Believed, readings: Readings, sd: Floats) -> Callable[[Floats], Floats]:
    """Return the function from parameters (sets, 4) to standardised misses (sets, n)."""
    bounds = readings.bounds
    times_s = np.append(readings.times_s, [b[0] for b in bounds])
    seen_c = np.append(readings.temps_c, [b[1] for b in bounds])
    knots = knots_s(believed, times_s)
    weights = between(knots, times_s)
    count = len(readings.times_s)

    def misses(z: Floats) -> Floats:
        curves, start_c = curves_of(believed, z)
        miss = (seen_c - curves.through(start_c, knots) @ weights) / sd
        for i, (_, _, side) in enumerate(bounds, count):
            miss[:, i] = [_one_sided(-side * one) for one in miss[:, i]]
        return np.asarray(miss, dtype=np.float64)

    return misses


def _one_sided(above_sd: float) -> float:
    """Return the miss of a reading the curve lies `above_sd` to the right side of.

    ``sqrt(-2 ln Phi(a))``, so that half its square is the reading's own log-likelihood.
    """
    if above_sd < -30.0:
        return -above_sd
    chance = 0.5 * math.erfc(-above_sd / math.sqrt(2.0))
    return math.sqrt(max(-2.0 * math.log(max(chance, 1e-300)), 0.0))


def _most_probable(misses: Callable[[Floats], Floats]) -> tuple[Floats, Floats, Floats]:
    """Return parameters, misses there and the normal matrix, by damped Gauss-Newton."""
    nudges = np.concatenate([np.zeros((1, COUNT)), _NUDGE * np.eye(COUNT)])

    def around(centre: Floats) -> tuple[Floats, Floats, float]:
        rows = misses(centre + nudges)
        size = np.abs(rows[0])
        huber = np.where(size <= HUBER, 0.5 * size**2, HUBER * (size - 0.5 * HUBER))
        cost = float(np.sum(huber) + 0.5 * np.sum(centre**2))
        return rows[0], (rows[1:] - rows[0]).T / _NUDGE, cost

    z, share = np.zeros(COUNT), 1.0
    residual, slope, cost = around(z)
    for _ in range(_ROUNDS):
        weight = np.minimum(1.0, HUBER / np.maximum(np.abs(residual), 1e-12))
        normal = (slope * weight[:, None]).T @ slope + np.eye(COUNT)
        step = np.linalg.solve(normal, -(slope.T @ (weight * residual)) - z)
        tried = np.clip(z + share * step, -FARTHEST_SD, FARTHEST_SD)
        there = around(tried)
        if there[2] >= cost:
            share *= 0.3
            if share < 0.05:
                break
            continue
        settled = float(np.max(np.abs(tried - z))) < _CLOSE or cost - there[2] < _GAIN
        z, (residual, slope, cost), share = tried, there, min(1.0, 2.0 * share)
        if settled:
            break
    weight = np.minimum(1.0, HUBER / np.maximum(np.abs(residual), 1e-12))
    return z, residual, (slope * weight[:, None]).T @ slope + np.eye(COUNT)
