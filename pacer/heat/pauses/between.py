"""The part between beads: one filter that learns from bead to bead.

What is estimated: the part's mean temperature; what the probe's place lies above it (the
unevenness a flame leaves, and what the last bead's heat does there that the model misses);
how fast the flame heats; and how this part differs from what the job says of it: loss to
the air, arc efficiency, the probe's distance and place along the joint, how fast heat
spreads, how much a wrapping saves.

The probe reads mean + unevenness + local miss + the heat of the last beads as it has spread
to the probe, less its share of the mean. The spreading is in closed form
(`spread.py`), so nothing is integrated but the mean; losses are those of a bare part
(`heat/lumped.py`) times the learned scale.

An extended Kalman filter, stepped at most once a second and never while the arc burns.
Its measurement error is mostly the model's: the readings of one second say the same
thing. A reading five sd off is left out, but a run of them is a fact (a probe moved), not a
spike. Under a flame of unknown strength nothing is learned of the part itself.

Total: finite numbers give finite numbers; parameters stay within what iron, air and arcs
do. Standard library only.
"""

from __future__ import annotations

import math

from pacer.heat.lumped import cooling_rate_c_s, heat_capacity_j_kgk
from pacer.heat.pauses.beads import DIFFUSIVITY_M2_S, beads_dc
from pacer.heat.pauses.belief import (
    ALONG,
    ARC,
    COUNT,
    FLAME,
    FLAME_SD_DC_S,
    LOCAL,
    LOSS,
    MEAN,
    NEAR,
    UNEVEN,
    WRAP,
    Bare,
    Bead,
    Estimate,
    Row,
    along_sd_m,
    forget,
    kept,
    replace_row,
    rows,
)

LOCAL_S = 80.0
"How long a miss near the bead lasts: (40 mm)^2 / diffusivity is 130 s."
MOST_BEADS = 12
"Older beads have spread through the part."
_SPREAD_OUT_S = 1500.0

# Tuned on simulated pauses (tests/heat/truth_story.py, seeds 0-13).
_SPARE_DC, _DRIFT_DC2_S, _DOUBT, _LOCAL_SD_DC = 2.0, 0.03, 0.2, 10.0
_SETTLES = 0.5
"What a flame leaves is not only the slowest pattern; shorter ones fade sooner."
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


def moved(part: Bare, estimate: Estimate, t_s: float, strange: float = 1.0) -> Estimate:
    """Return the estimate carried on to `t_s`; `strange` multiplies what may have happened."""
    if t_s <= estimate.t_s:
        return estimate
    mean, cov = _rows_at(part, estimate, t_s, strange)
    return kept(estimate._replace(t_s=t_s), mean, cov)


def _rows_at(
    part: Bare, estimate: Estimate, t_s: float, strange: float = 1.0
) -> tuple[Row, list[Row]]:
    """Return mean and covariance carried on to `t_s`."""
    mean, cov = rows(estimate)
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
    replace_row(cov, MEAN, onward)
    replace_row(cov, UNEVEN, [(UNEVEN, evens)])
    replace_row(cov, LOCAL, [(LOCAL, fades)])
    cov[MEAN][MEAN] += strange * _DRIFT_DC2_S * step_s
    if estimate.hot:
        cov[UNEVEN][UNEVEN] += (1.0 - evens**2) * part.uneven_dc**2
        cov[FLAME][FLAME] += FLAME_SD_DC_S**2 * step_s / 120.0


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
    mean, cov = rows(estimate)
    cov[LOCAL][LOCAL] += _LOCAL_SD_DC**2
    return kept(estimate, mean, cov)


def mended(part: Bare, estimate: Estimate, end_s: float | None) -> Estimate:
    """Return the estimate with the last bead's end told anew; None: there was no arc.

    What burnt more or less than was taken in goes into the mean at once, with its doubt.
    """
    last, t_s = estimate.beads[-1], estimate.t_s
    had_s = max(0.0, min(t_s, math.inf if last.end_s is None else last.end_s) - last.start_s)
    has_s = 0.0 if end_s is None else max(0.0, min(t_s, end_s) - last.start_s)
    mean, cov = rows(estimate)
    heat_j_k = part.mass_kg * heat_capacity_j_kgk(mean[MEAN])
    rise_dc = math.exp(mean[ARC]) * last.power_w * (has_s - had_s) / heat_j_k
    mean[MEAN] += rise_dc
    cov[MEAN][MEAN] += rise_dc**2
    told = () if end_s is None else (last._replace(end_s=max(end_s, last.start_s)),)
    return kept(estimate._replace(beads=(*estimate.beads[:-1], *told)), mean, cov)


def lit_again(part: Bare, estimate: Estimate) -> Estimate:
    """Return the estimate with the last bead burning still, and its heat since taken in."""
    estimate = mended(part, estimate, estimate.t_s)
    burning = estimate.beads[-1]._replace(end_s=None)
    return estimate._replace(beads=(*estimate.beads[:-1], burning))


