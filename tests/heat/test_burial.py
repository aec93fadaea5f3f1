"""The buried part's model against the exact sphere, the balance of heat and common practice."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt
import pytest
from oracles import sphere, sphere_in_contact
from scipy.special import erfcx

from pacer.heat.cooldown.burial import depth_m, temperatures
from pacer.heat.part import shape_constant, steiner_m

Floats = npt.NDArray[np.float64]

BALL = 2.0 * math.sqrt(math.pi)
RADIUS_M, K, RHO_CP = 0.06, 0.3, 1550.0 * 830.0


def params(
    heat_j_k: float,
    area_m2: float,
    medium_m3: float,
    k_w_mk: float = K,
    contact_w_m2k: float = 1e5,
    outer_w_m2k: float = 8.0,
    quickening_1_dc: float = 0.0,
    touch: float = 1.0,
    closing_m: float = 0.01,
    soaked: float = 0.0,
) -> Floats:
    """One row of parameters: 260 °C in a medium and a room of 20 °C."""
    row = [k_w_mk, RHO_CP, contact_w_m2k, heat_j_k, area_m2, medium_m3]
    start = [outer_w_m2k, 260.0, 20.0, 20.0, quickening_1_dc]
    return np.array([[*row, *start, touch, closing_m, soaked]])


def ball(b: float, contact_w_m2k: float = 1e5) -> Floats:
    """A sphere in 3 m3 of sand, its own heat capacity set by `b`."""
    heat_j_k = 4.0 * math.pi * RADIUS_M**3 * RHO_CP / b
    return params(heat_j_k, 4.0 * math.pi * RADIUS_M**2, 3.0, contact_w_m2k=contact_w_m2k)


@pytest.mark.parametrize("b", [0.5, 1.0, 3.0])
def test_a_sphere_in_a_large_box_cools_as_the_closed_form_says(b: float) -> None:
    """Within 0.5 °C of 240 °C from 5 minutes to 8 hours (heat.md 9; R1, CALC)."""
    times_s = np.geomspace(300.0, 8 * 3600.0, 12)
    exact = [20.0 + 240.0 * sphere(b, K / RHO_CP * t / RADIUS_M**2) for t in times_s]

    assert temperatures(ball(b), times_s, BALL)[0] == pytest.approx(exact, abs=0.5)


def test_a_sphere_behind_a_contact_cools_as_the_closed_form_says() -> None:
    """Contact of 150 W/m2K, Bi = 30: within 0.5 °C from 5 minutes on (R1b, CALC)."""
    times_s = np.geomspace(300.0, 8 * 3600.0, 8)
    bi = 150.0 * RADIUS_M / K
    exact = [
        20.0 + 240.0 * sphere_in_contact(1.0, bi, K / RHO_CP * t / RADIUS_M**2) for t in times_s
    ]

    assert temperatures(ball(1.0, 150.0), times_s, BALL)[0] == pytest.approx(exact, abs=0.5)


def test_heat_that_cannot_leave_the_box_is_all_there_in_the_end() -> None:
    """No loss outside: part and medium end at the mixing temperature."""
    heat_j_k, medium_m3 = 1600.0, 0.02
    row = params(heat_j_k, 0.1, medium_m3, outer_w_m2k=1e-15)
    store_j_k = RHO_CP * medium_m3
    mixed_c = (heat_j_k * 260.0 + store_j_k * 20.0) / (heat_j_k + store_j_k)

    assert temperatures(row, np.array([1e7]), 3.3)[0, 0] == pytest.approx(mixed_c, rel=1e-8)


def test_a_lining_soaked_through_holds_half_of_what_it_would_at_the_parts_temperature() -> None:
    """Falling evenly to nothing outside, a thin flat layer holds one half (geometry)."""
    heat_j_k, area_m2, thick_m = 1600.0, 4.0, 0.01
    row = params(heat_j_k, area_m2, thick_m, outer_w_m2k=1e-15, soaked=1.0)
    store_j_k = RHO_CP * area_m2 * thick_m
    mixed_c = 20.0 + 240.0 * (heat_j_k + 0.5 * store_j_k) / (heat_j_k + store_j_k)

    end_c = temperatures(row, np.array([1e7]), 3.3, blanket=True)[0, 0]
    assert end_c == pytest.approx(mixed_c, rel=0.02)


def test_the_depth_of_a_medium_gives_back_its_volume() -> None:
    """Inverse of the volume of layers, from a film to a room of sand."""
    area, m = np.full(4, 0.1), steiner_m(0.1, 3.3)
    volume = np.array([1e-6, 1e-3, 0.03, 3.0])
    x = depth_m(area, np.full(4, m), volume)

    assert area * x + m * x**2 + 4.0 / 3.0 * math.pi * x**3 == pytest.approx(volume, rel=1e-9)


def thin_disc(k_w_mk: float, mass_kg: float) -> float:
    """Temperature after four hours of a disc 12 mm thick in 30 l of sand."""
    radius_m = math.sqrt(mass_kg / 7200.0 / 0.012 / math.pi)
    area_m2 = 2.0 * math.pi * radius_m * (radius_m + 0.012)
    row = params(mass_kg * 506.0, area_m2, 0.03, k_w_mk, 150.0)
    return float(temperatures(row, np.array([14400.0]), shape_constant(0.006 / radius_m))[0, 0])


@pytest.mark.parametrize("mass_kg", [2.5, 3.2, 4.0])
@pytest.mark.parametrize("k_w_mk", [0.25, 0.30, 0.46])
def test_a_thin_part_in_dry_sand_has_no_heat_to_the_touch_after_four_hours(
    k_w_mk: float, mass_kg: float
) -> None:
    """Common practice, no source: below 45 °C at four hours from 260 °C (heat.md 3)."""
    assert thin_disc(k_w_mk, mass_kg) < 45.0


def test_a_compact_block_is_still_hot_after_four_hours() -> None:
    """The same practice does not hold for a block of 3 kg: 5-7 h to 45 °C (heat.md 3, CALC)."""
    side_m = (3.0 / 7200.0) ** (1.0 / 3.0)
    row = params(3.0 * 506.0, 6.0 * side_m**2, 0.03, 0.30, 150.0)

    assert temperatures(row, np.array([14400.0]), shape_constant(1.0))[0, 0] > 45.0


@pytest.mark.parametrize("quickening_1_dc", [-0.002, 0.0, 0.002])
def test_a_buried_part_only_ever_cools_and_never_below_the_room(quickening_1_dc: float) -> None:
    """Falling from its start to ambient, whatever the clock."""
    row = params(1600.0, 0.1, 0.03, 0.3, 150.0, quickening_1_dc=quickening_1_dc, touch=1.3)
    temps_c = temperatures(row, np.linspace(0.0, 1e6, 4000), 3.3)[0]

    assert temps_c[0] == pytest.approx(260.0, abs=1e-6)
    assert np.all(np.diff(temps_c) <= 1e-9)
    assert temps_c[-1] >= 20.0 - 1e-9


def test_a_flow_that_is_quicker_when_hot_is_ahead_first_and_slower_at_the_end() -> None:
    """Same mean speed: the curve with a positive slope is below early on, above later."""
    times_s = np.array([1200.0, 30000.0])
    even, quick = (
        temperatures(params(1600.0, 0.1, 0.03, 0.1, 150.0, quickening_1_dc=q), times_s, 3.3)[0]
        for q in (0.0, 0.001)
    )

    assert quick[0] < even[0]
    assert quick[1] > even[1]


def test_iron_touched_inside_too_cools_faster_first_and_a_plate_with_holes_slower() -> None:
    """After ten minutes, against the plain envelope; the far field is the same (burial's head)."""
    times_s = np.array([600.0])
    holes, plain, cup = (
        temperatures(params(1600.0, 0.1, 0.03, 0.3, 150.0, touch=w), times_s, 3.3)[0, 0]
        for w in (0.7, 1.0, 1.4)
    )

    assert cup < plain - 5.0
    assert holes > plain + 5.0


def test_a_part_on_a_wide_touched_surface_cools_as_on_a_half_space() -> None:
    """``exp(g^2 t) erfc(g sqrt t)``, within 3 °C of 240 (heat.md R3): closing far away, w A flat.

    The shells' own curvature is small against an area 3 times the envelope's.
    """
    heat_j_k, area_m2, touch = 1600.0, 0.1, 3.0
    row = params(heat_j_k, area_m2, 0.05, outer_w_m2k=1e-15, touch=touch, closing_m=10.0)
    times_s = np.array([300.0, 600.0, 900.0])
    g = touch * area_m2 * math.sqrt(K * RHO_CP) / heat_j_k
    expected = 20.0 + 240.0 * erfcx(g * np.sqrt(times_s))

    assert temperatures(row, times_s, 3.3)[0] == pytest.approx(expected, abs=3.0)
