"""A proof load's nominal stress by hand, and the published strengths beside it, no rating."""

from __future__ import annotations

import math

import pytest

from pacer.job.proof import (
    NO_RATING,
    bending_stress_pa,
    beside,
    round_bending_stress_pa,
    strengths,
)
from pacer.units import Shown

METRIC = Shown("metric")


def test_a_flat_bar_by_hand() -> None:
    """1,000 N at 200 mm: 200,000 N mm; 50 x 20²/6 = 3,333 mm³; so 60 N/mm²."""
    assert bending_stress_pa(1000.0, 0.2, 0.05, 0.02) == pytest.approx(60e6)


def test_a_round_bar_by_hand() -> None:
    """1,000 N at 200 mm; pi x 25³/32 = 1,534 mm³; so 130.4 N/mm²."""
    assert round_bending_stress_pa(1000.0, 0.2, 0.025) == pytest.approx(130.4e6, rel=1e-3)


def test_the_skin_of_a_section_carries_the_whole_moment() -> None:
    """Strain grows evenly from the middle: the stress summed over the section is the moment."""
    load_n, arm_m, width_m, high_m, slices = 750.0, 0.31, 0.04, 0.018, 2000
    skin_pa = bending_stress_pa(load_n, arm_m, width_m, high_m)
    heights = [((i + 0.5) / slices - 0.5) * high_m for i in range(slices)]
    moment = sum(skin_pa * y / (high_m / 2) * y * width_m * high_m / slices for y in heights)
    assert moment == pytest.approx(load_n * arm_m, rel=1e-5)

    diameter_m = 0.03
    skin_pa = round_bending_stress_pa(load_n, arm_m, diameter_m)
    moment = 0.0
    for i in range(slices):
        y = ((i + 0.5) / slices - 0.5) * diameter_m
        chord_m = 2.0 * math.sqrt((diameter_m / 2) ** 2 - y**2)
        moment += skin_pa * y / (diameter_m / 2) * y * chord_m * diameter_m / slices
    assert moment == pytest.approx(load_n * arm_m, rel=1e-4)


@pytest.mark.parametrize(("width_m", "high_m"), [(0.0, 0.02), (0.02, 0.0), (-0.01, 0.02)])
def test_a_section_without_size_has_no_stress(width_m: float, high_m: float) -> None:
    """A caller's mistake, not a number."""
    with pytest.raises(ValueError, match="above 0 m"):
        bending_stress_pa(1000.0, 0.2, width_m, high_m)


# A foundry's page on ASTM A48, seen in a secondary page.
A48 = [(20, 138), (25, 172), (30, 207), (35, 241), (40, 276), (45, 310), (50, 345), (55, 379)]


@pytest.mark.parametrize(("number", "mpa"), [*A48, (60, 414)])
def test_a_class_is_known_by_its_number(number: int, mpa: float) -> None:
    """The first row is the class's own; class x 6.894757 is the same to 1 MPa (ksi)."""
    for grade in (f"ASTM A48 class {number}", f"A48-{number}B", f"class {number} grey iron"):
        fact, values = strengths(grade)[0]
        assert (fact.id, values) == (f"A48-{number}", (mpa,))
    assert mpa == pytest.approx(number * 6.894757, abs=0.5)


@pytest.mark.parametrize(
    ("grade", "number"),
    [
        # Year of the edition and class, as they stand on drawings (from memory).
        ("ASTM A48-60 class 30", 30),
        ("ASTM A48/A48M-03 class 30", 30),
        ("A48-83 CLASS 40B", 40),
        ("A48-83, CL 35", 35),
        ("A48 Cl.25", 25),
        ("class No. 20 to ASTM A48-74", 20),
        ("class 30, A48-60", 30),
        # Without the word the number is all there is.
        ("A48-30B", 30),
        ("ASTM A48 30", 30),
        # A metric class, or one nobody has heard of: nothing is guessed from the year.
        ("ASTM A48M-60 class 200", None),
        ("ASTM A48-60 class 99", None),
        ("ASTM A48-60 class", None),
        ("A48-1960", None),
        ("ASTM A48-83", None),
        ("ASTM A480 class 3", None),
    ],
)
def test_a_year_is_no_class(grade: str, number: int | None) -> None:
    """A48-60 is the edition of 1960: its 414 MPa would be twice the class 30 that was cast."""
    named = [fact.id for fact, _ in strengths(grade) if fact.id.startswith("A48-")]
    assert named == ([] if number is None else [f"A48-{number}"])


def test_charts_that_disagree_are_both_shown() -> None:
    """Class 35: 250 by one chart, 225-250 by another; class 40 stands in the second alone."""
    assert [values for _, values in strengths("ASTM A48 class 35")] == [
        (241.0,),
        (250.0,),
        (225.0, 250.0),
    ]
    assert [fact.id for fact, _ in strengths("ASTM A48 class 40")] == ["A48-40", "ISO185-second"]
    told = beside(60e6, "ASTM A48 class 35", METRIC)
    assert told[0].startswith("nominal bending stress 60 MPa")
    assert [line.split(":")[0] for line in told[1:-1]] == [
        "241 MPa",
        "250 MPa",
        "225 MPa to 250 MPa",
    ]


def test_a_casting_is_weaker_than_its_bar_the_more_so_the_thicker_it_is() -> None:
    """EN 1561 GJL-250 (secondary page): 250 at 5, 225 at 10, 195 at 20, 170 at 40, 155 at 80 mm."""

    def mpa(wall_m: float | None) -> tuple[float, ...]:
        return strengths("EN-GJL-250", wall_m)[-1][1]

    assert [mpa(w / 1e3) for w in (5, 10, 20, 40, 80)] == [(250,), (225,), (195,), (170,), (155,)]
    assert mpa(0.012) == (195,)
    of_wall = beside(60e6, "EN-GJL-250", METRIC, 0.012)[-2]
    assert of_wall.startswith("195 MPa in a wall of 20 mm, the next in the table above 12 mm: ")
    assert beside(60e6, "EN-GJL-250", METRIC)[-2].startswith("155 MPa to 250 MPa: ")
    assert mpa(0.1) == mpa(None) == (155, 250)
    assert strengths("EN-GJL-250")[0][1] == (250.0,)


@pytest.mark.parametrize("grade", ["", "good iron", "A48/A48M-03", "GJL-123", "JL/999", "class 99"])
def test_an_unknown_grade_gets_no_strength(grade: str) -> None:
    """Nothing is guessed; the line says which names are known."""
    assert strengths(grade) == []
    assert "no published strength" in beside(60e6, grade, METRIC)[1]


@pytest.mark.parametrize("grade", ["ASTM A48 class 30", "JL/200", "EN-GJL-250", "no grade"])
def test_it_never_rates(grade: str) -> None:
    """No share of a strength, no margin, no verdict; the last line says so."""
    for shown in (METRIC, Shown("us")):
        *lines, last = beside(60e6, grade, shown)
        assert last == NO_RATING
        assert not any(
            word in " ".join(lines) for word in ("%", "safe", "factor", "passed", "holds")
        )
    assert "8.7 ksi" in beside(60e6, grade, Shown("us"))[0]
