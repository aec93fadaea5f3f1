"""The program's models against published problems; every row of heat.md section 3 has a test.

R1 and R1b (sphere in an endless medium, with and without contact): test_oracles.py for the
closed forms, test_burial.py for our model. R2 (cylinder, the slug test's published table):
test_oracles.py, and test_truth2d.py for the finite-volume truth. R3-R6: here. R7 (EN 1011-2
and Rosenthal): test_t85.py, test_behind_arc.py. V1 and V2 (the truth's own grid):
test_truth2d.py. The shop's four hours: test_burial.py for the model, test_plan.py for the
plan.

Numbers whose source was not seen say "from memory" and carry the marker.
"""

from __future__ import annotations

import math
from dataclasses import replace

import ht
import numpy as np
import numpy.typing as npt
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.special import erfc, erfcx, j0
from test_truth2d import PLAIN
from truth2d import RHO_IRON, Grid, World, simulate

from pacer.heat import lumped
from pacer.heat.cooldown import burial
from pacer.heat.part import RHO_KG_M3, CoolingPart, shape_constant, steiner_m

Floats = npt.NDArray[np.float64]

BALL = 2.0 * math.sqrt(math.pi)
IRON_K, IRON_RHO_CP = 46.0, RHO_IRON * 450.0
PERFECT = 1e12


def buried(  # one number a physical property
    k_w_mk: float,
    rho_cp_j_m3k: float,
    heat_j_k: float,
    area_m2: float,
    medium_m3: float,
    outer_w_m2k: float,
    start_c: float = 260.0,
    medium_c: float = 260.0,
    ambient_c: float = 20.0,
    contact_w_m2k: float = PERFECT,
) -> Floats:
    """One row of burial parameters; those not named here are ratios without effect at 1."""
    params = np.ones((1, 16))
    params[0, : burial.QUICKENING + 1] = 0.0
    params[0, burial.SOAKED] = 0.0
    for column, value in (
        (burial.K, k_w_mk),
        (burial.RHO_CP, rho_cp_j_m3k),
        (burial.CONTACT, contact_w_m2k),
        (burial.HEAT, heat_j_k),
        (burial.AREA, area_m2),
        (burial.EXTENT, medium_m3),
        (burial.OUTER, outer_w_m2k),
        (burial.START, start_c),
        (burial.MEDIUM_START, medium_c),
        (burial.AMBIENT, ambient_c),
    ):
        params[0, column] = value
    return params


# heat.md R3, status CALC: closed form = Talbot inversion there.
R3 = [(0.1, 0.896457), (0.5, 0.615690), (1.0, 0.427584), (2.0, 0.255396)]


@pytest.mark.parametrize(("x", "expected"), R3)
def test_a_plate_on_a_deep_medium_cools_as_the_closed_form_says(x: float, expected: float) -> None:
    """R3: ``exp(g^2 t) erfc(g sqrt t)`` (CALC); our buried part with an area without edges."""
    k_w_mk, rho_cp, area_m2, heat_j_m2k = 0.3, 1550.0 * 830.0, 1e6, 16000.0
    g = math.sqrt(k_w_mk * rho_cp) / heat_j_m2k
    row = buried(k_w_mk, rho_cp, heat_j_m2k * area_m2, area_m2, 0.15 * area_m2, 8.0, medium_c=20.0)
    seen = (burial.temperatures(row, np.array([(x / g) ** 2]), 3.3)[0, 0] - 20.0) / 240.0

    assert erfcx(x) == pytest.approx(expected, abs=1e-6)
    assert seen == pytest.approx(expected, abs=2e-3)


# Biot number, zeta1, C1 of a wall, a cylinder and a sphere (Incropera table 5.1, from memory).
ONE_TERM_WALL = [(0.1, 0.3111, 1.0161), (1.0, 0.8603, 1.1191), (10.0, 1.4289, 1.2620)]
ONE_TERM_ROD = [(0.1, 0.4417, 1.0246), (1.0, 1.2558, 1.2071), (10.0, 2.1795, 1.5677)]
ONE_TERM_BALL = [(0.1, 0.5423, 1.0298), (1.0, 1.5708, 1.2732), (10.0, 2.8363, 1.9249)]


