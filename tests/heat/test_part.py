"""Areas, shape factor and how much cover there is."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from pacer.heat.part import (
    RHO_KG_M3,
    CoolingPart,
    Cover,
    layer_volume_m3,
    shape_constant,
    steiner_m,
)

PLATE = CoolingPart(3.2, (0.26, 0.18, 0.04), 0.012)


@pytest.mark.parametrize("thin_ratio", [0.0, 0.05, 0.2, 0.5, 1.0])
def test_layers_round_a_part_have_the_resistance_of_its_shape_factor(thin_ratio: float) -> None:
    """Definition of M: 1/Int dx/A(x) = S, by quadrature (heat.md 2.1)."""
    area_m2 = 0.1
    m = steiner_m(area_m2, shape_constant(thin_ratio))
    resistance = quad(lambda x: 1.0 / (area_m2 + 2.0 * m * x + 4.0 * math.pi * x**2), 0, math.inf)

    expected_m = math.sqrt(area_m2) * shape_constant(thin_ratio)
    assert 1.0 / resistance[0] == pytest.approx(expected_m, rel=1e-6)


def test_layers_round_a_sphere_are_spheres() -> None:
    """S = 4 pi R exactly, so M = 4 pi R: the textbook value only there."""
    radius_m = 0.07

    assert steiner_m(4.0 * math.pi * radius_m**2, 2.0 * math.sqrt(math.pi)) == pytest.approx(
        4.0 * math.pi * radius_m, rel=1e-6
    )


def test_the_shape_factor_of_a_thin_disc_is_eight_radii() -> None:
    """Exact: S = 8 R, A = 2 pi R^2 (heat.md 2.1)."""
    assert shape_constant(0.0) == pytest.approx(8.0 / math.sqrt(2.0 * math.pi), abs=0.01)


@pytest.mark.from_memory
def test_the_shape_factor_of_a_cube_is_near_the_known_one() -> None:
    """S = 0.6607 x 4 pi a, from memory; the fit is 2 % above it."""
    assert shape_constant(1.0) == pytest.approx(0.6607 * 4.0 * math.pi / math.sqrt(6.0), rel=0.025)


def test_a_plate_has_two_faces() -> None:
    """2 m / (rho d)."""
    assert PLATE.plate_area_m2 == pytest.approx(2.0 * 3.2 / (RHO_KG_M3 * 0.012))


def test_no_typed_size_makes_a_part_smaller_than_the_ball_of_its_mass() -> None:
    """A slip of mm for m must not give an area of nothing."""
    tiny = CoolingPart(3.2, (0.001, 0.001, 0.001), 0.5)
    ball_m2 = (36.0 * math.pi * (3.2 / RHO_KG_M3) ** 2) ** (1.0 / 3.0)

    assert tiny.envelope_area_m2 == pytest.approx(ball_m2)
    assert tiny.plate_area_m2 == pytest.approx(ball_m2)


def test_a_part_of_known_mass_only_is_taken_for_a_square_plate() -> None:
    """Side from mass and wall; its outline is not known, so a little less than its two faces."""
    only_mass = CoolingPart(3.2, None, 0.012)
    faces_m2 = 2.0 * 3.2 / RHO_KG_M3 / 0.012

    assert 0.8 * faces_m2 < only_mass.envelope_area_m2 < 1.1 * faces_m2
    assert only_mass.rim_m == 0.0


def test_iron_left_over_by_the_floor_makes_the_rim_of_a_cup() -> None:
    """A tray of 10 mm: its mass worked out by hand from floor and four walls, geometry."""
    length_m, width_m, high_m, wall_m = 0.3, 0.2, 0.08, 0.01
    rim_m3 = 2.0 * (length_m + width_m - 2.0 * wall_m) * wall_m * (high_m - wall_m)
    mass_kg = RHO_KG_M3 * (length_m * width_m * wall_m + rim_m3)
    tray = CoolingPart(mass_kg, (length_m, width_m, high_m), wall_m)

    assert tray.rim_m == pytest.approx(high_m - wall_m, rel=0.15)
    # Touched inside and outside: nearly twice the sheet over an envelope closed by the mouth.
    assert tray.touch > 1.15
    assert tray.closing_m == pytest.approx(tray.rim_m)


def test_a_flat_plate_with_one_high_foot_is_a_flat_plate() -> None:
    """260 x 180 mm of 12 mm weigh 4 kg: 3.2 kg can't have a rim, whatever the overall height."""
    foot, flat = PLATE, CoolingPart(3.2, (0.26, 0.18, 0.012), 0.012)

    assert foot.rim_m == 0.0
    assert foot.envelope_area_m2 == pytest.approx(flat.envelope_area_m2, rel=0.02)


def test_holes_in_a_plate_are_touched_by_nothing() -> None:
    """Half the iron of the full plate, same overall sizes: less touch, geometry."""
    size_m = (0.2, 0.2, 0.012)
    full_kg = RHO_KG_M3 * 0.2 * 0.2 * 0.012
    full, ring = (CoolingPart(share * full_kg, size_m, 0.012) for share in (1.0, 0.5))

    assert full.touch == pytest.approx(1.0, abs=0.1)
    assert ring.touch < 0.8
    assert ring.closing_m > full.closing_m


def test_a_box_counts_as_an_even_layer_of_a_little_less_than_it_holds() -> None:
    """30 l less 3.2 kg of iron, and less what its corners hold.

    A box with 100 mm all round a 250 x 160 x 14 mm plate holds 27 % more than the even layer
    of 100 mm (Steiner's formula: A d + pi (L + W + H) d^2 + 4/3 pi d^3 = 26.6 l of 34.1 l).
    """
    medium_m3 = 0.03 - 3.2 / RHO_KG_M3
    found_m3 = Cover("dry sand", volume_m3=0.03).medium_volume_m3(PLATE)

    assert 26.6 / 34.1 * medium_m3 < found_m3 < medium_m3


def test_a_box_too_small_for_the_part_still_has_a_layer_of_5_mm() -> None:
    """A wrong volume is the job's to refuse; heat must not fail on it."""
    assert Cover("dry sand", volume_m3=1e-5).medium_volume_m3(PLATE) == pytest.approx(
        layer_volume_m3(PLATE, 0.005)
    )


def test_a_box_not_given_is_taken_for_110_mm_on_every_side() -> None:
    """Our estimate: common practice (no source) is 80 mm and more."""
    assert Cover("vermiculite").medium_volume_m3(PLATE) == pytest.approx(
        layer_volume_m3(PLATE, 0.11)
    )


@pytest.mark.slow
@given(
    st.floats(0.2, 200.0),
    st.floats(0.003, 2.0),
    st.floats(0.003, 2.0),
    st.floats(0.003, 2.0),
    st.floats(0.002, 0.2),
)
def test_every_part_has_positive_finite_measures(
    mass_kg: float, length_m: float, width_m: float, height_m: float, wall_m: float
) -> None:
    """Any mixture of sizes, consistent or not."""
    part = CoolingPart(mass_kg, (length_m, width_m, height_m), wall_m)
    measures = (
        part.envelope_area_m2,
        part.plate_area_m2,
        part.plan_m2,
        part.touch,
        part.closing_m,
        Cover("dry sand").medium_volume_m3(part),
    )

    assert all(0.0 < x < math.inf for x in measures)
    assert 0.0 < part.thin_ratio <= 1.0
