"""Groove areas against an independent integration, bead counts by hand."""

from __future__ import annotations

import math
from typing import cast

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.job.groove import counted, groove_area_m2, runs_for, section_range_m2
from pacer.job.job import BeadRules, Joint, Preparation


def _width_m(shape: str, angle_deg: float, depth_m: float, h_m: float) -> float:
    """Width of the opened groove at height `h_m` above its bottom, from its drawing."""
    half = math.radians(angle_deg) / 2.0
    if shape == "single-V":
        return 2.0 * h_m * math.tan(half)
    if shape == "double-V":
        return 2.0 * abs(h_m - depth_m / 2.0) * math.tan(half)
    r = min(0.004, depth_m / 2.0)
    if h_m < r * (1.0 - math.sin(half)):
        return 2.0 * math.sqrt(r**2 - (r - h_m) ** 2)
    return 2.0 * (r / math.cos(half) + (h_m - r) * math.tan(half))


@pytest.mark.slow
@given(
    shape=st.sampled_from(["single-V", "double-V", "U"]),
    angle_deg=st.floats(1.0, 60.0),
    depth_mm=st.floats(1.0, 100.0),
)
def test_a_grooves_area_is_its_width_summed_over_its_depth(
    shape: str, angle_deg: float, depth_mm: float
) -> None:
    """Numerical integration of the drawing, 4,000 slices: an oracle apart from the formulas."""
    depth_m, slices = depth_mm / 1000.0, 4000
    heights = (np.arange(slices) + 0.5) * depth_m / slices
    summed = sum(_width_m(shape, angle_deg, depth_m, float(h)) for h in heights) * depth_m / slices

    area = groove_area_m2(cast("Preparation", shape), angle_deg, depth_m)
    assert area == pytest.approx(summed, rel=2e-4)


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