def flamed(part: Bare, estimate: Estimate, t_s: float, heated: bool) -> Estimate:
    """Return the estimate with the flame on or off since `t_s`, as told."""
    if heated == estimate.heated:
        return estimate
    return _flame(part, moved(part, estimate, t_s)._replace(heated=heated), on=heated)


def _flame(part: Bare, estimate: Estimate, *, on: bool) -> Estimate:
    """Open or close the flame; off, the reading is known, how uneven the part is is not."""
    mean, cov = rows(estimate._replace(unsaid=False))
    mean[FLAME] = 0.0
    forget(cov, FLAME, FLAME_SD_DC_S if on else 0.0)
    if not on:
        _fix_anew(part, mean, cov)
    return kept(estimate._replace(unsaid=False, odd=0.0), mean, cov)


def turned(part: Bare, estimate: Estimate, t_s: float) -> Estimate:
    """Return the estimate with the part turned over and the probe fixed anew at `t_s`."""
    mean, cov = rows(estimate := moved(part, estimate, t_s))
    _fix_anew(part, mean, cov)
    cov[MEAN][MEAN] += 10.0**2
    mean[NEAR], mean[ALONG] = math.log(max(part.distance_m, 0.001)), 0.0
    forget(cov, NEAR, 0.20)
    forget(cov, ALONG, along_sd_m(part))
    return kept(estimate, mean, cov)


def wrapped(part: Bare, estimate: Estimate, t_s: float, on: bool) -> Estimate:
    """Return the estimate with the part wrapped or bare since `t_s`."""
    return moved(part, estimate, t_s)._replace(wrapped=on)


def _fix_anew(part: Bare, mean: Row, cov: list[Row]) -> None:
    """Put unevenness and local miss into the mean and their doubt back as at first, in place."""
    mean[MEAN] += mean[UNEVEN] + mean[LOCAL]
    mean[UNEVEN] = mean[LOCAL] = 0.0
    replace_row(cov, MEAN, [(MEAN, 1.0), (UNEVEN, 1.0), (LOCAL, 1.0)])
    forget(cov, LOCAL, 0.0)
    forget(cov, UNEVEN, part.uneven_dc)
    cov[MEAN][MEAN] += part.uneven_dc**2
    cov[MEAN][UNEVEN] = cov[UNEVEN][MEAN] = -(part.uneven_dc**2)


def took(
    part: Bare, estimate: Estimate, t_s: float, temp_c: float, sd_dc: float = 1.0, side: int = 0
) -> Estimate:
    """Return the estimate with one trusted reading more; `sd_dc` is the reading's own error.

    `side` 1 means "at least `temp_c`" (a temperature crayon that melted), -1 "below": a
    reading that the estimate agrees with says nothing more.
    """
    mean, cov = _rows_at(part, estimate, t_s)
    estimate = estimate._replace(t_s=max(t_s, estimate.t_s), mean=tuple(mean))
    excess, slopes = beads_dc(part, estimate, t_s)
    temp_c = min(max(temp_c, _READS_C[0]), _READS_C[1])
    miss = temp_c - (mean[MEAN] + mean[UNEVEN] + mean[LOCAL] + excess)
    if miss * side < 0.0:
        return kept(estimate._replace(readings=estimate.readings + 1), mean, cov)
    pull = [row[MEAN] + row[UNEVEN] + row[LOCAL] for row in cov]
    for i, slope in slopes:
        pull = [p + slope * c for p, c in zip(pull, cov[i], strict=True)]
    total = pull[MEAN] + pull[UNEVEN] + pull[LOCAL] + sum(slope * pull[i] for i, slope in slopes)
    # How the heat spreads is the doubtful part of the model.
    total += sd_dc**2 + _SPARE_DC**2 + (_DOUBT * excess) ** 2
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
    return _unsaid(part, kept(estimate, mean, cov))


def _refused(estimate: Estimate, mean: Row, cov: list[Row], miss: float) -> Estimate:
    if estimate.rejected + 1 < _REACQUIRE:
        return kept(estimate._replace(rejected=estimate.rejected + 1), mean, cov)
    # The probe has moved, or something was done that nobody told.
    mean[MEAN] += miss
    cov[MEAN][MEAN] += 10.0**2
    cov[UNEVEN][UNEVEN] += 10.0**2
    return kept(estimate._replace(rejected=0, odd=0.0), mean, cov)


def _unsaid(part: Bare, estimate: Estimate) -> Estimate:
    """Return the estimate with a flame found that nobody told, or found gone."""
    if not estimate.hot and estimate.odd > _ODD:
        return _flame(part, estimate, on=True)._replace(unsaid=True)
    doubt_dc_s = math.sqrt(estimate.cov[FLAME * (COUNT + 1)])
    if estimate.unsaid and estimate.mean[FLAME] + doubt_dc_s < _LEAST_FLAME_DC_S:
        return _flame(part, estimate, on=False)
    return estimate
