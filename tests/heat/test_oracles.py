"""The closed forms, checked before anything is checked against them."""

from __future__ import annotations

import math

import pytest
from oracles import cylinder, slug_test_table, sphere, sphere_in_contact

# heat.md R1: three independent evaluations agreed there (integral, closed form, Talbot);
# status CALC, the book not seen.
R1 = [
    (1.0, 0.01, 0.887864),
    (1.0, 0.1, 0.662104),
    (1.0, 1.0, 0.216243),
    (1.0, 10.0, 0.010111),
    (3.0, 0.01, 0.715162),
    (3.0, 0.1, 0.357585),
    (3.0, 1.0, 0.058924),
    (3.0, 10.0, 0.002826),
    (0.5, 0.01, 0.941360),
    (0.5, 0.1, 0.805066),
    (0.5, 1.0, 0.407642),
    (0.5, 10.0, 0.027006),
]
# heat.md R1b, status CALC.
R1B = [
    (1.0, 0.1, 0.920175),
    (1.0, 1.0, 0.513877),
    (1.0, 10.0, 0.017612),
    (10.0, 0.1, 0.735391),
    (10.0, 1.0, 0.248112),
    (10.0, 10.0, 0.010519),
]


@pytest.mark.parametrize(("b", "tau", "expected"), R1)
def test_a_perfect_conductor_sphere_cools_as_computed_three_ways_before(
    b: float, tau: float, expected: float
) -> None:
    """Sphere in an endless medium, heat.md R1 (CALC; book from memory)."""
    assert sphere(b, tau) == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(("bi", "tau", "expected"), R1B)
def test_a_sphere_behind_a_contact_cools_as_computed_before(
    bi: float, tau: float, expected: float
) -> None:
    """Sphere with contact conductance, b = 1, heat.md R1b (CALC)."""
    assert sphere_in_contact(1.0, bi, tau) == pytest.approx(expected, abs=1e-6)


def test_perfect_contact_is_the_limit_of_ever_better_contact() -> None:
    """Two evaluations that share no code meet: the integral and Talbot's inversion."""
    assert sphere_in_contact(1.0, 1e9, 0.7) == pytest.approx(sphere(1.0, 0.7), abs=1e-7)


def test_a_buried_sphere_cools_by_a_power_law_in_the_end() -> None:
    """theta b tau^1.5 tends to 1/(2 sqrt(pi)): why exponential fits fail (heat.md 2.2)."""
    assert sphere(1.0, 4000.0) * 4000.0**1.5 == pytest.approx(0.5 / math.sqrt(math.pi), rel=2e-3)


def test_the_published_slug_test_table_is_met_in_35_entries() -> None:
    """Cooper, Bredehoeft, Papadopulos 1967 table 1 (SEEN-S in a package's documentation)."""
    rows = list(slug_test_table())
    misses = [abs(cylinder(alpha, beta) - expected) for alpha, beta, expected in rows]

    assert len(rows) == 35
    assert max(misses) <= 5e-4
