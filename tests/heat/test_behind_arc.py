"""Rosenthal's plates, against the sum over point sources they come from."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from pacer.heat import behind_arc, t85
from pacer.heat.behind_arc import Plate

FINITE = st.floats(allow_nan=False, allow_infinity=False)
PLATE = Plate(260.0, 0.012, 46.0, 7200.0 * 550.0)
THICK = replace(PLATE, thickness_m=1.0)


def superposed_dc(
    plate: Plate, q_kj_mm: float, travel_m_s: float, t_s: float, laid: float
) -> float:
    """Rise `t_s` after the arc passed, its line reaching from 1 m before to `laid` s beyond.

    Instantaneous point sources on the surface, each ``2 Q / (rho c (4 pi a t)^1.5)`` and mirrored
    in the far face (own derivation); the age of the heat is what is integrated over.
    """
    alpha = plate.k_w_mk / plate.rho_cp_j_m3k
    watts = q_kj_mm * 1e6 * travel_m_s

    def rate(age_s: float) -> float:
        away_m = travel_m_s * (t_s - age_s)
        mirrored = 1.0 + 2.0 * sum(
            math.exp(-((n * plate.thickness_m) ** 2) / (alpha * age_s)) for n in range(1, 40)
        )
        spread = 4.0 * math.pi * alpha * age_s
        fading = math.exp(-(away_m**2) / (4.0 * alpha * age_s))
        return 2.0 * watts / plate.rho_cp_j_m3k * fading * mirrored / math.pow(spread, 1.5)

    youngest, oldest = max(t_s - laid, 1e-6), t_s + 1.0 / travel_m_s
    # Most heat is as old as the passage; the breaks keep the quadrature from missing it.
    breaks = sorted({youngest, *(x for x in (0.5 * t_s, t_s, 2.0 * t_s) if x > youngest), oldest})
    pieces = itertools.pairwise(breaks)
    return float(sum(quad(rate, a, b, limit=300, epsabs=1e-9)[0] for a, b in pieces))


@pytest.mark.parametrize("time_s", [2.0, 5.0, 20.0])
def test_behind_a_passing_arc_a_thick_plate_is_as_the_sum_of_points_says(time_s: float) -> None:
    """``Q/(2 pi k t)`` at any speed while the arc goes on (Rosenthal; derived afresh)."""
    seen_c = behind_arc.behind_thick_c(0.4, THICK, time_s)

    assert seen_c - 260.0 == pytest.approx(
        superposed_dc(THICK, 0.4, 0.004, time_s, time_s), rel=2e-3
    )


def test_behind_a_fast_arc_a_thin_plate_is_as_the_sum_of_points_says() -> None:
    """``Q/d / sqrt(4 pi k rho c t)`` for 3 mm, 0.1 m/s, 5 s (Rosenthal; derived afresh)."""
    thin = replace(PLATE, thickness_m=0.003)
    seen_c = behind_arc.behind_thin_c(0.1, thin, 5.0)

    assert seen_c - 260.0 == pytest.approx(superposed_dc(thin, 0.1, 0.1, 5.0, 5.0), rel=2e-3)


@pytest.mark.parametrize("thickness_m", [0.003, 0.008, 0.012, 0.03])
def test_a_real_plate_behind_a_fast_arc_is_never_cooler_than_either_form(
    thickness_m: float,
) -> None:
    """So the larger governs: both are lower bounds of the sum of points (own derivation)."""
    plate = replace(PLATE, thickness_m=thickness_m)
    for time_s in (2.0, 5.0, 20.0):
        real_c = 260.0 + superposed_dc(plate, 0.4, 0.1, time_s, time_s)
        thick_c = behind_arc.behind_thick_c(0.4, plate, time_s)
        thin_c = behind_arc.behind_thin_c(0.4, plate, time_s)
        assert max(thick_c, thin_c) <= real_c + 0.5
        # Where they meet, a quarter more than either; else the larger is nearly all.
        assert max(thick_c, thin_c) - 260.0 >= 0.8 * (real_c - 260.0)


def test_the_design_s_figures_of_a_cooling_bead_come_out() -> None:
    """Procedure notes section 6 (calculated): 534-574, 397-482, 329-417 °C at 5, 10, 20 s.

    They are those of 0.396 kJ/mm in 12 mm at 260 °C (found by trying), c at 200 °C.
    """
    plate = replace(PLATE, rho_cp_j_m3k=7200.0 * 530.0)
    for time_s, thick_c, thin_c in ((5.0, 534, 574), (10.0, 397, 482), (20.0, 329, 417)):
        assert behind_arc.behind_thick_c(0.396, plate, time_s) == pytest.approx(thick_c, abs=1.0)
        assert behind_arc.behind_thin_c(0.396, plate, time_s) == pytest.approx(thin_c, abs=1.0)


CURVES = [behind_arc.behind_thick_c, behind_arc.behind_thin_c]


@pytest.mark.parametrize("which", [0, 1], ids=["thick", "thin"])
def test_t85_read_off_the_centre_line_is_the_closed_form(which: int) -> None:
    """R7: the curve's own passages of 800 and 500 °C, found by bisection."""
    plate = Plate(20.0, 0.008)
    curve: Callable[[float, Plate, float], float] = CURVES[which]

    def passes_s(target_c: float) -> float:
        return float(brentq(lambda t: curve(0.6, plate, t) - target_c, 1e-2, 1e4, xtol=1e-10))

    assert behind_arc.rosenthal_t85_s(0.6, plate)[which] == pytest.approx(
        passes_s(500.0) - passes_s(800.0), rel=1e-6
    )


