"""The part between beads: one filter that learns from bead to bead.

What is estimated: the part's mean temperature; what the probe's place lies above it (the
unevenness a flame leaves, and what the last bead's heat does there that the model misses);
how fast the flame heats; and how this part differs from what the job says of it: loss to
the air, arc efficiency, the probe's distance and place along the joint, how fast heat
spreads, how much a wrapping saves.

The probe reads mean + unevenness + local miss + the heat of the last beads as it has spread
to the probe, less its share of the mean. The spreading is in closed form
(`heat/spread.py`), so nothing is integrated but the mean; losses are those of a bare part
(`heat/lumped.py`) times the learned scale.

An extended Kalman filter, stepped at most once a second and never while the arc burns.
Its measurement error is mostly the model's: the readings of one second say the same
thing. A reading five sd off is left out, but a run of them is a fact (a probe moved), not a
spike. Under a flame of unknown strength nothing is learned of the part itself.

Total: finite numbers give finite numbers; parameters stay within what iron, air and arcs
do. An `Estimate` is plain numbers, so that the fold's state can hold and compare it.
Standard library only, and written out where a library of arrays would be slower.
"""

from __future__ import annotations

import math
from itertools import chain
from typing import NamedTuple

from pacer.heat.lumped import cooling_rate_c_s, heat_capacity_j_kgk
from pacer.heat.spread import share

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

DIFFUSIVITY_M2_S = 48.0 / (7200.0 * 550.0)
"""Grey iron near 250 °C: k 46-50 W/mK (data sheet pages, SEEN-S), density and specific heat
as in `part` and `lumped`."""
PROBE_LAG_S = 4.0
"Junction and median filter together (estimate)."
LOCAL_S = 80.0
"How long a miss near the bead lasts: (40 mm)^2 / diffusivity is 130 s."
FADE_S = 700.0
"Time in which a bare plate loses the heat a place has in excess (estimate)."
MOST_BEADS = 12
"Older beads have spread through the part."
_SPREAD_OUT_S = 1500.0
_WHOLE_AFTER_S = 25.0
"A bead's heat is three sudden ones for so long after it, then one."

_OFF_MIDDLE = 0.3
"""Where the joint lies, as a share of the side across it from the middle (estimate: cracks are
seldom in the middle). Heat spreads to one side for longer than from a middle to both."""

# Tuned on simulated pauses (tests/heat/truth_story.py, seeds 0-13).
_LOSS, _LOSS_SD = 0.08, 0.18
"Ribs and bosses lose more than two smooth faces and a rim."
_SPARE_DC, _DRIFT_DC2_S, _DOUBT, _LOCAL_SD_DC = 2.0, 0.03, 0.2, 10.0
_SETTLES = 0.5
"What a flame leaves is not only the slowest pattern; shorter ones fade sooner."
_FLAME_SD_DC_S = 0.25
_GATE_SD, _REACQUIRE = 5.0, 8
_ODD_GROWS, _ODD = 0.1, 1.2
_LEAST_FLAME_DC_S = 0.2
"A flame that with its doubt is less than this is none; a bare part loses some 0.2 °C/s."
_LONGEST_STEP_S = 10.0
_MOST_STEPS = 200
_LONGEST_S = 1e7
"Longer than any session: what happens after it is even with the air."
_READS_C = (-300.0, 3000.0)
"A reading beyond this is as wrong as one at its edge."


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


def begin(part: Bare, t_s: float, temp_c: float, sd_c: float, *, heated: bool) -> Estimate:
    """Return the estimate before the first bead, at `temp_c` as read or as planned."""
    mean = [temp_c, 0.0, 0.0, 0.0, _LOSS, math.log(max(part.efficiency, 0.01))]
    mean += [math.log(max(part.distance_m, 0.001)), 0.0, 0.0, math.log(0.4)]
    flame_sd = _FLAME_SD_DC_S if heated else 0.0
    sd = [sd_c, part.uneven_dc, 0.0, flame_sd, _LOSS_SD, 0.22, 0.20, 0.15, _along_sd_m(part), 0.5]
    cov = [[sd[i] ** 2 if i == k else 0.0 for k in range(COUNT)] for i in range(COUNT)]
    return _kept(Estimate(t_s, (), (), heated=heated), mean, cov)


