"""The practice plate and its time steps: heat is kept, and spreads as the formulas say."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pacer.sensor.practice.march import march, stages
from pacer.sensor.practice.plate import Air, Plate
from pacer.sensor.practice.truth import RHO_KG_M3, Iron

REAL = Iron(k_w_mk=50.0)
CONSTANT = Iron(k_w_mk=46.0, k_fall_w_mk2=0.0, c_j_kgk=520.0, c_rise_j_kgk2=0.0)
NO_LOSS = Air(ambient_c=20.0, emissivity=0.0, convection_w_m2k=0.0)
SHOP = Air(ambient_c=20.0, emissivity=0.8, convection_w_m2k=6.0)


def heat_j_kg(temp_c: float) -> float:
    """Integral of c = 450 + 0.4 T from 0 °C, by hand."""
    return 450.0 * temp_c + 0.2 * temp_c**2


@pytest.mark.parametrize("s", [3, 7, 13])
def test_a_long_step_follows_the_exact_exponential(s: int) -> None:
    """Scheme of second order against exp(-t): halving the step quarters the error (own check)."""
    errors = []
    for n in (8, 16):
        value = np.ones(1)
        for _ in range(n):
            value = march(value, lambda v: -v, 4.0 / n, s)
        errors.append(abs(float(value[0]) - math.exp(-4.0)))
    assert errors[0] < 0.01
    assert 3.3 < errors[0] / errors[1] < 5.5


@pytest.mark.parametrize("ratio", [0.5, 3.0, 40.0, 400.0])
def test_as_many_stages_as_asked_for_are_stable(ratio: float) -> None:
    """A rate twice over the explicit limit times `ratio` dies away and never grows (own check)."""
    value = np.ones(1)
    for _ in range(50):
        value = march(value, lambda v: -2.0 * v, ratio, stages(ratio, 1.0))
        assert abs(float(value[0])) <= 1.0
    assert abs(float(value[0])) < 0.01


@pytest.mark.parametrize("step_s", [0.25, 10.0])
def test_without_losses_all_heat_put_in_stays(step_s: float) -> None:
    """Energy balance, heat in = m * integral of c dT, to 1e-6 relative (conservation)."""
    plate = Plate((0.2, 0.1), 0.01, 0.0045, REAL, NO_LOSS, 20.0)
    start_j = plate.heat_j
    for i in range(40):
        plate.step(step_s, 900.0 * plate.spot(0.03 + 0.002 * i, 0.05, 0.006))
    put_in_j = 900.0 * 40 * step_s
    assert plate.heat_j - start_j == pytest.approx(put_in_j, rel=1e-6)
    mass_kg = RHO_KG_M3 * 0.2 * 0.1 * 0.01
    in_cells_j = mass_kg * float(np.mean([heat_j_kg(t) for t in plate.temps_c.ravel()]))
    assert in_cells_j - mass_kg * heat_j_kg(20.0) == pytest.approx(put_in_j, rel=1e-6)


def test_heat_evens_out_to_the_temperature_that_its_amount_gives() -> None:
    """50 kJ in 1.44 kg from 20 °C, c = 450 + 0.4 T: the root by hand (conservation)."""
    plate = Plate((0.2, 0.1), 0.01, 0.01, REAL, NO_LOSS, 20.0)
    plate.step(0.5, 1e5 * plate.spot(0.04, 0.03, 0.01))
    for _ in range(600):
        plate.step(10.0)
    per_kg = 5e4 / 1.44 + heat_j_kg(20.0)
    expected_c = (-450.0 + math.sqrt(450.0**2 + 0.8 * per_kg)) / 0.4
    assert plate.temps_c == pytest.approx(expected_c, abs=0.01)


@pytest.mark.slow
@pytest.mark.parametrize("distance_m", [0.024, 0.040, 0.060])
def test_a_point_of_heat_rises_and_falls_as_the_line_source_formula(distance_m: float) -> None:
    """Instantaneous line source in a thin plate, peak rise E/(e pi rho c d r^2) at
    t = r^2/(4 alpha): own derivation in the shared notes on heat, section 1 (closed form)."""
    side, thick, heat = 0.36, 0.012, 11e3
    rho_c = RHO_KG_M3 * 520.0
    alpha = 46.0 / rho_c
    plate = Plate((side, side), thick, 0.004, CONSTANT, NO_LOSS, 20.0)
    plate.step(0.02, heat / 0.02 * plate.spot(side / 2, side / 2, 0.004))
    # A round patch of sigma is a line source that began sigma^2/(2 alpha) earlier.
    t_s = 0.004**2 / (2.0 * alpha)
    peak_s, peak_dc = 0.0, 0.0
    while t_s < 1.3 * distance_m**2 / (4.0 * alpha):
        plate.step(0.25)
        t_s += 0.25
        rise_dc = plate.at_c(side / 2 + distance_m, side / 2) - 20.0
        if rise_dc > peak_dc:
            peak_s, peak_dc = t_s, rise_dc
    assert peak_dc == pytest.approx(
        heat / (math.e * math.pi * rho_c * thick * distance_m**2), rel=0.01
    )
    assert peak_s == pytest.approx(distance_m**2 / (4.0 * alpha), rel=0.05)


def test_a_bare_plate_loses_what_convection_and_radiation_take() -> None:
    """326 W at 230 and 541 W at 300 °C for 0.084 m2: shared notes on heat, section 1 (simulated)."""
    side = math.sqrt(0.042)
    for temp_c, watt in ((230.0, 326.0), (300.0, 541.0)):
        plate = Plate((side, side), 0.0106, 0.01, REAL, SHOP, temp_c)
        faces_w = float(plate.loss_w_m2(np.full((1, 1), temp_c), 2.0)[0, 0])
        corner_rim = 2.0 * 0.0106 / (side / plate.temps_c.shape[0])
        assert faces_w / (2.0 + corner_rim) * 0.084 == pytest.approx(watt, rel=0.06)


def test_a_finer_plate_gives_the_same_temperatures() -> None:
    """Halving the cell moves the reading beside a bead by under 1 % of its rise (convergence)."""
    rises = []
    for cell_m in (0.0045, 0.00225):
        plate = Plate((0.2, 0.12), 0.01, cell_m, REAL, SHOP, 250.0)
        for i in range(50):
            plate.step(0.25, 1100.0 * plate.spot(0.09 + 0.0005 * i, 0.06, 0.004))
        for _ in range(80):
            plate.step(0.25)
        rises.append(plate.at_c(0.1, 0.09) - 250.0)
    assert rises[0] > 5.0
    assert rises[0] == pytest.approx(rises[1], abs=0.01 * rises[1] + 0.02)
