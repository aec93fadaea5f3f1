"""Boiling water and the standard atmosphere against published values and another program."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from iapws.iapws97 import _TSat_P

from pacer.heat.water import (
    HIGHEST_M,
    HIGHEST_PA,
    LOWEST_M,
    LOWEST_PA,
    boiling_point_c,
    standard_pressure_pa,
)


@pytest.mark.parametrize(
    ("pressure_mpa", "saturation_k"), [(0.1, 372.755919), (1.0, 453.035632), (10.0, 584.149488)]
)
def test_the_verification_values_of_if97_come_out(pressure_mpa: float, saturation_k: float) -> None:
    """IAPWS R7-97(2012) table 36, all digits printed; seen quoted in public test suites."""
    found_k = boiling_point_c(pressure_mpa * 1e6) + 273.15
    assert round(found_k, 6) == saturation_k


@pytest.mark.parametrize(
    ("boils_c", "pressure_mpa"),
    [(75.0, 0.03860), (80.0, 0.04741), (85.0, 0.05787), (90.0, 0.07018), (95.0, 0.08461)],
)
def test_a_printed_steam_table_is_met(boils_c: float, pressure_mpa: float) -> None:
    """Saturation table by temperature of a university's thermodynamics pages (Ohio), seen.

    Five printed decimals of MPa: half a digit is 5 Pa, 0.003 K at 75 °C.
    """
    assert boiling_point_c(pressure_mpa * 1e6) == pytest.approx(boils_c, abs=0.004)


@given(pressure_pa=st.floats(5e4, 1.1e5))
def test_another_implementation_says_the_same_where_people_weld(pressure_pa: float) -> None:
    """The library iapws, in steps of the weather; oracle only."""
    assert boiling_point_c(pressure_pa) == pytest.approx(_TSat_P(pressure_pa / 1e6) - 273.15, 1e-12)


def test_water_boils_just_below_a_hundred_at_sea_level() -> None:
    """ITS-90: 99.974 °C at 101325 Pa (from memory)."""
    assert boiling_point_c(101325.0) == pytest.approx(99.974, abs=0.0005)


@pytest.mark.parametrize(
    ("altitude_m", "pressure_hpa"),
    [
        (0.0, 1013.25),
        (111.0, 1000.0),
        (540.0, 950.0),
        (988.0, 900.0),
        (1457.0, 850.0),
        (1949.0, 800.0),
        (3012.0, 700.0),
        (7185.0, 400.0),
    ],
)
def test_the_standard_atmosphere_is_met(altitude_m: float, pressure_hpa: float) -> None:
    """A table of heights after ICAO 1964 on a weather service's page, seen; heights to the metre."""
    found_hpa = standard_pressure_pa(altitude_m) / 100
    assert found_hpa == pytest.approx(pressure_hpa, abs=0.06)


@pytest.mark.from_memory
@pytest.mark.parametrize(
    ("altitude_m", "pressure_hpa"), [(500.0, 954.61), (1000.0, 898.75), (2000.0, 794.95)]
)
def test_the_standard_atmosphere_is_met_at_round_heights(
    altitude_m: float, pressure_hpa: float
) -> None:
    """ISO 2533's table at geopotential heights, from memory."""
    assert standard_pressure_pa(altitude_m) / 100 == pytest.approx(pressure_hpa, abs=0.006)


@pytest.mark.parametrize("pressure_pa", [0.0, -1.0, LOWEST_PA - 1, HIGHEST_PA + 1, float("nan")])
def test_pressures_without_a_boiling_point_are_refused(pressure_pa: float) -> None:
    """No answer is made up outside the equation's range."""
    with pytest.raises(ValueError, match="expected 611"):
        boiling_point_c(pressure_pa)


@pytest.mark.parametrize("altitude_m", [LOWEST_M - 1, HIGHEST_M + 1, float("nan")])
def test_altitudes_where_nobody_welds_are_refused(altitude_m: float) -> None:
    """Above 11 km the formula is another one."""
    with pytest.raises(ValueError, match="m, expected -500"):
        standard_pressure_pa(altitude_m)
