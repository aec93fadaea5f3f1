"""What the part does from now on between beads: when it is at a limit, how many beads fit.

From a filtered estimate (`between.py`): a fixed table of draws about it is carried
forward, each with its own temperature, loss and arc heat, and what the probe of each
would read is followed to the limit. Nothing here is a slope: the heat of the last bead
that is still on its way to the probe is in every draw.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pacer.heat.draws import normals
from pacer.heat.lumped import CONVECTION_W_M2K, EMISSIVITY, STEFAN_BOLTZMANN_W_M2K4, ZERO_CELSIUS_K
from pacer.heat.pauses.beads import FADE_S, beads_dc
from pacer.heat.pauses.belief import ARC, COUNT, LOCAL, LOSS, MEAN, UNEVEN, WRAP, Bare, Estimate
from pacer.heat.pauses.between import LOCAL_S, flamed, moved, put_out, settling_s

Floats = npt.NDArray[np.float64]

HORIZON_S = 7200.0
"A pause longer than this is a stop, not a pause."
_AHEAD_S = 6.0 * np.expm1(np.linspace(0.0, math.log1p(HORIZON_S / 6.0), 56))
_MODEL_SD, _MODEL_SD_S = 0.10, 5.0
"Error of a time beside what the draws know (tuned as `between`)."


@dataclass(frozen=True)
class Ahead:
    """A number that lies ahead, with its 80 % range."""

    value: float
    low: float
    high: float | None
    "None where no bound can be given."


@dataclass(frozen=True, eq=False)
class Paths:
    """What the probe of each draw reads from a moment on."""

    ahead_s: Floats
    "(times,), from 0"
    probe_c: Floats
    "(draws, times)"
    loss: Floats
    "(draws,), the loss over a bare part's"
    rise_dc: Floats
    "(draws,), rise of the whole part for each J at the arc's terminals"
    luck: Floats
    "(draws, 2): unit normals for the time's own error"


def paths(part: Bare, estimate: Estimate, t_s: float) -> Paths:
    """Return what the probe reads from `t_s` on if nothing more is done: flame and arc out."""
    estimate = moved(part, estimate, t_s)
    estimate = put_out(part, flamed(part, estimate, t_s, heated=False), t_s)
    table = normals(COUNT + 2)
    value, vector = np.linalg.eigh(np.array(estimate.cov).reshape(COUNT, COUNT))
    away = table[:, :COUNT] @ (vector * np.sqrt(np.maximum(value, 0.0))).T
    drawn = np.array(estimate.mean) + away
    wrap = drawn[:, WRAP] if estimate.wrapped else 0.0
    loss = np.exp(np.clip(drawn[:, LOSS] + wrap, math.log(0.03), math.log(5.0)))
    mean = np.empty((len(drawn), len(_AHEAD_S)))
    mean[:, 0] = drawn[:, MEAN]
    for k, step_s in enumerate(np.diff(_AHEAD_S)):
        mean[:, k + 1] = _cooled_c(part, mean[:, k], loss * step_s)
    heat = [beads_dc(part, estimate, t_s + ahead_s) for ahead_s in _AHEAD_S.tolist()]
    probe = mean + np.array([excess for excess, _ in heat])
    for column in zip(*(slopes for _, slopes in heat), strict=True):
        probe += np.outer(away[:, column[0][0]], [slope for _, slope in column])
    probe += drawn[:, UNEVEN, None] * np.exp(-_AHEAD_S / settling_s(part))
    probe += drawn[:, LOCAL, None] * np.exp(-_AHEAD_S / LOCAL_S)
    arc = np.exp(np.clip(drawn[:, ARC], math.log(0.1), math.log(1.2)))
    heat_j_k = part.mass_kg * (450.0 + 0.4 * np.clip(mean[:, 0], 0.0, 700.0))
    return Paths(_AHEAD_S, probe, loss, arc / heat_j_k, table[:, COUNT:])


def _cooled_c(part: Bare, temp_c: Floats, step_s: Floats) -> Floats:
    """Return the temperature a step later as `lumped.temp_after_c` does: never past the air."""
    over = temp_c - part.ambient_c
    half = part.ambient_c + over * np.exp(-0.5 * step_s * _decay_1_s(part, temp_c))
    return np.asarray(part.ambient_c + over * np.exp(-step_s * _decay_1_s(part, half)))


def _decay_1_s(part: Bare, temp_c: Floats) -> Floats:
    """Return the bare part's cooling over its difference to the air, 1/s, for arrays."""
    hot = np.clip(temp_c, -200.0, 2000.0) + ZERO_CELSIUS_K
    cold = part.ambient_c + ZERO_CELSIUS_K
    convection = CONVECTION_W_M2K * np.sqrt(np.sqrt(np.abs(hot - cold) * 0.01))
    radiation = EMISSIVITY * STEFAN_BOLTZMANN_W_M2K4 * (hot + cold) * (hot**2 + cold**2)
    heat = part.mass_kg * (450.0 + 0.4 * np.clip(temp_c, 0.0, 700.0))
    return np.asarray(part.area_m2 * (convection + radiation) / heat, dtype=np.float64)