def remembering(new: Estimate, old: Estimate) -> Estimate:
    """Return `new` with what `old` had learned of the part itself."""
    mean, cov = _rows(new)
    known, block = _rows(old)
    mean[LOSS:] = known[LOSS:]
    for i in range(LOSS, COUNT):
        cov[i][LOSS:] = block[i][LOSS:]
    return _kept(new, mean, cov)


def _along_sd_m(part: Bare) -> float:
    return max(0.01, 0.3 * part.joint_m)


def moved(part: Bare, estimate: Estimate, t_s: float, strange: float = 1.0) -> Estimate:
    """Return the estimate carried on to `t_s`; `strange` multiplies what may have happened."""
    if t_s <= estimate.t_s:
        return estimate
    mean, cov = _rows_at(part, estimate, t_s, strange)
    return _kept(estimate._replace(t_s=t_s), mean, cov)


def _rows_at(
    part: Bare, estimate: Estimate, t_s: float, strange: float = 1.0
) -> tuple[Row, list[Row]]:
    """Return mean and covariance carried on to `t_s`."""
    mean, cov = _rows(estimate)
    left_s = min(max(0.0, t_s - estimate.t_s), _LONGEST_S)
    steps = min(_MOST_STEPS, math.ceil(left_s / _LONGEST_STEP_S))
    for k in range(steps):
        at_s = estimate.t_s + k * left_s / steps
        _carry(part, estimate, mean, cov, at_s, left_s / steps, strange)
    return mean, cov


def settling_s(part: Bare) -> float:
    """Return how slowly unevenness dies away, s: a share of the whole plate's slowest pattern."""
    return _SETTLES * max(part.along_m, part.across_m) ** 2 / (math.pi**2 * DIFFUSIVITY_M2_S)


def _arc_w(estimate: Estimate, at_s: float, step_s: float) -> float:
    """Return the arc's mean power at the terminals over a step, W."""
    on_j = 0.0
    for bead in estimate.beads[-2:]:
        end_s = at_s + step_s if bead.end_s is None else min(bead.end_s, at_s + step_s)
        on_j += bead.power_w * max(0.0, end_s - max(bead.start_s, at_s))
    return on_j / step_s


def _carry(
    part: Bare,
    estimate: Estimate,
    mean: Row,
    cov: list[Row],
    at_s: float,
    step_s: float,
    strange: float,
) -> None:
    """Carry mean and covariance on by one step, in place."""
    temp_c = mean[MEAN]
    scale = math.exp(mean[LOSS] + (mean[WRAP] if estimate.wrapped else 0.0))
    bare = (part.ambient_c, part.mass_kg, part.area_m2)
    loss_c_s = scale * cooling_rate_c_s(temp_c, *bare)
    slope_1_s = max((scale * cooling_rate_c_s(temp_c + 5.0, *bare) - loss_c_s) / 5.0, 1e-9)
    heat_j_k = part.mass_kg * heat_capacity_j_kgk(temp_c)
    arc_c_s = math.exp(mean[ARC]) * _arc_w(estimate, at_s, step_s) / heat_j_k
    # The loss falls as the part sinks: exact for a loss straight in temperature.
    decay = math.exp(-slope_1_s * step_s)
    stretch_s = (1.0 - decay) / slope_1_s
    evens = math.exp(-step_s / settling_s(part))
    fades = math.exp(-step_s / LOCAL_S)
    mean[MEAN] += (mean[FLAME] + arc_c_s - loss_c_s) * stretch_s
    mean[UNEVEN] *= evens
    mean[LOCAL] *= fades
    by_loss = -loss_c_s * stretch_s
    onward = [(MEAN, decay), (FLAME, stretch_s), (LOSS, by_loss)]
    if arc_c_s:
        onward.append((ARC, arc_c_s * stretch_s))
    if estimate.wrapped:
        onward.append((WRAP, by_loss))
    _replace_row(cov, MEAN, onward)
    _replace_row(cov, UNEVEN, [(UNEVEN, evens)])
    _replace_row(cov, LOCAL, [(LOCAL, fades)])
    cov[MEAN][MEAN] += strange * _DRIFT_DC2_S * step_s
    if estimate.hot:
        cov[UNEVEN][UNEVEN] += (1.0 - evens**2) * part.uneven_dc**2
        cov[FLAME][FLAME] += _FLAME_SD_DC_S**2 * step_s / 120.0


