"""How the heat of the last beads stands at the probe now, and what comes of it in one more bead."""

from __future__ import annotations

import math

from pacer.heat.lumped import cooling_rate_c_s, heat_capacity_j_kgk
from pacer.heat.part import IRON_K_W_MK, RHO_KG_M3
from pacer.heat.pauses.belief import (
    ALONG,
    ARC,
    LOCAL,
    LOSS,
    MEAN,
    NEAR,
    SPREAD,
    WRAP,
    Bare,
    Estimate,
)
from pacer.heat.pauses.spread import share

DIFFUSIVITY_M2_S = IRON_K_W_MK / (RHO_KG_M3 * heat_capacity_j_kgk(250.0))
PROBE_LAG_S = 4.0
"Junction and median filter together (estimate)."
FADE_S = 700.0
"Time in which a bare plate loses the heat a place has in excess (estimate)."
_WHOLE_AFTER_S = 25.0
"A bead's heat is three sudden ones for so long after it, then one."

_LOST_DC = 20.0
"A local miss larger than this, two sd, is not the last bead's heat a little wrong."

_OFF_MIDDLE = 0.3
"""Where the joint lies, as a share of the side across it from the middle (estimate: cracks are
seldom in the middle). Heat spreads to one side for longer than from a middle to both."""


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


def sink_dc(part: Bare, estimate: Estimate, within_s: float) -> float | None:
    """Return how far the reading falls in `within_s` with flame and arc out, K.

    The loss counts at least as published: a flame that nobody told can look like a part
    that keeps its heat. 0 where heat on its way to the probe holds the reading up; None
    where the reading is so far from what that heat makes of it that nothing can be said.
    """
    mean, t_s = estimate.mean, estimate.t_s
    if abs(mean[LOCAL]) > _LOST_DC:
        return None
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
