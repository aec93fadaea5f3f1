"""The weld metal behind the arc, and at a bead's end: Rosenthal's point source.

The arc is a point on the surface of a plate whose properties don't change. A place the
arc passed `t` seconds ago is hotter than the plate far away by

* ``Q / (2 pi k t)`` in an endlessly thick plate, whatever the speed of travel,
* ``(Q / d) / sqrt(4 pi k rho c t)`` in a thin one, where the arc travels fast

(textbook forms, from memory; both derived afresh in the tests). With both faces
insulated a real plate is never cooler than either says, so the larger governs.
The end of a bead cools faster than a place within it: no arc goes on beyond it. Latent
heat and the width of the pool are left out: the first seconds last longer than computed.

Units: heat input kJ/mm with the process factor (1 kJ/mm = 1e6 J/m); all else SI and °C.
Rules of this file: standard library only, and total: any finite numbers, never an
exception, never NaN; what is never reached takes ``inf`` seconds.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pacer.heat.lumped import heat_capacity_j_kgk
from pacer.heat.part import RHO_KG_M3

IRON_K_W_MK = 46.0
"Grey iron (a data sheet page, SEEN-S; another says 50); it falls with temperature."

_MOST = 1e6
_SOONEST_S = 1e-3
_STEPS = 64


@dataclass(frozen=True)
class Plate:
    """The plate a bead is laid on; the defaults are grey iron."""

    temp_c: float
    "Far from the bead."
    thickness_m: float
    k_w_mk: float = IRON_K_W_MK
    rho_cp_j_m3k: float = RHO_KG_M3 * heat_capacity_j_kgk(400.0)
    "At 400 °C, between a hot part and red heat."


def behind_thick_c(heat_input_kj_mm: float, plate: Plate, time_s: float) -> float:
    """Return the temperature `time_s` behind the arc on its line, thick plate, °C.

    >>> round(behind_thick_c(0.396, Plate(260.0, 0.012), 5.0))  # the design's worked figure
    534
    """
    q_j_m, plate = _physical(heat_input_kj_mm, plate)
    return plate.temp_c + q_j_m / (2.0 * math.pi * plate.k_w_mk * max(time_s, _SOONEST_S))


def behind_thin_c(heat_input_kj_mm: float, plate: Plate, time_s: float) -> float:
    """Return the temperature `time_s` behind the arc on its line, thin plate, °C."""
    q_j_m, plate = _physical(heat_input_kj_mm, plate)
    spread = 4.0 * math.pi * plate.k_w_mk * plate.rho_cp_j_m3k * max(time_s, _SOONEST_S)
    return plate.temp_c + q_j_m / plate.thickness_m / math.sqrt(spread)


def above_thick_s(heat_input_kj_mm: float, plate: Plate, target_c: float) -> float:
    """Return how long a place the arc passed stays above `target_c`, thick plate, s."""
    q_j_m, plate = _physical(heat_input_kj_mm, plate)
    above_dc = target_c - plate.temp_c
    return math.inf if above_dc <= 0.0 else q_j_m / (2.0 * math.pi * plate.k_w_mk) / above_dc


def above_thin_s(heat_input_kj_mm: float, plate: Plate, target_c: float) -> float:
    """Return how long a place the arc passed stays above `target_c`, thin plate, s."""
    q_j_m, plate = _physical(heat_input_kj_mm, plate)
    above_dc = target_c - plate.temp_c
    if above_dc <= 0.0:
        return math.inf
    root_s = q_j_m / plate.thickness_m / above_dc
    return root_s / (4.0 * math.pi * plate.k_w_mk * plate.rho_cp_j_m3k) * root_s


def above_s(heat_input_kj_mm: float, plate: Plate, target_c: float) -> float:
    """Return how long a place the arc passed stays above `target_c`, s; ``inf``: for ever."""
    return max(
        above_thick_s(heat_input_kj_mm, plate, target_c),
        above_thin_s(heat_input_kj_mm, plate, target_c),
    )


def rosenthal_t85_s(heat_input_kj_mm: float, plate: Plate) -> tuple[float, float]:
    """Return t8/5 of a thick and of a thin plate, s: the check of the formulas in `t85`."""
    hot = (above_thick_s, above_thin_s)
    if plate.temp_c >= 500.0:
        return math.inf, math.inf
    thick_s, thin_s = (
        above(heat_input_kj_mm, plate, 500.0) - above(heat_input_kj_mm, plate, 800.0)
        for above in hot
    )
    return thick_s, thin_s


def end_c(
    heat_input_kj_mm: float, plate: Plate, travel_m_s: float, arc_s: float, time_s: float
) -> float:
    """Return the temperature at a bead's end `time_s` after the arc stopped there, °C.

    The moving source summed over the arc time, mirrored in both faces of the plate, by
    Simpson's rule over the logarithm of the age of the heat, where it is smooth.
    """
    q_j_m, plate = _physical(heat_input_kj_mm, plate)
    travel_m_s = _within(travel_m_s, 0.0)
    first_s = max(time_s, _SOONEST_S)
    diffusivity = plate.k_w_mk / plate.rho_cp_j_m3k
    felt_s = min(_within(arc_s, 0.0), _felt_s(travel_m_s, diffusivity, first_s))
    reach = math.log1p(felt_s / first_s)
    total = 0.0
    for i in range(_STEPS + 1):
        age_s = first_s * math.exp(reach * i / _STEPS)
        ahead = (travel_m_s * (age_s - first_s)) ** 2 / (4.0 * diffusivity * age_s)
        weight = 1.0 if i in (0, _STEPS) else (4.0 if i % 2 else 2.0)
        # One power of the age less than in the point source: the step is age times d(log age).
        fading = math.exp(-min(ahead, 700.0)) / math.sqrt(age_s)
        total += weight * fading * _mirrored(plate.thickness_m**2 / (diffusivity * age_s))
    total *= reach / _STEPS / 3.0
    spread = math.pi * diffusivity
    per_root_s = q_j_m * travel_m_s / (4.0 * plate.rho_cp_j_m3k * spread * math.sqrt(spread))
    return plate.temp_c + min(per_root_s * total, 1e9)


def end_above_s(
    heat_input_kj_mm: float, plate: Plate, travel_m_s: float, arc_s: float, target_c: float
) -> float:
    """Return how long a bead's end stays above `target_c` after the arc stopped, s.

    0 where it is colder within a millisecond, ``inf`` where the plate itself is hotter.
    """
    if target_c <= _within(plate.temp_c, -_MOST):
        return math.inf

    def hotter(time_s: float) -> bool:
        return end_c(heat_input_kj_mm, plate, travel_m_s, arc_s, time_s) > target_c

    low, high = math.log(_SOONEST_S), math.log(1e9)
    if not hotter(_SOONEST_S):
        return 0.0
    for _ in range(30):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if hotter(math.exp(middle)) else (low, middle)
    return math.exp(low)


def _felt_s(travel_m_s: float, diffusivity: float, time_s: float) -> float:
    """Return how long before its end a bead was laid so far away that nothing arrives, s.

    Where ``v^2 s^2 / (4 a (t + s))`` is 40.
    """
    per_s = 160.0 * diffusivity / max(travel_m_s, 1e-9) ** 2
    return 0.5 * (per_s + math.sqrt(per_s * (per_s + 4.0 * time_s)))


def _mirrored(thickness_over_spread: float) -> float:
    """Return ``1 + 2 sum exp(-n^2 x)``: the surface with its mirror images in both faces."""
    x = max(thickness_over_spread, 1e-12)
    if x < 1.0:
        # The same sum in its other form, which needs few terms where this one needs many.
        return math.sqrt(math.pi / x) * (1.0 + 2.0 * math.exp(-(math.pi**2) / x))
    return 1.0 + 2.0 * sum(math.exp(-n * n * min(x, 700.0)) for n in range(1, 5))


def _physical(heat_input_kj_mm: float, plate: Plate) -> tuple[float, Plate]:
    """Return heat, J/m, and plate with every number in a physical range."""
    clamped = Plate(
        _within(plate.temp_c, -273.15),
        _within(plate.thickness_m, 1e-6),
        _within(plate.k_w_mk, 1e-6),
        min(max(plate.rho_cp_j_m3k, 1.0), 1e12),
    )
    return 1e6 * _within(heat_input_kj_mm, 0.0), clamped


def _within(value: float, least: float) -> float:
    return min(max(value, least), _MOST)