def _replace_row(cov: list[Row], i: int, onward: list[tuple[int, float]]) -> None:
    """Make ``F P F'`` of P, in place, where F is one but for row `i`: columns and shares."""
    new = [0.0] * COUNT
    for k, part in onward:
        new = [n + part * c for n, c in zip(new, cov[k], strict=True)]
    new[i] = sum(part * new[k] for k, part in onward)
    cov[i] = new
    for row, c in zip(cov, new, strict=True):
        row[i] = c


def struck(part: Bare, estimate: Estimate, t_s: float, along_m: float, power_w: float) -> Estimate:
    """Return the estimate with an arc struck at `t_s`."""
    estimate = moved(part, put_out(part, estimate, t_s), t_s)
    young = tuple(bead for bead in estimate.beads if t_s - bead.start_s < _SPREAD_OUT_S)
    return estimate._replace(beads=(*young, Bead(t_s, None, along_m, power_w))[-MOST_BEADS:])


def put_out(part: Bare, estimate: Estimate, t_s: float) -> Estimate:
    """Return the estimate with the arc out since `t_s`."""
    if not estimate.burning:
        return estimate
    last = estimate.beads[-1]
    ended = last._replace(end_s=max(t_s, last.start_s))
    estimate = moved(part, estimate._replace(beads=(*estimate.beads[:-1], ended)), t_s)
    mean, cov = _rows(estimate)
    cov[LOCAL][LOCAL] += _LOCAL_SD_DC**2
    return _kept(estimate, mean, cov)


def mended(part: Bare, estimate: Estimate, end_s: float | None) -> Estimate:
    """Return the estimate with the last bead's end told anew; None: there was no arc.

    What burnt more or less than was taken in goes into the mean at once, with its doubt.
    """
    last, t_s = estimate.beads[-1], estimate.t_s
    had_s = max(0.0, min(t_s, math.inf if last.end_s is None else last.end_s) - last.start_s)
    has_s = 0.0 if end_s is None else max(0.0, min(t_s, end_s) - last.start_s)
    mean, cov = _rows(estimate)
    heat_j_k = part.mass_kg * heat_capacity_j_kgk(mean[MEAN])
    rise_dc = math.exp(mean[ARC]) * last.power_w * (has_s - had_s) / heat_j_k
    mean[MEAN] += rise_dc
    cov[MEAN][MEAN] += rise_dc**2
    told = () if end_s is None else (last._replace(end_s=max(end_s, last.start_s)),)
    return _kept(estimate._replace(beads=(*estimate.beads[:-1], *told)), mean, cov)


def flamed(part: Bare, estimate: Estimate, t_s: float, heated: bool) -> Estimate:
    """Return the estimate with the flame on or off since `t_s`, as told."""
    if heated == estimate.heated:
        return estimate
    return _flame(part, moved(part, estimate, t_s)._replace(heated=heated), on=heated)


def _flame(part: Bare, estimate: Estimate, *, on: bool) -> Estimate:
    """Open or close the flame; off, the reading is known, how uneven the part is is not."""
    mean, cov = _rows(estimate._replace(unsaid=False))
    mean[FLAME] = 0.0
    _forget(cov, FLAME, _FLAME_SD_DC_S if on else 0.0)
    if not on:
        _fix_anew(part, mean, cov)
    return _kept(estimate._replace(unsaid=False, odd=0.0), mean, cov)