def slowest(row: Floats, shape: float) -> tuple[float, float]:
    """Return decay rate, 1/s, and share of the slowest mode at the innermost place."""
    modes = burial.modes(row, shape)
    at = int(np.argmin(modes.rate_1_s[0]))
    return float(modes.rate_1_s[0, at]), float(modes.weight_dc[0, at]) / 240.0


@pytest.mark.from_memory
@pytest.mark.parametrize(("biot", "zeta", "share"), ONE_TERM_WALL)
def test_a_wall_in_a_stream_decays_as_the_one_term_table_says(
    biot: float, zeta: float, share: float
) -> None:
    """R4, Incropera table 5.1 (from memory): our shells as a wall, its middle insulated."""
    half_m, area_m2 = 0.1, 1e6
    wall = half_m * area_m2
    row = buried(
        IRON_K, IRON_RHO_CP, 1e-3 * IRON_RHO_CP * wall, area_m2, wall, biot * IRON_K / half_m
    )
    rate_1_s, seen_share = slowest(row, 3.3)

    assert half_m * math.sqrt(rate_1_s * IRON_RHO_CP / IRON_K) == pytest.approx(zeta, rel=2e-3)
    assert seen_share == pytest.approx(share, rel=3e-3)


@pytest.mark.from_memory
@pytest.mark.parametrize(("biot", "zeta", "share"), ONE_TERM_BALL)
def test_a_ball_in_a_stream_decays_as_the_one_term_table_says(
    biot: float, zeta: float, share: float
) -> None:
    """R4, Incropera table 5.1 (from memory): our shells as a ball of one material."""
    radius_m, core_m = 0.1, 0.001
    core_m3 = 4.0 / 3.0 * math.pi * core_m**3
    rest_m3 = 4.0 / 3.0 * math.pi * radius_m**3 - core_m3
    row = buried(
        IRON_K,
        IRON_RHO_CP,
        IRON_RHO_CP * core_m3,
        4.0 * math.pi * core_m**2,
        rest_m3,
        biot * IRON_K / radius_m,
    )
    rate_1_s, seen_share = slowest(row, BALL)

    # The outermost shell is a fifth of the radius thick.
    assert radius_m * math.sqrt(rate_1_s * IRON_RHO_CP / IRON_K) == pytest.approx(zeta, rel=0.01)
    assert seen_share == pytest.approx(share, rel=0.01)


@pytest.mark.slow
@pytest.mark.from_memory
@pytest.mark.parametrize(("biot", "zeta", "share"), ONE_TERM_ROD)
def test_the_truth_cools_a_rod_in_a_stream_as_the_one_term_table_says(
    biot: float, zeta: float, share: float
) -> None:
    """R4, Incropera table 5.1 (from memory): the finite-volume truth, all of one material."""
    radius_m, fine_m = 0.05, 6e-4
    rod = replace(
        one_material(IRON_K, IRON_RHO_CP),
        radius=0.96 * radius_m,
        clearance=0.04 * radius_m,
        outer=biot * IRON_K / radius_m,
    )
    grid = Grid(rod, fine_m)
    place_m = float(grid.radius[grid.iron].max())
    fourier = np.array([0.3, 0.6, 1.0])
    at_s = fourier * radius_m**2 * IRON_RHO_CP / IRON_K
    times_s, temps_c, _ = simulate(rod, -100.0, 1.05 * float(at_s[-1]), fine_m)
    seen = (np.interp(at_s, times_s, temps_c) - 20.0) / 240.0
    expected = share * np.exp(-(zeta**2) * fourier) * j0(zeta * place_m / radius_m)

    assert seen == pytest.approx(expected, abs=1.5e-3)


