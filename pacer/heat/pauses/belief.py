"""What is believed of the part between beads: the vector, its doubt, and their bookkeeping.

An `Estimate` is plain numbers, so that the fold's state can hold and compare it. Standard
library only, and written out where a library of arrays would be slower.
"""

from __future__ import annotations

import math
from itertools import chain
from typing import NamedTuple

Row = list[float]

VERSION = 1
"Rises whenever the model or a number below changes, so that old forecasts can be told apart."

MEAN, UNEVEN, LOCAL, FLAME = range(4)
"°C, °C, °C, °C/s"
LOSS, ARC, NEAR, SPREAD, ALONG, WRAP = range(4, 10)
"What is learned of the part: logarithms, ALONG in m from the joint's middle."
COUNT = 10

_BOUNDS = (
    (-50.0, 1300.0),
    (-150.0, 150.0),
    (-80.0, 80.0),
    (-1.0, 5.0),
    (math.log(0.1), math.log(5.0)),
    (math.log(0.15), math.log(1.2)),
    (math.log(0.005), math.log(0.3)),
    (math.log(0.4), math.log(2.5)),
    (-0.3, 0.3),
    (math.log(0.1), math.log(1.2)),
)
"What iron, air and arcs do."

# Tuned on simulated pauses (tests/heat/truth_story.py, seeds 0-13).
_LOSS, _LOSS_SD = 0.08, 0.18
"Ribs and bosses lose more than two smooth faces and a rim."
FLAME_SD_DC_S = 0.25


class Bare(NamedTuple):
    """The part as the job tells it."""

    mass_kg: float
    area_m2: float
    "What air touches: both faces and the rim."
    along_m: float
    "Side of the plate along the joint."
    across_m: float
    ambient_c: float
    distance_m: float
    "Probe from the joint."
    joint_m: float
    "Length of the joint."
    efficiency: float
    "Of the arc."
    uneven_dc: float
    "Sd of what the heat source leaves between the probe and the part's mean."


class Bead(NamedTuple):
    """One bead's heat."""

    start_s: float
    end_s: float | None
    "None while the arc burns."
    along_m: float
    "Place along the joint, from its middle."
    power_w: float
    "At the terminals."


class Estimate(NamedTuple):
    """What is believed at `t_s`."""

    t_s: float
    mean: tuple[float, ...]
    "(COUNT,)"
    cov: tuple[float, ...]
    "(COUNT * COUNT,), row by row"
    beads: tuple[Bead, ...] = ()
    heated: bool = False
    wrapped: bool = False
    rejected: int = 0
    "Readings left out in a row."
    readings: int = 0
    "Readings taken in; 0: only the plan speaks."
    odd: float = 0.0
    "Running mean of the readings' misses, in sd: a flame left on shows here."
    unsaid: bool = False
    "A flame that nobody told burns."

    @property
    def hot(self) -> bool:
        """True while a flame burns, told or found."""
        return self.heated or self.unsaid

    @property
    def burning(self) -> bool:
        """True while the arc burns."""
        return bool(self.beads) and self.beads[-1].end_s is None


def begin(part: Bare, t_s: float, temp_c: float, sd_dc: float, *, heated: bool) -> Estimate:
    """Return the estimate before the first bead, at `temp_c` as read or as planned."""
    mean = [temp_c, 0.0, 0.0, 0.0, _LOSS, math.log(max(part.efficiency, 0.01))]
    mean += [math.log(max(part.distance_m, 0.001)), 0.0, 0.0, math.log(0.4)]
    flame_sd = FLAME_SD_DC_S if heated else 0.0
    sd = [sd_dc, part.uneven_dc, 0.0, flame_sd, _LOSS_SD, 0.22, 0.20, 0.15, along_sd_m(part), 0.5]
    cov = [[sd[i] ** 2 if i == k else 0.0 for k in range(COUNT)] for i in range(COUNT)]
    return kept(Estimate(t_s, (), (), heated=heated), mean, cov)


def remembering(new: Estimate, old: Estimate) -> Estimate:
    """Return `new` with what `old` had learned of the part itself."""
    mean, cov = rows(new)
    known, block = rows(old)
    mean[LOSS:] = known[LOSS:]
    for i in range(LOSS, COUNT):
        cov[i][LOSS:] = block[i][LOSS:]
    return kept(new, mean, cov)


def along_sd_m(part: Bare) -> float:
    return max(0.01, 0.3 * part.joint_m)


def forget(cov: list[Row], i: int, sd: float) -> None:
    cov[i] = [0.0] * COUNT
    for row in cov:
        row[i] = 0.0
    cov[i][i] = sd**2


def replace_row(cov: list[Row], i: int, onward: list[tuple[int, float]]) -> None:
    """Make ``F P F'`` of P, in place, where F is one but for row `i`: columns and shares."""
    new = [0.0] * COUNT
    for k, part in onward:
        new = [n + part * c for n, c in zip(new, cov[k], strict=True)]
    new[i] = sum(part * new[k] for k, part in onward)
    cov[i] = new
    for row, c in zip(cov, new, strict=True):
        row[i] = c


def rows(estimate: Estimate) -> tuple[Row, list[Row]]:
    cov = estimate.cov
    return list(estimate.mean), [list(cov[i : i + COUNT]) for i in range(0, COUNT * COUNT, COUNT)]


def kept(estimate: Estimate, mean: Row, cov: list[Row]) -> Estimate:
    """Return the estimate with mean and covariance, within bounds and never negative."""
    for i, (low, high) in enumerate(_BOUNDS):
        if not low <= mean[i] <= high:
            mean[i] = min(max(mean[i], low), high)
        if cov[i][i] < 1e-12:
            cov[i][i] = 1e-12
        elif cov[i][i] > 1e6:
            _shrink(cov, i, math.sqrt(1e6 / cov[i][i]))
    return estimate._replace(mean=tuple(mean), cov=tuple(chain.from_iterable(cov)))


def _shrink(cov: list[Row], i: int, by: float) -> None:
    """Multiply a number's sd, in place; what it says of the others stays consistent."""
    cov[i] = [by * c for c in cov[i]]
    for row in cov:
        row[i] *= by
