"""Whether a cool-down goes as its cover should make it go: a kind and numbers, no words.

Silent for a normal burial in any cover. Three things are told apart:

- faster: damp sand, a part that shows, a draught, a cover that was taken off;
- slower: more cover, or a warmer or lighter one, than was said;
- jump: a step between bins with calm on both sides, which no cover makes: the probe moved
  or fell out.

Nothing is said in the first quarter of an hour: it belongs to the start gradient, to
contact and moisture. The limits lie outside what simulated normal cool-downs reach
(pull up to 3.4 in 144 of them, damp sand from 3.7 on; latest bins at most 1.5 sd off).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from pacer.heat.bins import Bins
from pacer.heat.cooldown.curves import curves_of
from pacer.heat.cooldown.estimate import DOUBT, bin_sd_dc
from pacer.heat.cooldown.fitted import Fit

Kind = Literal["faster", "slower", "jump"]

QUIET_S = 900.0
"Nothing is judged before (procedure of the trade: never in the first 15 min of a burial)."
_OFF_SD = 2.5
"Median miss of the latest bins, in likelihood sd, beyond which the fit can't follow any more."
_LATEST = 5
_RECENT = 12
"Bins in which a jump is looked for: an old one must not hide what comes after it."
_STEP_DC, _STEP_READING_SDS, _STEP_RATIO = 12.0, 3.0, 2.0
"Least step of a jump, °C; and of readings' sd; and its rate over those before and after."


@dataclass(frozen=True)
class Departure:
    """How a cool-down departs from what its cover makes of it."""

    kind: Kind
    since_s: float
    "The jump's moment, or the earliest bin judged, s since the cool-down began."
    off_dc: float
    "A jump's step; else the latest bins over the prior's curve; negative is colder, °C."
    pull: float
    "Distance of the fit from the prior, sd."


def watch(fit: Fit, bins: Bins) -> Departure | None:
    """Return how `bins` depart from the prior of `fit`, which was made of them, or None.

    Costs two curves, less than the fit itself.
    """
    if not bins or bins[-1][0] < QUIET_S:
        return None
    jumped = _jump(bins, fit.reading_sd_dc)
    if jumped is not None:
        return Departure("jump", *jumped, fit.pull)
    if len(bins) < _LATEST:
        return None
    latest = bins[-_LATEST:]
    times_s, temps_c, _ = np.array(latest).T
    sd_dc = bin_sd_dc(times_s, temps_c, fit.prior.ambient_c, fit.reading_sd_dc)
    both_c = curves_of(fit.prior, np.array([fit.z, np.zeros(len(fit.z))])).at(times_s)
    # What is compared is rounded, so that another processor comes to the same answer.
    off_sd = round(float(np.median((temps_c - both_c[0]) / sd_dc)), 2)
    pull = round(fit.pull, 2)
    off_dc = round(float(np.median(temps_c - both_c[1])), 1)
    if abs(off_sd) > _OFF_SD:
        return Departure("faster" if off_sd < 0.0 else "slower", latest[0][0], off_dc, fit.pull)
    if pull > DOUBT:
        return Departure("faster" if off_dc < 0.0 else "slower", bins[0][0], off_dc, fit.pull)
    return None


def _jump(bins: Bins, reading_sd_dc: float) -> tuple[float, float] | None:
    """Return moment and size (fall negative) of the first recent step no cover makes.

    Over two bins, since the moment lies inside one; the same two bins further on and back
    must be calm. A cover taken off falls on as steeply, and a spoilt bin comes back.
    """
    least_dc = _STEP_DC + _STEP_READING_SDS * reading_sd_dc
    for i in range(max(3, len(bins) - _RECENT), len(bins) - 3):
        if bins[i][0] < QUIET_S:
            continue
        step_dc = bins[i + 1][1] - bins[i - 1][1]
        if abs(step_dc) < least_dc:
            continue
        rate = abs(step_dc) / (bins[i + 1][0] - bins[i - 1][0])
        calm = max(_slope(bins, i - 3, i - 1), _slope(bins, i + 1, i + 3))
        if rate > _STEP_RATIO * calm:
            return bins[i][0], step_dc
    return None


def _slope(bins: Bins, first: int, last: int) -> float:
    return abs(bins[last][1] - bins[first][1]) / (bins[last][0] - bins[first][0])