def one_material(k_w_mk: float, rho_cp_j_m3k: float) -> World:
    """A rod in a jacket of the same stuff; the iron's heat capacity can't be chosen."""
    assert rho_cp_j_m3k == IRON_RHO_CP
    stuff = replace(PLAIN, shape="rod", height=0.01, contact=PERFECT, medium_start=260.0)
    return replace(stuff, k0=k_w_mk, iron_k=k_w_mk, rho=RHO_IRON, cp=450.0)


def bare_lump(heat_j_k: float, area_m2: float, film_w_m2k: float, start_c: float) -> Floats:
    """Our buried part with next to nothing round it, in a stream of 200 °C."""
    return buried(
        1e3, 1.0, heat_j_k, area_m2, 1e-6 * area_m2, film_w_m2k, start_c, 200.0, 200.0, 1e9
    )


@pytest.mark.from_memory
def test_a_thermocouple_bead_follows_a_gas_as_in_the_textbook() -> None:
    """R5, Incropera example 5.1 (from memory): 0.706 mm for 1 s at 400 W/m2K; 199 °C in 5.2 s."""
    bead_m, film = 0.706e-3, 400.0
    area_m2 = math.pi * bead_m**2
    heat_j_k = 8500.0 * 400.0 * area_m2 * bead_m / 6.0
    row = bare_lump(heat_j_k, area_m2, film, 25.0)
    temps_c = burial.temperatures(row, np.array([1.0, 5.2]), BALL)[0]

    assert temps_c[0] == pytest.approx(200.0 - 175.0 / math.e, abs=0.5)
    assert temps_c[1] == pytest.approx(199.0, abs=0.1)


def test_a_thermocouple_bead_is_at_99_percent_after_ten_seconds() -> None:
    """R5, Cengel example 4-1: 0.46 a second and 10 s (SEEN-S, published worked code)."""
    bead_m, film = 1e-3, 210.0
    area_m2 = math.pi * bead_m**2
    heat_j_k = 8500.0 * 320.0 * area_m2 * bead_m / 6.0
    row = bare_lump(heat_j_k, area_m2, film, 0.0)
    rate_1_s, _ = slowest(row, BALL)

    assert rate_1_s == pytest.approx(0.46, abs=0.005)
    assert burial.temperatures(row, np.array([10.0]), BALL)[0, 0] == pytest.approx(198.0, abs=0.1)


@pytest.mark.from_memory
def test_our_radiation_heats_a_bead_between_hot_walls_as_in_the_textbook() -> None:
    """R5, Incropera example 5.3: 218.7 °C, and 4.9 s to 1 °C less.

    Statement SEEN-S (gas 200 °C, walls 400 °C, emissivity 0.9), answers from memory.
    """
    bead_m, film = 0.706e-3, 400.0
    area_m2 = math.pi * bead_m**2
    heat_j_k = 8500.0 * 400.0 * area_m2 * bead_m / 6.0

    def gain_w(temp_c: float) -> float:
        # Loss with radiation less loss without: our term alone, toward the walls.
        radiated_w = lumped.loss_w(temp_c, 400.0, area_m2, 0.9) - lumped.loss_w(
            temp_c, 400.0, area_m2, 0.0
        )
        return film * area_m2 * (200.0 - temp_c) - radiated_w

    steady_c = float(brentq(gain_w, 200.0, 400.0))
    near = steady_c - 1.0

    def passed(_t: float, temp: Floats) -> float:
        return float(temp[0]) - near

    passed.terminal = True  # type: ignore[attr-defined]
    solved = solve_ivp(
        lambda _t, y: [gain_w(float(y[0])) / heat_j_k],
        (0.0, 20.0),
        [25.0],
        events=passed,
        rtol=1e-8,
    )

    assert steady_c == pytest.approx(218.7, abs=0.05)
    assert float(solved.t_events[0][0]) == pytest.approx(4.9, abs=0.1)


