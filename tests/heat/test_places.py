"""Local rise of a place against the line source, images, an even plate and a finite-volume plate."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar
from truth_plate import Plate
from truth_world import World

from pacer.heat.part import IRON_K_W_MK, RHO_KG_M3
from pacer.heat.places import Rises, Row

ALPHA_M2_S = IRON_K_W_MK / (RHO_KG_M3 * 554.0)
ENDLESS = Row(
    places=5,
    length_m=0.025,
    heat_j=11_000.0,
    wall_m=0.012,
    cp_j_kgk=554.0,
    cycle_s=52.5,
    arc_s=12.5,
)
PLATE = replace(ENDLESS, left_m=0.05, right_m=0.05, width_m=0.156, loss_1_s=0.0)


def line_source_dc(
    heat_j: float, wall_m: float, cp_j_kgk: float, distance_m: float, time_s: float
) -> float:
    """Return the rise by a line source in an endless thin plate without loss, °C.

    ``E / (4 pi k d t) exp(-r^2 / 4 a t)``; 0 before and at the instant itself.
    """
    if time_s <= 0.0:
        return 0.0
    spread_m2 = 4.0 * IRON_K_W_MK / (RHO_KG_M3 * cp_j_kgk) * time_s
    scale = heat_j / (4.0 * math.pi * IRON_K_W_MK * wall_m * time_s)
    return scale * math.exp(-distance_m * distance_m / spread_m2)


@pytest.mark.from_memory
@pytest.mark.parametrize("distance_m", [0.024, 0.040, 0.060])
def test_a_line_of_heat_peaks_as_the_textbooks_say(distance_m: float) -> None:
    """Peak E/(e pi rho c d r²) at t = r²/(4 alpha): textbook result, from memory.

    The published pair of the design notes has 48.27, 17.38 and 7.72 K for 11 kJ in 12 mm;
    here with our own density and specific heat, found by searching the time.
    """

    def below(time_s: float) -> float:
        return -line_source_dc(11_000.0, 0.012, 554.0, distance_m, time_s)

    found = minimize_scalar(below, bounds=(1.0, 400.0), method="bounded")
    peak_dc = 11_000.0 / (math.e * math.pi * RHO_KG_M3 * 554.0 * 0.012 * distance_m**2)
    assert found.x == pytest.approx(distance_m**2 / (4.0 * ALPHA_M2_S), rel=1e-3)
    assert -found.fun == pytest.approx(peak_dc, rel=1e-6)


def test_a_line_of_heat_adds_up_to_the_heat_put_in() -> None:
    """Integrated over the endless plate: rho c d times the rise is E (energy balance, exact)."""
    radii_m = np.linspace(0.0, 0.6, 20_001)
    rises = np.array([line_source_dc(5_000.0, 0.01, 500.0, float(r), 60.0) for r in radii_m])
    heat_j = np.trapezoid(RHO_KG_M3 * 500.0 * 0.01 * rises * 2.0 * np.pi * radii_m, radii_m)
    assert heat_j == pytest.approx(5_000.0, rel=1e-5)


@pytest.mark.parametrize("apart", [1, 2, 3])
def test_a_short_bead_far_away_is_a_line_source(apart: int) -> None:
    """A bead of 5 mm felt 25, 50 and 75 mm off: within 1 % of the closed form (own check)."""
    short = replace(ENDLESS, places=20, length_m=0.005, arc_s=2.5)
    rise_dc = Rises(short).before_each_dc([0, 5 * apart])[1]
    time_s = 52.5 - 1.25
    expected = line_source_dc(11_000.0, 0.012, 554.0, 0.025 * apart, time_s)
    assert rise_dc == pytest.approx(expected, rel=0.01)


def test_heats_add_up() -> None:
    """Superposition: three beads are one, two and three cycles ago what each is alone."""
    rises = Rises(PLATE)
    alone = [rises.before_each_dc([place, 2])[1] for place in range(5)]
    assert rises.before_each_dc([4])[0] == 0.0
    older = rises.before_each_dc([0, 3, 2])[2]
    assert older - alone[3] == pytest.approx(_ago(rises, 0, 2, 2))
    assert rises.before_each_dc([4, 0, 3, 2])[3] - older == pytest.approx(_ago(rises, 4, 3, 2))


def _ago(rises: Rises, place: int, cycles: int, at: int) -> float:
    """Return the rise by one bead so many cycles ago, from a row with a longer cycle."""
    row = rises.row
    # The age is cycles * cycle - arc / 2, so one cycle of this length is the same age.
    slow = replace(row, cycle_s=cycles * row.cycle_s)
    return Rises(slow).before_each_dc([place, at])[1]


def test_loss_takes_its_share_of_every_rise() -> None:
    """exp(-b t): with b = 1/1000 s and an age of 46.25 s it is exp(-0.04625) (own check)."""
    losing = replace(ENDLESS, loss_1_s=1e-3)
    kept = Rises(losing).before_each_dc([0, 1])[1] / Rises(ENDLESS).before_each_dc([0, 1])[1]
    assert kept == pytest.approx(math.exp(-0.04625), rel=1e-12)


@pytest.mark.parametrize("side", ["left_m", "right_m"])
def test_an_edge_mirrors_the_heat(side: str) -> None:
    """A source 2.5 mm from a closed edge is two sources 5 mm apart (method of images)."""
    edged = replace(ENDLESS, places=1, length_m=0.005, arc_s=2.5, **{side: 0.0})  # type: ignore[arg-type]
    rise_dc = Rises(edged).before_each_dc([0, 0])[1]
    both = sum(line_source_dc(11_000.0, 0.012, 554.0, r_m, 51.25) for r_m in (0.0, 0.005))
    assert rise_dc == pytest.approx(both, rel=0.005)


@given(
    place=st.integers(0, 4),
    at=st.integers(0, 4),
    left_m=st.floats(0.0, 0.2),
    cycle_s=st.floats(20.0, 2000.0),
)
def test_images_agree_with_the_fourier_series(
    place: int, at: int, left_m: float, cycle_s: float
) -> None:
    """Closed plate: cosines whose slope is zero at the edges (textbook, own evaluation)."""
    row = replace(PLATE, left_m=left_m, right_m=0.03, cycle_s=cycle_s)
    long_m, wide_m = row.plate_m, row.width_m
    spread_m2 = ALPHA_M2_S * (cycle_s - 6.25)

    def series(u_m: float, v_m: float, side_m: float, length_m: float) -> float:
        n = np.arange(1, 400)
        waves = n * np.pi / side_m
        even = np.sinc(waves * length_m / 2.0 / np.pi)
        terms = np.cos(waves * u_m) * np.cos(waves * v_m) * even * np.exp(-(waves**2) * spread_m2)
        return float((1.0 + 2.0 * terms.sum()) / side_m)

    x_m = [left_m + (i + 0.5) * 0.025 for i in (place, at)]
    along = series(x_m[0], x_m[1], long_m, 0.025)
    across = series(wide_m / 2.0, wide_m / 2.0, wide_m, 0.0)
    density = 11_000.0 / (RHO_KG_M3 * 554.0 * 0.012)
    expected = density * (along * across - 1.0 / (long_m * wide_m))
    assert Rises(row).before_each_dc([place, at])[1] == pytest.approx(expected, abs=0.02)


def test_late_the_heat_is_even() -> None:
    """A day after, nothing is left over the mean (energy balance)."""
    even = Rises(replace(PLATE, cycle_s=86_400.0))
    assert even.before_each_dc([0, 1, 4, 2]) == pytest.approx([0.0] * 4, abs=1e-6)


def test_a_symmetrical_plate_takes_an_order_and_its_mirror_alike() -> None:
    """Symmetry: what holds from the left holds from the right."""
    rises = Rises(PLATE, 0.04)
    order = [0, 3, 1, 1, 2, 4]
    mirrored = [4 - place for place in order]
    assert rises.before_each_dc(mirrored) == pytest.approx(rises.before_each_dc(order))
    assert rises.sensor_dc(mirrored) == pytest.approx(rises.sensor_dc(order))


def test_the_sensor_sees_a_far_bead_as_a_line_source() -> None:
    """Level with the middle of five places, 40 mm off: 64 mm from an end place (Pythagoras)."""
    short = replace(ENDLESS, places=21, length_m=0.005, arc_s=2.5)
    seen_dc = Rises(short, 0.040).sensor_dc([0, 20])[1]
    expected = line_source_dc(11_000.0, 0.012, 554.0, math.hypot(0.050, 0.040), 51.25)
    assert seen_dc == pytest.approx(expected, rel=0.01)
    assert Rises(short).sensor_dc([0, 20]) == []


def test_places_round_a_patch_are_apart_as_the_crow_flies() -> None:
    """Opposite places of a circle 314 mm round are 100 mm apart; neighbours of six 50 mm."""
    ring = replace(ENDLESS, places=6, length_m=0.05 * math.pi / 3.0, ring=True)
    assert ring.apart_m(3) == pytest.approx(0.1)
    assert ring.apart_m(1) == pytest.approx(ring.apart_m(5)) == pytest.approx(0.05)


def test_counting_stops_where_a_rise_is_above_what_is_wanted() -> None:
    """The search for an order gives a bad one up early; what it has seen is above the limit."""
    rises = Rises(PLATE)
    full = rises.before_each_dc([0, 1, 2, 3, 4])
    cut = rises.before_each_dc([0, 1, 2, 3, 4], most_dc=full[1] - 1.0)
    assert cut == full[:2]
    assert rises.worst_dc([0, 1, 2, 3, 4], full[1] - 1.0) == full[1] > full[1] - 1.0
    assert rises.worst_dc([]) == 0.0


@pytest.mark.slow
@pytest.mark.parametrize("order", [(0, 4, 1, 3, 2), (0, 1, 2, 3, 4)])
def test_a_finite_volume_plate_with_a_moving_arc_rises_as_forecast(order: tuple[int, ...]) -> None:
    """Constant iron, no loss, no groove (simulated, `truth_plate.py`): within 6 % and 1 K."""
    plate = Plate(
        World(
            length_m=PLATE.plate_m,
            width_m=PLATE.width_m,
            wall_m=0.012,
            joint_x_m=PLATE.plate_m / 2.0,
            joint_y_m=PLATE.width_m / 2.0,
            sensor_x_m=PLATE.plate_m / 2.0,
            sensor_y_m=PLATE.width_m / 2.0 + 0.04,
            rho_kg_m3=RHO_KG_M3,
            k20_w_mk=IRON_K_W_MK,
            k_fall=0.0,
            cp0_j_kgk=554.0,
            cp_slope_j_kgk2=0.0,
            emissivity=0.0,
            upper=0.0,
            lower=0.0,
            arc_va=11_000.0 / 12.5,
            efficiency=1.0,
        )
    )
    true_dc, sensor_dc = [], []
    for place in order:
        true_dc.append(plate.local_c(place) - plate.mean_c)
        sensor_dc.append(
            plate.true_c(PLATE.plate_m / 2.0, PLATE.width_m / 2.0 + 0.04) - plate.mean_c
        )
        plate.arc = place
        plate.advance(12.5)
        plate.arc = None
        plate.advance(40.0)
    rises = Rises(PLATE, 0.04)
    assert rises.before_each_dc(order) == pytest.approx(true_dc, rel=0.06, abs=1.0)
    assert rises.sensor_dc(order) == pytest.approx(sensor_dc, rel=0.06, abs=1.0)