def test_the_standard_s_thick_plate_is_rosenthal_s_with_24_1_w_mk() -> None:
    """R7 at 20 °C (SEEN-S formula): 6600 kJ/mm = 1/(2 pi k)."""
    steel = Plate(20.0, 0.05, k_w_mk=24.1)

    assert behind_arc.rosenthal_t85_s(0.6, steel)[0] == pytest.approx(
        t85.t85_thick_s(0.6, 20.0), rel=1e-3
    )


def test_the_standard_s_thin_plate_is_rosenthal_s_with_189e6() -> None:
    """R7 at 20 °C (SEEN-S formula): k rho c = 189e6 in SI units."""
    steel = Plate(20.0, 0.008, k_w_mk=24.1, rho_cp_j_m3k=189e6 / 24.1)

    assert behind_arc.rosenthal_t85_s(0.6, steel)[1] == pytest.approx(
        t85.t85_thin_s(0.6, 20.0, 0.008), rel=2e-3
    )


def test_with_iron_s_conductivity_a_thick_plate_takes_about_half_the_standard_s_time() -> None:
    """R7: why t8/5 on cast iron only compares beads."""
    iron_s = behind_arc.rosenthal_t85_s(0.6, Plate(20.0, 0.05))[0]

    assert iron_s == pytest.approx(0.5 * t85.t85_thick_s(0.6, 20.0), rel=0.1)


def test_time_above_a_temperature_is_the_inverse_of_the_curve() -> None:
    """Whichever form governs: the time at which the hotter of the two is at the target."""
    for thickness_m in (0.006, 0.04):
        plate = replace(PLATE, thickness_m=thickness_m)
        time_s = behind_arc.above_s(0.572, plate, 550.0)
        hotter_c = max(curve(0.572, plate, time_s) for curve in CURVES)
        assert hotter_c == pytest.approx(550.0)


@pytest.mark.parametrize("time_s", [1.0, 3.0, 10.0])
def test_the_end_of_a_bead_is_as_the_sum_of_points_says(time_s: float) -> None:
    """12.5 s of arc at 2 mm/s in 12 mm, then nothing more (own derivation, by quadrature)."""
    alpha = PLATE.k_w_mk / PLATE.rho_cp_j_m3k

    def rate(before_s: float) -> float:
        age_s = time_s + before_s
        mirrored = 1.0 + 2.0 * sum(
            math.exp(-((n * PLATE.thickness_m) ** 2) / (alpha * age_s)) for n in range(1, 40)
        )
        away = math.exp(-((0.002 * before_s) ** 2) / (4.0 * alpha * age_s))
        watts, spread = 0.572e6 * 0.002, 4.0 * math.pi * alpha * age_s
        return 2.0 * watts * mirrored * away / PLATE.rho_cp_j_m3k / math.pow(spread, 1.5)

    expected = 260.0 + quad(rate, 0.0, 12.5, limit=200)[0]
    assert behind_arc.end_c(0.572, PLATE, 0.002, 12.5, time_s) == pytest.approx(expected, abs=0.05)


def test_a_fast_bead_s_end_has_half_the_rise_of_a_place_the_arc_passed() -> None:
    """Half of the line of heat is missing: exact for an endlessly fast arc."""
    end_dc = behind_arc.end_c(0.4, THICK, 10.0, 30.0, 5.0) - 260.0

    assert end_dc == pytest.approx(
        0.5 * (behind_arc.behind_thick_c(0.4, THICK, 5.0) - 260.0), rel=2e-2
    )


def test_time_above_at_the_end_is_the_inverse_of_its_curve() -> None:
    """By bisection to well under a tenth of a second."""
    time_s = behind_arc.end_above_s(0.572, PLATE, 0.002, 12.5, 500.0)

    assert behind_arc.end_c(0.572, PLATE, 0.002, 12.5, time_s) == pytest.approx(500.0, abs=0.1)


def test_a_plate_that_is_hotter_itself_stays_above_for_ever() -> None:
    """``inf``, for a place the arc passed as for the end."""
    assert math.isinf(behind_arc.above_s(0.5, PLATE, 260.0))
    assert math.isinf(behind_arc.end_above_s(0.5, PLATE, 0.002, 12.0, 200.0))


@pytest.mark.slow
@given(FINITE, FINITE, FINITE, FINITE, FINITE, FINITE, FINITE, FINITE, FINITE)
def test_no_finite_input_raises_or_gives_nan_behind_the_arc(
    q: float,
    temp_c: float,
    thickness_m: float,
    k: float,
    rho_cp: float,
    travel: float,
    arc_s: float,
    target_c: float,
    time_s: float,
) -> None:
    """Total: any nine finite numbers."""
    plate = Plate(temp_c, thickness_m, k, rho_cp)
    results = [
        *(curve(q, plate, time_s) for curve in CURVES),
        *behind_arc.rosenthal_t85_s(q, plate),
        behind_arc.above_s(q, plate, target_c),
        behind_arc.end_c(q, plate, travel, arc_s, time_s),
        behind_arc.end_above_s(q, plate, travel, arc_s, target_c),
    ]

    assert not any(math.isnan(x) for x in results)
    assert min(results[2:5]) >= 0.0
    assert results[6] >= 0.0