# Depth where it is 0 °C, start and surface of the ground, days, diffusivity.
SOIL = [
    # Incropera example 5.6: water mains freeze to 0.68 m (worked solution SEEN-S, the number
    # from memory).
    (0.68, 20.0, -15.0, 60.0, 0.138e-6),
    # Cengel example 4-6: 0 °C at 2 x 0.36 sqrt(alpha t) (SEEN-S, published worked code);
    # its temperatures and diffusivity from memory.
    (0.72 * math.sqrt(0.15e-6 * 90.0 * 86400.0), 15.0, -10.0, 90.0, 0.15e-6),
]


@pytest.mark.slow
@pytest.mark.from_memory
@pytest.mark.parametrize(("depth_m", "start_c", "surface_c", "days", "alpha"), SOIL)
def test_the_truth_lets_frost_into_the_ground_as_in_the_textbooks(
    depth_m: float, start_c: float, surface_c: float, days: float, alpha: float
) -> None:
    """R5: a rod so wide that its rim is flat; 0.5 °C, for the depth is told to two digits."""
    fine_m = 0.03
    place_m = 0.5 * 1.7 * fine_m
    ground = replace(
        one_material(alpha * IRON_RHO_CP, IRON_RHO_CP),
        radius=60.0,
        clearance=depth_m - place_m,
        start=start_c,
        medium_start=start_c,
        ambient=surface_c,
        outer=1e6,
    )
    at_s = days * 86400.0
    times_s, temps_c, _ = simulate(ground, -100.0, 1.01 * at_s, fine_m)
    flat_c = start_c + (surface_c - start_c) * erfc(depth_m / (2.0 * math.sqrt(alpha * at_s)))

    seen_c = float(np.interp(at_s, times_s, temps_c))
    assert seen_c == pytest.approx(0.0, abs=0.5)
    assert seen_c == pytest.approx(float(flat_c), abs=0.3)


@pytest.mark.parametrize(("depth_m", "published"), [(0.15, 1.2000), (0.30, 1.0909), (1.0, 1.0256)])
def test_a_ball_s_depth_is_left_out_for_what_it_costs(depth_m: float, published: float) -> None:
    """R6, `ht.S_isothermal_sphere_to_plane` (library SEEN-P): our S is the endless medium's.

    The share of steady loss left out grows as the cover gets thin: 1/(1 - D/4Z).
    """
    wide_m = 0.1
    # Layers of a ball have ``M = S``: both are 4 pi R.
    ours_m = steiner_m(math.pi * wide_m**2, BALL)
    steady_m = ht.S_isothermal_sphere_to_plane(wide_m, depth_m)

    assert steady_m / (2.0 * math.pi * wide_m) == pytest.approx(published, abs=5e-5)
    assert steady_m / ours_m == pytest.approx(published, abs=5e-5)


def test_the_shape_factor_of_a_compact_part_is_near_that_of_a_deep_ball() -> None:
    """R6, `ht` (SEEN-P), a ball 100 m deep: ours, made for cubes, is 3 % below it."""
    side_m = 0.08
    cube = CoolingPart(RHO_KG_M3 * side_m**3, (side_m, side_m, side_m), side_m)
    same_area_m = math.sqrt(cube.envelope_area_m2 / math.pi)
    ball_m = ht.S_isothermal_sphere_to_plane(same_area_m, 100.0)

    shape_m = shape_constant(1.0) * math.sqrt(cube.envelope_area_m2)
    assert shape_m == pytest.approx(ball_m, rel=0.03)


@pytest.mark.from_memory
def test_a_hot_pipe_loses_about_what_the_textbook_says() -> None:
    """R6, Incropera example 9.4 (from memory): 763 W/m at 165 °C in 23 °C, 0.1 m, 0.85.

    Radiation as in `ht.q_rad` (SEEN-P); our convection is a plate's, so 5 % in all.
    """
    area_m2 = math.pi * 0.1
    bare_w = lumped.loss_w(164.85, 22.85, area_m2, 0.0)
    whole_w = lumped.loss_w(164.85, 22.85, area_m2, 0.85)

    assert whole_w - bare_w == pytest.approx(area_m2 * ht.q_rad(0.85, 438, 296), rel=1e-4)
    assert whole_w == pytest.approx(763.0, rel=0.05)