def turned(part: Bare, estimate: Estimate, t_s: float) -> Estimate:
    """Return the estimate with the part turned over and the probe fixed anew at `t_s`."""
    mean, cov = _rows(estimate := moved(part, estimate, t_s))
    _fix_anew(part, mean, cov)
    cov[MEAN][MEAN] += 10.0**2
    mean[NEAR], mean[ALONG] = math.log(max(part.distance_m, 0.001)), 0.0
    _forget(cov, NEAR, 0.20)
    _forget(cov, ALONG, _along_sd_m(part))
    return _kept(estimate, mean, cov)


def wrapped(part: Bare, estimate: Estimate, t_s: float, on: bool) -> Estimate:
    """Return the estimate with the part wrapped or bare since `t_s`."""
    return moved(part, estimate, t_s)._replace(wrapped=on)


def _forget(cov: list[Row], i: int, sd: float) -> None:
    cov[i] = [0.0] * COUNT
    for row in cov:
        row[i] = 0.0
    cov[i][i] = sd**2


def _fix_anew(part: Bare, mean: Row, cov: list[Row]) -> None:
    """Put unevenness and local miss into the mean and their doubt back as at first, in place."""
    mean[MEAN] += mean[UNEVEN] + mean[LOCAL]
    mean[UNEVEN] = mean[LOCAL] = 0.0
    _replace_row(cov, MEAN, [(MEAN, 1.0), (UNEVEN, 1.0), (LOCAL, 1.0)])
    _forget(cov, LOCAL, 0.0)
    _forget(cov, UNEVEN, part.uneven_dc)
    cov[MEAN][MEAN] += part.uneven_dc**2
    cov[MEAN][UNEVEN] = cov[UNEVEN][MEAN] = -(part.uneven_dc**2)


def took(
    part: Bare, estimate: Estimate, t_s: float, temp_c: float, sd_c: float = 1.0, side: int = 0
) -> Estimate:
    """Return the estimate with one trusted reading more; `sd_c` is the reading's own error.

    `side` 1 means "at least `temp_c`" (a temperature crayon that melted), -1 "below": a
    reading that the estimate agrees with says nothing more.
    """
    mean, cov = _rows_at(part, estimate, t_s)
    estimate = estimate._replace(t_s=max(t_s, estimate.t_s), mean=tuple(mean))
    excess, slopes = beads_dc(part, estimate, t_s)
    temp_c = min(max(temp_c, _READS_C[0]), _READS_C[1])
    miss = temp_c - (mean[MEAN] + mean[UNEVEN] + mean[LOCAL] + excess)
    if miss * side < 0.0:
        return _kept(estimate._replace(readings=estimate.readings + 1), mean, cov)
    pull = [row[MEAN] + row[UNEVEN] + row[LOCAL] for row in cov]
    for i, slope in slopes:
        pull = [p + slope * c for p, c in zip(pull, cov[i], strict=True)]
    total = pull[MEAN] + pull[UNEVEN] + pull[LOCAL] + sum(slope * pull[i] for i, slope in slopes)
    # How the heat spreads is the doubtful part of the model.
    total += sd_c**2 + _SPARE_DC**2 + (_DOUBT * excess) ** 2
    if miss**2 > _GATE_SD**2 * total:
        return _refused(estimate, mean, cov, miss)
    # Under a flame the part itself is not learned: what doesn't learn keeps its own doubt.
    learns = COUNT if not estimate.hot else LOSS
    for i, row in enumerate(cov):
        gain = pull[i] / total
        if i < learns:
            cov[i] = [c - gain * p for c, p in zip(row, pull, strict=True)]
            mean[i] += gain * miss
        else:
            for k in range(learns):
                row[k] -= gain * pull[k]
    odd = estimate.odd + _ODD_GROWS * (miss / math.sqrt(total) - estimate.odd)
    estimate = estimate._replace(rejected=0, readings=estimate.readings + 1, odd=odd)
    return _unsaid(part, _kept(estimate, mean, cov))


def _refused(estimate: Estimate, mean: Row, cov: list[Row], miss: float) -> Estimate:
    if estimate.rejected + 1 < _REACQUIRE:
        return _kept(estimate._replace(rejected=estimate.rejected + 1), mean, cov)
    # The probe has moved, or something was done that nobody told.
    mean[MEAN] += miss
    cov[MEAN][MEAN] += 10.0**2
    cov[UNEVEN][UNEVEN] += 10.0**2
    return _kept(estimate._replace(rejected=0, odd=0.0), mean, cov)


