"""t8/5 after EN 1011-2: how long a weld takes from 800 to 500 °C.

The formulas hold for unalloyed and low-alloy ferritic **steel**. No page seen has checked
them on cast iron; there the number only compares beads with each other. They were read on
two pages that name the standard (SEEN-S), not in the standard itself.

Units: heat input kJ/mm with the process factor; all else SI and °C.
Rules of this file: standard library only, and total: any finite numbers, never an
exception, never NaN; a part at 500 °C or above takes ``inf`` seconds to cool to it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from pacer.heat.lumped import ZERO_CELSIUS_K

Flow = Literal["thick plate", "thin plate"]
Run = Literal["run on a plate", "run in a groove", "corner fillet", "T fillet"]

SHAPE_FACTORS: dict[Run, tuple[float, float]] = {
    "run on a plate": (1.0, 1.0),
    "run in a groove": (0.9, 0.9),
    "corner fillet": (0.9, 0.67),
    "T fillet": (0.67, 0.67),
}
"""F2 (thin plate) and F3 (thick plate); all but the first from memory.

F2 of a T fillet runs from 0.45 to 0.67 with the heat input; the upper end is kept, for
slower cooling is the larger number.
"""

_MOST = 1e6


@dataclass(frozen=True)
class Cooling:
    """The t8/5 of one bead."""

    time_s: float
    "``inf`` for a part that is at 500 °C or above before the bead."
    flow: Flow
    "Which of the two formulas governs: the one with the longer time."
    transition_m: float
    "Thickness at which both give the same time; thinner plates are thin."


def _amount(value: float) -> float:
    return min(max(value, 0.0), _MOST)


def _thickness(value: float) -> float:
    return min(max(value, 1e-6), _MOST)


def _inverse_1_dc(plate_c: float) -> tuple[float, float]:
    """Return ``1/(500 - T0)`` and ``1/(800 - T0)``; `plate_c` must be below 500."""
    return 1.0 / (500.0 - plate_c), 1.0 / (800.0 - plate_c)


def t85_thick_s(heat_input_kj_mm: float, plate_c: float, shape_factor: float = 1.0) -> float:
    """Return t8/5 in a thick plate (three-dimensional flow), s.

    ``(6700 - 5 T0) Q [1/(500 - T0) - 1/(800 - T0)] F3``, EN 1011-2 (SEEN-S).

    >>> round(t85_thick_s(0.6, 20.0), 2)
    3.17
    """
    if plate_c >= 500.0:
        return math.inf
    plate_c = max(plate_c, -ZERO_CELSIUS_K)
    to_500, to_800 = _inverse_1_dc(plate_c)
    per_kj_mm = (6700.0 - 5.0 * plate_c) * (to_500 - to_800)
    return per_kj_mm * _amount(heat_input_kj_mm) * _amount(shape_factor)


def t85_thin_s(
    heat_input_kj_mm: float, plate_c: float, thickness_m: float, shape_factor: float = 1.0
) -> float:
    """Return t8/5 in a thin plate (two-dimensional flow), s.

    ``(4300 - 4.3 T0) 1e5 (Q/d)^2 [1/(500 - T0)^2 - 1/(800 - T0)^2] F2`` with d in mm,
    EN 1011-2 (SEEN-S).

    >>> round(t85_thin_s(0.6, 20.0, 0.008), 2)
    6.39
    """
    if plate_c >= 500.0:
        return math.inf
    plate_c = max(plate_c, -ZERO_CELSIUS_K)
    to_500, to_800 = _inverse_1_dc(plate_c)
    per_mm = _amount(heat_input_kj_mm) / (1e3 * _thickness(thickness_m))
    scale = (4300.0 - 4.3 * plate_c) * 1e5 * (to_500**2 - to_800**2)
    return scale * per_mm**2 * _amount(shape_factor)


def transition_m(
    heat_input_kj_mm: float, plate_c: float, factors: tuple[float, float] = (1.0, 1.0)
) -> float:
    """Return the thickness at which thin and thick plate give the same t8/5, m.

    >>> round(1e3 * transition_m(0.6, 20.0), 1)
    11.4
    """
    if plate_c >= 500.0:
        return math.inf
    plate_c = max(plate_c, -ZERO_CELSIUS_K)
    thin, thick = factors
    ratio = 1e5 * (4300.0 - 4.3 * plate_c) / (6700.0 - 5.0 * plate_c) * sum(_inverse_1_dc(plate_c))
    shape = _amount(thin) / max(_amount(thick), 1e-6)
    return 1e-3 * math.sqrt(ratio * _amount(heat_input_kj_mm) * shape)


def t85(
    heat_input_kj_mm: float,
    plate_c: float,
    thickness_m: float,
    factors: tuple[float, float] = (1.0, 1.0),
) -> Cooling:
    """Return t8/5 by the formula that governs; `factors` are F2 and F3 of `SHAPE_FACTORS`."""
    thin_s = t85_thin_s(heat_input_kj_mm, plate_c, thickness_m, factors[0])
    thick_s = t85_thick_s(heat_input_kj_mm, plate_c, factors[1])
    edge_m = transition_m(heat_input_kj_mm, plate_c, factors)
    if thin_s > thick_s:
        return Cooling(thin_s, "thin plate", edge_m)
    return Cooling(thick_s, "thick plate", edge_m)
