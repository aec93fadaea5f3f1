"""Groove areas and volumes against an independent integration, bead counts by hand."""

from __future__ import annotations

import math
from typing import get_args

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pacer.job.groove import (
    counted,
    groove_area_m2,
    groove_volume_m3,
    runs_for,
    section_range_m2,
    weld_area_m2,
    weld_volume_m3,
)
from pacer.job.job import BeadRules, Joint, Preparation
from pacer.job.outline import outline, width_m


def _width_m(shape: str, angle_deg: float, depth_m: float, h_m: float) -> float:
    """From one wall to the other at height `h_m` above the bottom, gap left out, in words:

    V: two straight walls that meet at the bottom; double V: that twice, bottom to bottom at
    half depth; U: a round root of 4 mm, or half the depth, its walls tangent to it; square:
    none. Fillet: between the upright plate and the line from toe to toe of two equal legs.
    """
    half = math.radians(angle_deg) / 2.0
    if shape == "square":
        return 0.0
    if shape == "fillet weld":
        turn = math.radians(angle_deg)
        (x0, y0), (x1, y1) = (
            (depth_m, 0.0),
            (depth_m * math.cos(turn), depth_m * math.sin(turn)),
        )
        toe_line = x0 + (x1 - x0) * (h_m - y0) / (y1 - y0)
        return toe_line - h_m / math.tan(turn)
    if shape == "single-V":
        return 2.0 * h_m * math.tan(half)
    if shape == "double-V":
        return 2.0 * abs(h_m - depth_m / 2.0) * math.tan(half)
    r = min(0.004, depth_m / 2.0)
    if h_m < r * (1.0 - math.sin(half)):
        return 2.0 * math.sqrt(r**2 - (r - h_m) ** 2)
    return 2.0 * (r / math.cos(half) + (h_m - r) * math.tan(half))


ANGLES_DEG = {"U": (0.0, 60.0), "fillet weld": (60.0, 120.0), "square": (0.0, 0.0)}


@st.composite
def joints(draw: st.DrawFn) -> Joint:
    """A joint of any preparation, angle, depth, gap and length that a job file may hold."""
    shape = draw(st.sampled_from(get_args(Preparation)))
    low_deg, high_deg = ANGLES_DEG.get(shape, (20.0, 120.0))
    return Joint(
        repair="crack",
        access="both sides",
        crack_length_m=draw(st.floats(0.003, 5.0)),
        tack="none",
        ends="through",
        preparation=shape,
        angle_deg=draw(st.floats(low_deg, high_deg)),
        root_face_m=draw(st.sampled_from([0.0, 0.002])) if shape != "fillet weld" else 0.0,
        depth_m=draw(st.floats(0.0005, 0.3)),
        gap_m=draw(st.sampled_from([0.0, 0.002, 0.02])),
    )


def _summed_m3(joint: Joint, slices: int = 4000) -> float:
    """The gap between the two walls, summed over depth and length: midpoints of thin slices.

    The root opening goes through the whole depth; of a fillet weld it lies under the leg.
    """
    shape, depth_m = joint.preparation, joint.depth_m
    high_m = depth_m
    if shape == "fillet weld":
        high_m = depth_m * math.sin(math.radians(joint.angle_deg))
    heights = (np.arange(slices) + 0.5) * high_m / slices
    widths = [_width_m(shape, joint.angle_deg, depth_m, float(h)) for h in heights]
    one_slice_m2 = sum(widths) * high_m / slices + joint.gap_m * depth_m
    return sum(one_slice_m2 * joint.crack_length_m / 10 for _ in range(10))


@pytest.mark.slow
@settings(max_examples=60)
@given(joint=joints())
def test_a_grooves_area_and_volume_are_the_gap_between_its_walls_summed(joint: Joint) -> None:
    """Numerical integration of the drawing, 4,000 slices: an oracle apart from the formulas."""
    summed_m3 = _summed_m3(joint)
    area_m2 = groove_area_m2(joint.preparation, joint.angle_deg, joint.depth_m, joint.gap_m)

    assert area_m2 == pytest.approx(summed_m3 / joint.crack_length_m, rel=2e-4, abs=1e-12)
    assert groove_volume_m3(joint) == pytest.approx(summed_m3, rel=2e-4, abs=1e-12)
    below_m3 = joint.gap_m * joint.root_face_m * joint.crack_length_m
    assert weld_volume_m3(joint) == pytest.approx(1.1 * summed_m3 + below_m3, rel=2e-4, abs=1e-12)


@given(joint=joints(), wall_mm=st.floats(1.0, 20.0))
def test_what_is_drawn_is_what_is_counted(joint: Joint, wall_mm: float) -> None:
    """The outline's polygons enclose the groove's area (surveyor's formula); chords cut 0.1 %."""
    wall_m = joint.depth_m + joint.root_face_m
    if joint.preparation == "fillet weld":
        wall_m = wall_mm / 1000.0
    polygons = outline(joint, wall_m)
    drawn_m2 = sum(_enclosed_m2(polygon) for polygon in polygons)
    area_m2 = groove_area_m2(joint.preparation, joint.angle_deg, joint.depth_m, joint.gap_m)

    assert len(polygons) == (2 if joint.preparation == "double-V" else 1)
    assert drawn_m2 == pytest.approx(area_m2, rel=1e-3, abs=1e-12)
    if joint.preparation != "fillet weld":
        assert max(y for polygon in polygons for _, y in polygon) == pytest.approx(wall_m)


