"""The truth the forecasts are tested against, itself tested against closed forms."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from oracles import slug_test_table, sphere
from truth2d import RHO_IRON, World, invent, simulate

PLAIN = World(
    shape="ball",
    cover="dry sand",
    radius=0.05,
    height=0.1,
    wall=0.1,
    clearance=0.7,
    k0=0.3,
    k_slope=0.0,
    rho=1550.0,
    cp=830.0,
    contact=1e9,
    moisture=0.0,
    outer=10.0,
    ambient=20.0,
    start=260.0,
    unevenness=0.0,
    medium_start=20.0,
    cp_slope=0.0,
    iron_k=5000.0,
    iron_cp_slope=0.0,
)


@pytest.mark.slow
def test_the_truth_cools_a_sphere_as_the_closed_form_does() -> None:
    """A staircase sphere within 1 °C of 240 °C from ten minutes on (heat.md V1, CALC)."""
    times, temps, mass = simulate(PLAIN, 24.0, 4 * 3600.0, fine=0.002)
    # The staircase's own mass, so that only the heat flow is compared.
    b = 3.0 * PLAIN.rho * PLAIN.cp * (mass / RHO_IRON) / (mass * 450.0)
    for t_s in (600.0, 1800.0, 3600.0, 7200.0, 14400.0):
        tau = PLAIN.k0 / (PLAIN.rho * PLAIN.cp) * t_s / PLAIN.radius**2
        exact = 20.0 + 240.0 * sphere(b, tau)
        assert float(np.interp(t_s, times, temps)) == pytest.approx(exact, abs=1.0)


@pytest.mark.slow
def test_the_truth_cools_a_long_cylinder_as_the_published_table_says() -> None:
    """Slug-test table at alpha 0.1 (SEEN-S): the outside check of the truth's own code."""
    core_j_m3k = RHO_IRON * 450.0
    rod = replace(PLAIN, shape="rod", height=0.01, rho=0.1 * core_j_m3k / 830.0)
    times, temps, _ = simulate(rod, 21.0, 40000.0, fine=0.0005)
    rows = [(b, f) for a, b, f in slug_test_table() if a == 0.1 and 0.02 < b < 1.5]
    for beta, expected in rows:
        t_s = beta * rod.radius**2 * core_j_m3k / rod.k0
        seen = (float(np.interp(t_s, times, temps)) - 20.0) / 240.0
        assert seen == pytest.approx(expected, abs=4e-3)


@pytest.mark.slow
def test_a_finer_grid_changes_the_truth_by_less_than_a_forecast_can_tell() -> None:
    """Cells half as large, same mass: the time to 45 °C moves by under 3 %."""
    world = replace(invent(0, "dry sand"), wall=0.012, height=0.012)
    coarse, fine = (simulate(world, 44.0, 86400.0, cell) for cell in (0.003, 0.0015))
    eta_s = [float(np.interp(-45.0, -temps, times)) for times, temps, _ in (coarse, fine)]

    assert eta_s[0] == pytest.approx(eta_s[1], rel=0.03)
