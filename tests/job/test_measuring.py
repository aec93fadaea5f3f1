"""Where and when ISO 13916 has the temperature measured, and how the plan tells it."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.job.file.read import job_from_text
from pacer.job.measuring import SHOWS_BEADS_M, iso13916, wait_s
from pacer.job.plan import plan
from pacer.job.sheet.forms.text import text_lines
from pacer.job.sheet.whole import whole
from pacer.units import Shown, System

JOB = """
[job]
title = "Test block"
method = "{method}"
[part]
metal = "grey iron"
mass = "40 kg"
size = ["260 mm", "180 mm", "140 mm"]
wall = "{wall}"
[joint]
crack_length = "75 mm"
preparation = "single-V"
depth = "10 mm"
root_face = "{rest}"
[heating]
with = "{source}"
[band]
ceiling = "{ceiling}"
"""


def told(wall: str, rest: str, system: System = "metric", **other: str) -> str:
    """The plan's words in one line, spaces as one."""
    words = {"method": "hot", "source": "torch", "ceiling": "300 degC"} | other
    job = job_from_text(JOB.format(wall=wall, rest=rest, **words), "block.toml")
    return " ".join(" ".join(text_lines(whole(plan(job), job, Shown(system)))).split())


@pytest.mark.parametrize(
    ("wall_mm", "distance_mm"),
    [(3, 12), (5, 20), (10, 40), (12.5, 50), (12.6, 50), (25, 50), (50, 50)],
)
def test_a_wall_up_to_50_mm_is_measured_at_four_times_its_thickness_at_most_50_mm(
    wall_mm: float, distance_mm: float
) -> None:
    """trade.md sections 2 and 13: ISO 13916 clause 4.1, row M01, and what follows from it."""
    asked = iso13916(wall_mm / 1000)

    assert asked.distance_m == pytest.approx(distance_mm / 1000, abs=1e-12)
    assert asked.band_m is None


@pytest.mark.parametrize("wall_mm", [50.1, 60, 300])
def test_a_thicker_wall_has_no_distance_but_a_band_of_75_mm(wall_mm: float) -> None:
    """Row M02: the rule changes at 50.1 mm; 75 mm is no distance from the groove."""
    asked = iso13916(wall_mm / 1000)

    assert (asked.distance_m, asked.band_m) == (None, 0.075)


@given(st.floats(1e-4, 1.0))
def test_every_wall_has_one_of_the_two_rules(wall_m: float) -> None:
    """Never both, never none; a thicker wall is never measured nearer."""
    asked = iso13916(wall_m)

    assert (asked.distance_m is None) != (asked.band_m is None)
    if asked.distance_m is not None:
        assert 0 < asked.distance_m <= 0.05
        assert (iso13916(wall_m / 2).distance_m or 0) <= asked.distance_m


@pytest.mark.from_memory
@pytest.mark.parametrize(("wall_mm", "wait"), [(10, 48), (25, 120), (40, 192)])
def test_after_the_flame_two_minutes_are_waited_for_each_25_mm(wall_mm: float, wait: float) -> None:
    """trade.md section 2: row M07."""
    assert wait_s(wall_mm / 1000) == pytest.approx(wait)


def test_the_plan_shows_the_standard_s_distance_and_the_one_that_shows_beads() -> None:
    """12 mm of wall: 48 mm, and 25 to 35 mm beside it; 58 s of waiting after a torch."""
    words = told("12 mm", "2 mm")

    face = "on the face towards the welder, from the groove's edge"
    assert f"measure at 48 mm published: {face}; by ISO 13916 clause 4.1 for this wall" in words
    assert "a bead shows at 25 mm to 35 mm computed" in words
    # In the list at the end: the clause, with the row.
    found = re.search(r"wait before reading 58 s from memory \[(\d+)\]", words)
    assert found
    assert re.search(rf"\[{found[1]}\] ISO 13916, clause not seen \(.*?M07\)", words)


def test_the_plan_shows_the_band_above_50_mm_of_wall_and_the_beads_too() -> None:
    """52 mm of wall: no distance of 50 mm is claimed."""
    words = told("52 mm", "42 mm")

    assert "hot all round for 75 mm published: by ISO 13916 clause 4.1 for this wall" in words
    assert "must exist so far in any direction [" in words
    assert "a bead shows at 25 mm to 35 mm" in words
    assert "50 mm published: by ISO 13916" not in words


def test_the_plan_shows_them_in_the_user_s_units() -> None:
    """12 mm of wall in inches."""
    words = told("12 mm", "2 mm", "us")

    assert "measure at 1.89 in published: on the face towards the welder" in words
    assert "a bead shows at 0.984 in to 1.38 in" in words


def test_no_flame_no_wait() -> None:
    """An oven heats all round; the cold method has no flame at all."""
    assert "wait before reading" not in told("12 mm", "2 mm", source="oven")


def test_the_distances_that_show_beads_are_nearer_than_the_standard_s_longest() -> None:
    """Both are kept apart: the plan names which is which."""
    assert SHOWS_BEADS_M[0] < SHOWS_BEADS_M[1] < 0.05
