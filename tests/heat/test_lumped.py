"""A bare part in still air, against correlations, quadrature and its own inverse."""

from __future__ import annotations

import math

import ht
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from pacer.heat import lumped

MASS_KG, AREA_M2, AIR_C = 3.2, 0.084, 20.0
FINITE = st.floats(allow_nan=False, allow_infinity=False)


def test_radiation_is_that_of_the_published_law() -> None:
    """`ht.q_rad` (library SEEN-P, with the constant of an older CODATA) at 0.8, 533 to 293 K."""
    seen_w = lumped.loss_w(259.85, 19.85, 1.0, 0.8) - lumped.loss_w(259.85, 19.85, 1.0, 0.0)

    assert seen_w == pytest.approx(ht.q_rad(0.8, 533, 293), rel=1e-5)


def test_convection_lies_between_the_lower_and_the_upper_face_of_a_hot_plate() -> None:
    """Horizontal-plate correlations at 100 K, 0.1 m: 3.6 and 7.1 W/m2K (heat.md 2.3, from `ht`)."""
    assert 3.6 < lumped.film_w_m2k(120.0, 20.0, emissivity=0.0) < 7.1


def test_a_bare_plate_loses_what_the_prototype_lost() -> None:
    """326/410/541 W at 230/260/300 °C (heat.md 1, CALC), within 2 %: its film coefficient was another."""
    for temp_c, expected_w in ((230.0, 326.0), (260.0, 410.0), (300.0, 541.0)):
        assert lumped.loss_w(temp_c, AIR_C, AREA_M2, 0.75) == pytest.approx(expected_w, rel=0.02)


def test_the_cooling_rate_of_a_bare_plate_is_some_14_degrees_a_minute_at_260() -> None:
    """11/14/18 K a minute at 230/260/300 °C for 3.2 kg (heat.md 1, CALC)."""
    for temp_c, expected in ((230.0, 11.0), (260.0, 14.0), (300.0, 18.0)):
        rate_c_s = lumped.cooling_rate_c_s(temp_c, AIR_C, MASS_KG, AREA_M2, 0.75)
        assert 60.0 * rate_c_s == pytest.approx(expected, abs=0.5)


def test_cooling_time_is_the_solution_of_the_balance() -> None:
    """Against a Runge-Kutta solver on the same equation."""
    seconds = lumped.time_to_cool_s(260.0, 45.0, AIR_C, MASS_KG, AREA_M2)
    solved = solve_ivp(
        lambda _t, y: [-lumped.cooling_rate_c_s(float(y[0]), AIR_C, MASS_KG, AREA_M2)],
        (0.0, seconds),
        [260.0],
        rtol=1e-9,
    )

    assert float(solved.y[0, -1]) == pytest.approx(45.0, abs=0.01)


def test_cooling_without_radiation_follows_the_five_quarter_power_law() -> None:
    """Closed form ``x^-1/4 = x0^-1/4 + K t/4`` below 0 °C, where c is constant."""
    k = AREA_M2 * 6.0 / 100.0**0.25 / (MASS_KG * 450.0)
    expected_s = 4.0 / k * (40.0**-0.25 - 100.0**-0.25)

    assert lumped.time_to_cool_s(
        -50.0, -110.0, -150.0, MASS_KG, AREA_M2, emissivity=0.0
    ) == pytest.approx(expected_s, rel=1e-6)


def test_the_part_is_at_the_target_after_the_time_to_cool_to_it() -> None:
    """`temp_after_c` and `time_to_cool_s` are inverse to each other."""
    seconds = lumped.time_to_cool_s(260.0, 200.0, AIR_C, MASS_KG, AREA_M2)

    assert lumped.temp_after_c(260.0, seconds, AIR_C, MASS_KG, AREA_M2) == pytest.approx(
        200.0, abs=0.01
    )


def test_heating_time_is_the_solution_of_the_balance() -> None:
    """Against a Runge-Kutta solver, with power little above the loss at the target."""
    power_w = 1.05 * lumped.loss_w(260.0, AIR_C, AREA_M2)
    seconds = lumped.time_to_heat_s(power_w, 20.0, 260.0, AIR_C, MASS_KG, AREA_M2)

    def rate_c_s(_t: float, y: list[float]) -> list[float]:
        surplus_w = power_w - lumped.loss_w(float(y[0]), AIR_C, AREA_M2)
        return [surplus_w / (MASS_KG * lumped.heat_capacity_j_kgk(float(y[0])))]

    solved = solve_ivp(rate_c_s, (0.0, seconds), [20.0], rtol=1e-9)

    assert float(solved.y[0, -1]) == pytest.approx(260.0, abs=0.2)


def test_what_is_never_reached_takes_for_ever() -> None:
    """A target at ambient, and a heater weaker than the loss."""
    assert math.isinf(lumped.time_to_cool_s(260.0, 20.0, 20.0, MASS_KG, AREA_M2))
    assert math.isinf(lumped.time_to_heat_s(100.0, 20.0, 260.0, 20.0, MASS_KG, AREA_M2))


def test_what_is_reached_already_takes_no_time() -> None:
    """Zero, not a negative time."""
    assert lumped.time_to_cool_s(40.0, 45.0, 20.0, MASS_KG, AREA_M2) == 0.0
    assert lumped.time_to_heat_s(2000.0, 270.0, 260.0, 20.0, MASS_KG, AREA_M2) == 0.0


def test_a_heavier_part_takes_longer_and_a_larger_one_less() -> None:
    """Monotone in mass and area."""
    base_s = lumped.time_to_cool_s(260.0, 45.0, AIR_C, MASS_KG, AREA_M2)

    assert lumped.time_to_cool_s(260.0, 45.0, AIR_C, 1.1 * MASS_KG, AREA_M2) > base_s
    assert lumped.time_to_cool_s(260.0, 45.0, AIR_C, MASS_KG, 1.1 * AREA_M2) < base_s


@pytest.mark.slow
@given(FINITE, FINITE, FINITE, FINITE, FINITE, FINITE, FINITE, FINITE)
@example(3.36e-212, 0.0, -1.0, 0.0, 2.3e-313, 0.0, 1.0, 0.0)
def test_no_finite_input_raises_or_gives_nan(
    a: float,
    b: float,
    c: float,
    mass: float,
    area: float,
    emissivity: float,
    scale: float,
    p: float,
) -> None:
    """Total functions: any eight finite numbers."""
    results = [
        lumped.heat_capacity_j_kgk(a),
        lumped.loss_w(a, b, area, emissivity, scale),
        lumped.cooling_rate_c_s(a, b, mass, area, emissivity, scale),
        lumped.time_to_cool_s(a, b, c, mass, area, emissivity, scale),
        lumped.time_to_heat_s(p, a, b, c, mass, area, emissivity, scale),
        lumped.temp_after_c(a, p, b, mass, area, emissivity, scale),
    ]

    assert not any(math.isnan(x) for x in results)
    assert min(results[3:5]) >= 0.0


@pytest.mark.slow
@given(
    st.floats(-20.0, 900.0),
    st.floats(-20.0, 60.0),
    st.floats(0.0, 1e6),
    st.floats(0.05, 200.0),
    st.floats(1e-3, 10.0),
)
def test_a_cooling_part_stays_between_its_start_and_the_air(
    start_c: float, air_c: float, duration_s: float, mass_kg: float, area_m2: float
) -> None:
    """Neither overshoot nor heating by cooler air, however long the step."""
    after_c = lumped.temp_after_c(start_c, duration_s, air_c, mass_kg, area_m2)

    assert min(start_c, air_c) - 1e-9 <= after_c <= max(start_c, air_c) + 1e-9