def _unsaid(part: Bare, estimate: Estimate) -> Estimate:
    """Return the estimate with a flame found that nobody told, or found gone."""
    if not estimate.hot and estimate.odd > _ODD:
        return _flame(part, estimate, on=True)._replace(unsaid=True)
    doubt_dc_s = math.sqrt(estimate.cov[FLAME * (COUNT + 1)])
    if estimate.unsaid and estimate.mean[FLAME] + doubt_dc_s < _LEAST_FLAME_DC_S:
        return _flame(part, estimate, on=False)
    return estimate


def beads_dc(
    part: Bare, estimate: Estimate, t_s: float
) -> tuple[float, tuple[tuple[int, float], ...]]:
    """Return what the beads' heat adds at the probe beyond the mean, °C, and its slopes.

    Slopes are pairs of a place in the vector and °C for each unit of it.
    """
    mean = estimate.mean
    near_m, along_m = math.exp(mean[NEAR]), mean[ALONG]
    alpha_m2_s = DIFFUSIVITY_M2_S * math.exp(mean[SPREAD])
    scale = math.exp(mean[ARC]) / (part.mass_kg * heat_capacity_j_kgk(mean[MEAN]))
    excess = by_near = by_spread = by_along = 0.0
    for when_s, place_m, energy_j in _sudden(estimate, t_s):
        passed_s = t_s - PROBE_LAG_S - when_s
        # Before any has come the probe lies below the mean by the bead's share of it.
        spread_m2 = alpha_m2_s * max(passed_s, 0.2)
        x, x_along, x_ln = share(along_m, place_m, part.along_m, spread_m2)
        off_m = _OFF_MIDDLE * part.across_m
        y, y_near, y_ln = share(near_m - off_m, -off_m, part.across_m, spread_m2)
        weight = scale * energy_j * math.exp(-max(passed_s, 0.0) / FADE_S)
        excess += weight * (x * y - 1.0)
        by_near += weight * x * y_near
        by_spread += weight * (x_ln * y + x * y_ln)
        by_along += weight * x_along * y
    slopes = ((ARC, excess), (NEAR, by_near * near_m), (SPREAD, by_spread), (ALONG, by_along))
    return excess, slopes


def sink_dc(part: Bare, estimate: Estimate, within_s: float) -> float:
    """Return how far the reading falls in `within_s` with flame and arc out, K.

    The loss counts at least as published: a flame that nobody told can look like a part
    that keeps its heat. 0 where heat on its way to the probe holds the reading up.
    """
    mean, t_s = estimate.mean, estimate.t_s
    scale = math.exp(max(mean[LOSS], 0.0) + (mean[WRAP] if estimate.wrapped else 0.0))
    rate_c_s = cooling_rate_c_s(mean[MEAN], part.ambient_c, part.mass_kg, part.area_m2)
    comes = beads_dc(part, estimate, t_s + within_s)[0] - beads_dc(part, estimate, t_s)[0]
    return max(0.0, scale * rate_c_s * within_s - comes)


def _sudden(estimate: Estimate, t_s: float) -> list[tuple[float, float, float]]:
    """Return the beads as sudden heats: when (s), where (m), J at the terminals."""
    found = []
    for bead in estimate.beads:
        end_s = estimate.t_s if bead.end_s is None else bead.end_s
        long_s = max(0.0, end_s - bead.start_s)
        n = 3 if t_s - end_s < _WHOLE_AFTER_S else 1
        for k in range(n if long_s > 0.0 else 0):
            when_s = bead.start_s + (k + 0.5) / n * long_s
            found.append((when_s, bead.along_m, bead.power_w * long_s / n))
    return found


def _rows(estimate: Estimate) -> tuple[Row, list[Row]]:
    cov = estimate.cov
    return list(estimate.mean), [list(cov[i : i + COUNT]) for i in range(0, COUNT * COUNT, COUNT)]


def _kept(estimate: Estimate, mean: Row, cov: list[Row]) -> Estimate:
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
