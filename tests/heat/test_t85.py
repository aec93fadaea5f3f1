"""t8/5 after EN 1011-2: values, rules of the formulas, and any input."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.heat import t85

FINITE = st.floats(allow_nan=False, allow_infinity=False)

# Heat input kJ/mm, plate °C, t8/5 thick, thickness mm, t8/5 thin, transition mm: heat.md R7 and
# trade.md section 3 (arithmetic on H04 and H05, which are SEEN-S; the standard not seen).
VALUES = [
    (0.6, 20.0, 3.17, 8.0, 6.39, 11.4),
    (0.6, 150.0, 4.71, 8.0, 11.92, 12.7),
    (0.6, 260.0, 7.50, 8.0, 24.94, 14.6),
    (0.5, 20.0, 2.644, 10.0, 2.841, 10.37),
    (1.0, 20.0, 5.288, 20.0, 2.841, 14.66),
    (1.0, 100.0, 6.643, 10.0, 16.290, 15.66),
    (1.0, 200.0, 9.500, 20.0, 7.167, 17.37),
    (1.0, 300.0, 15.600, 10.0, 63.210, 20.13),
    (2.0, 20.0, 10.577, 10.0, 45.454, 20.73),
]


@pytest.mark.parametrize(("q", "plate_c", "thick_s", "mm", "thin_s", "edge_mm"), VALUES)
def test_t85_has_the_values_of_the_standard_s_formulas(
    q: float, plate_c: float, thick_s: float, mm: float, thin_s: float, edge_mm: float
) -> None:
    """Rows H04, H05 (SEEN-S, two pages naming EN 1011-2), to the digits given there."""
    assert t85.t85_thick_s(q, plate_c) == pytest.approx(thick_s, abs=0.006)
    assert t85.t85_thin_s(q, plate_c, mm / 1e3) == pytest.approx(thin_s, abs=0.006)
    assert 1e3 * t85.transition_m(q, plate_c) == pytest.approx(edge_mm, abs=0.06)


@pytest.mark.parametrize(("q", "plate_c", "thick_s", "mm", "thin_s", "edge_mm"), VALUES)
def test_the_longer_time_governs_and_the_transition_tells_which(
    q: float, plate_c: float, thick_s: float, mm: float, thin_s: float, edge_mm: float
) -> None:
    """The larger of the two (trade.md section 3); thinner than the transition is thin."""
    cooling = t85.t85(q, plate_c, mm / 1e3)

    assert cooling.time_s == pytest.approx(max(thick_s, thin_s), abs=0.006)
    assert cooling.flow == ("thin plate" if mm < edge_mm else "thick plate")


def test_at_the_transition_both_formulas_agree() -> None:
    """Definition, with unequal shape factors too."""
    factors = (0.9, 0.67)
    edge_m = t85.transition_m(0.8, 180.0, factors)

    assert t85.t85_thin_s(0.8, 180.0, edge_m, factors[0]) == pytest.approx(
        t85.t85_thick_s(0.8, 180.0, factors[1])
    )


def test_thick_goes_with_the_heat_input_and_thin_with_its_square_over_thickness() -> None:
    """3-D as Q, 2-D as (Q/d)^2 (trade.md section 3)."""
    assert t85.t85_thick_s(1.4, 100.0) == pytest.approx(2.0 * t85.t85_thick_s(0.7, 100.0))
    assert t85.t85_thin_s(1.4, 100.0, 0.01) == pytest.approx(4.0 * t85.t85_thin_s(0.7, 100.0, 0.01))
    assert t85.t85_thin_s(0.7, 100.0, 0.02) == pytest.approx(t85.t85_thin_s(0.7, 100.0, 0.01) / 4.0)


@pytest.mark.from_memory
def test_shape_factors_are_those_of_the_standard() -> None:
    """Row H07, from memory: plate 1/1, run in a groove 0.9/0.9, fillets 0.67 in thick plate."""
    assert t85.SHAPE_FACTORS["run on a plate"] == (1.0, 1.0)
    assert t85.SHAPE_FACTORS["run in a groove"] == (0.9, 0.9)
    assert t85.SHAPE_FACTORS["corner fillet"] == (0.9, 0.67)
    assert 0.45 <= t85.SHAPE_FACTORS["T fillet"][0] <= 0.67
    assert t85.SHAPE_FACTORS["T fillet"][1] == 0.67


def test_a_shape_factor_shortens_the_time_by_itself() -> None:
    """A fillet spreads its heat into more iron: F times the time of a run on a plate."""
    plain, fillet = t85.t85(0.6, 20.0, 0.05), t85.t85(0.6, 20.0, 0.05, (0.9, 0.67))

    assert fillet.time_s == pytest.approx(0.67 * plain.time_s)


def test_a_part_at_500_degrees_never_cools_to_it() -> None:
    """Undefined at and above 500 °C (trade.md section 3): no number, no exception."""
    assert math.isinf(t85.t85(0.6, 500.0, 0.012).time_s)
    assert math.isfinite(t85.t85(0.6, 499.0, 0.012).time_s)


@given(st.floats(0.05, 5.0), st.floats(0.001, 0.1), st.floats(-20.0, 480.0), st.floats(0.1, 15.0))
def test_a_warmer_part_cools_slower(
    q: float, thickness_m: float, plate_c: float, more_dc: float
) -> None:
    """Both rise with the plate's temperature (trade.md section 3)."""
    colder, warmer = (t85.t85(q, t, thickness_m).time_s for t in (plate_c, plate_c + more_dc))
    assert warmer > colder


@given(FINITE, FINITE, FINITE, FINITE, FINITE)
def test_no_finite_input_raises_or_gives_nan_for_t85(
    q: float, plate_c: float, thickness_m: float, thin: float, thick: float
) -> None:
    """Total: any five finite numbers."""
    cooling = t85.t85(q, plate_c, thickness_m, (thin, thick))

    assert cooling.time_s >= 0.0
    assert cooling.transition_m >= 0.0