def time_to(ahead: Paths, limit_c: float) -> Ahead | None:
    """Return in how many s the probe has sunk to `limit_c`, whole seconds.

    None where more than half of the draws don't within `HORIZON_S`.
    """
    crossed = _crossing_s(ahead, limit_c)
    error = np.exp(_MODEL_SD * ahead.luck[:, 0]) * crossed + _MODEL_SD_S * ahead.luck[:, 1]
    error = np.where(crossed > 0.0, np.clip(error, 0.0, HORIZON_S), 0.0)
    # Never is never, whatever the luck.
    error = np.where(crossed >= HORIZON_S, HORIZON_S, error)
    low, value, high = np.quantile(error, [0.1, 0.5, 0.9])
    if value >= HORIZON_S:
        return None
    return Ahead(round(value), round(low), None if high >= HORIZON_S else round(high))


def _crossing_s(ahead: Paths, limit_c: float) -> Floats:
    """Return when each draw is at or below the limit for good; `HORIZON_S` if never.

    For good: a probe under the limit that heat on its way will lift over it is at the limit
    when it sinks the second time.
    """
    above = ahead.probe_c > limit_c
    end = above.shape[1] - 1
    last = end - np.argmax(above[:, ::-1], axis=1)
    rows = np.arange(len(above))
    after = np.minimum(last + 1, end)
    high, low = ahead.probe_c[rows, last] - limit_c, limit_c - ahead.probe_c[rows, after]
    part = np.clip(high / np.maximum(high + low, 1e-9), 0.0, 1.0)
    found = ahead.ahead_s[last] + part * (ahead.ahead_s[after] - ahead.ahead_s[last])
    found = np.where(last == end, HORIZON_S, found)
    return np.asarray(np.where(above.any(axis=1), found, 0.0), dtype=np.float64)


def beads_left(
    ahead: Paths, floor_c: float, bead_j: float, bead_s: float, cycle_s: float, most: int
) -> Ahead:
    """Return how many beads fit in before one would end below the floor; at most `most`.

    `bead_j` at the terminals, each `cycle_s` after the last; their heat is taken as spread
    through the part, which counts too few where the probe is near the joint.
    """
    if most <= 0:
        return Ahead(0, 0, 0)
    start_s = cycle_s * np.arange(most)
    ends = start_s + bead_s
    alone = np.array([np.interp(ends, ahead.ahead_s, row) for row in ahead.probe_c])
    # What earlier beads brought fades with the part's own loss: a geometric sum.
    fades = np.exp(-cycle_s * np.clip(ahead.loss, 0.1, 5.0) / FADE_S)[:, None]
    brought = ahead.rise_dc[:, None] * bead_j * fades * (1.0 - fades ** np.arange(most))
    above = alone + brought / (1.0 - fades) >= floor_c
    count = np.where(above.all(axis=1), most, np.argmin(above, axis=1))
    low, value, high = np.quantile(count, [0.1, 0.5, 0.9], method="nearest")
    return Ahead(int(value), int(low), int(high))