def _enclosed_m2(points: tuple[tuple[float, float], ...]) -> float:
    pairs = zip(points, (*points[1:], points[0]), strict=True)
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs)) / 2.0


@pytest.mark.parametrize(
    ("shape", "angle_deg", "depth_mm", "gap_mm", "high_mm", "wide_mm"),
    [
        ("square", 0.0, 10.0, 2.0, 7.0, 2.0),
        # 1 + 2 · 5 · tan 30°.
        ("single-V", 60.0, 10.0, 1.0, 5.0, 6.774),
        ("double-V", 60.0, 20.0, 1.0, 5.0, 6.774),
        # In the round root of 4 mm: 2 · √(4² - 3²). On the wall above: 2 · (4 / cos 10° + 6 tan 10°).
        ("U", 20.0, 20.0, 0.0, 1.0, 5.292),
        ("U", 20.0, 20.0, 0.0, 10.0, 10.239),
        # x + y = 3√2 meets one plate at (0, 3√2), the other, 2 mm lower, at (3√2 + 2, -2):
        # √2 · (3√2 + 2).
        ("fillet weld", 90.0, 8.0, 2.0, 3.0, 8.828),
        # Legs at 60°: the third side of a triangle of equal sides is 2 · 3 · tan 30°.
        ("fillet weld", 60.0, 8.0, 0.0, 3.0, 3.464),
    ],
)
def test_a_groove_s_width_by_hand(
    shape: Preparation,
    angle_deg: float,
    depth_mm: float,
    gap_mm: float,
    high_mm: float,
    wide_mm: float,
) -> None:
    """School geometry, root opening included; a fillet weld's across the line that halves it."""
    joint = Joint(
        repair="crack",
        access="both sides",
        crack_length_m=0.1,
        tack="none",
        ends="through",
        preparation=shape,
        angle_deg=angle_deg,
        root_face_m=0.0,
        depth_m=depth_mm / 1e3,
        gap_m=gap_mm / 1e3,
    )
    assert width_m(joint, high_mm / 1e3) == pytest.approx(wide_mm / 1e3, abs=1e-6)


def test_the_example_s_volume_and_weld_metal_by_hand() -> None:
    """57.735 mm² over 120 mm is 6.928 cm³; with a tenth for the cap 7.621 cm³."""
    joint = Joint(
        "crack", "one side", 0.12, "none", "both in the wall", "single-V", 60.0, 0.002, 0.01
    )
    assert groove_volume_m3(joint) == pytest.approx(6.928e-6, abs=1e-9)
    assert weld_volume_m3(joint) == pytest.approx(7.621e-6, abs=1e-9)


def test_a_gap_is_filled_between_the_root_faces_too() -> None:
    """By hand: 57.735 + 2 x 10 = 77.735 mm², a tenth more, and 2 x 2 mm² below: 89.51 mm²."""
    joint = Joint(
        "crack", "one side", 0.12, "none", "both in the wall", "single-V", 60.0, 0.002, 0.01, 0.002
    )
    assert weld_area_m2(joint) * 1e6 == pytest.approx(89.51, abs=0.01)


def test_the_grooves_with_straight_sides_are_school_geometry() -> None:
    """Square 2 x 10 mm = 20 mm²; fillet of two 8 mm legs = 32 mm²; a gap adds gap x depth."""
    assert groove_area_m2("square", 0.0, 0.010, 0.002) == pytest.approx(20e-6)
    assert groove_area_m2("fillet weld", 90.0, 0.008) == pytest.approx(32e-6)
    with_gap = groove_area_m2("single-V", 90.0, 0.010, 0.003)
    assert with_gap == pytest.approx(100e-6 + 30e-6)


def test_the_example_groove_takes_eight_to_thirteen_runs() -> None:
    """By hand: tan 30° = 0.5774, so 10² x 0.5774 = 57.7 mm², with a tenth for the cap 63.5 mm².

    63.5 / 8 = 7.9, so 8 runs; 63.5 / 5 = 12.7, so 13 runs (procedure notes, calculated).
    """
    low_m2, high_m2 = section_range_m2(0.0025, 0.002)
    area_m2 = groove_area_m2("single-V", 60.0, 0.010)

    assert area_m2 == pytest.approx(57.7e-6, abs=0.05e-6)
    assert (low_m2, high_m2) == pytest.approx((5e-6, 8e-6))
    assert runs_for(1.1 * area_m2, high_m2) == 8
    assert runs_for(1.1 * area_m2, low_m2) == 13


def test_a_bead_is_thinner_when_travel_is_faster_and_thicker_with_a_thicker_rod() -> None:
    """Metal laid a second is spread over the length run in a second (our scaling, no source)."""
    base = section_range_m2(0.0025, 0.002)
    assert section_range_m2(0.0025, 0.004)[1] == pytest.approx(base[1] / 2.0)
    assert section_range_m2(0.0032, 0.002)[1] > base[1]


def test_places_are_counted_up_and_runs_from_the_groove() -> None:
    """120 mm in beads of 25 mm: 4.8, so 5 places; 63.5 mm² in beads of 6.5 mm²: 9.8, so 10 runs."""
    joint = Joint(
        "crack", "one side", 0.12, "none", "both in the wall", "single-V", 60.0, 0.002, 0.01
    )
    plan = counted(joint, BeadRules(0.025, 0.002, 15.0, 5.0), 0.0025)
    assert (plan.places, plan.runs, plan.beads) == (5, 10, 50)
