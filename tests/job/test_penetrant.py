"""Penetration times: the fixtures of the project's trade facts, and the ends of each range."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.job.penetrant import Dwell, Refused, dwell, outside
from pacer.units import Shown

MIN_S = 60.0


def minutes(base_min: float, surface_c: float, *, service_crack: bool = False) -> float:
    """Penetration time in min; the test fails where it is refused."""
    answer = dwell(base_min * MIN_S, surface_c, service_crack=service_crack)
    assert isinstance(answer, Dwell)
    return answer.time_s / MIN_S


# US Air Force T.O. 33B-1-1 section 2.4.5.5.2.5.4, row N04, seen in the primary text: as it is
# at 15.5-37 °C, twice at 4-15.5 °C, at 37-49 °C half but at least 5 min.
N04 = [(20, 10, 10), (10, 10, 20), (45, 10, 5), (40, 8, 5)]


@pytest.mark.parametrize(("surface_c", "base_min", "result_min"), N04)
def test_the_time_follows_the_surface_s_temperature(
    surface_c: float, base_min: float, result_min: float
) -> None:
    """Row N04's own examples: cast iron, 20 °C 10 min; 10 °C 20; 45 °C 5; 40 °C and 8 min: 5."""
    assert minutes(base_min, surface_c) == result_min


@pytest.mark.parametrize("surface_c", [4.0, 10.0, 20.0, 37.0, 45.0, 49.0])
@pytest.mark.parametrize("base_min", [5.0, 10.0, 20.0, 40.0])
def test_a_crack_from_service_takes_at_least_half_an_hour(
    surface_c: float, base_min: float
) -> None:
    """Row N04: any time, service-induced: max(…, 30)."""
    plain = minutes(base_min, surface_c)
    assert minutes(base_min, surface_c, service_crack=True) == max(plain, 30.0)


def test_where_two_ranges_meet_the_longer_time_counts() -> None:
    """15.5 and 37 °C stand in two ranges each: the longer is the careful reading (our choice)."""
    assert (minutes(10, 15.5), minutes(10, 15.51)) == (20, 10)
    assert (minutes(20, 37.0), minutes(20, 37.01)) == (20, 10)
    assert (minutes(10, 4.0), minutes(12, 49.0)) == (20, 6)


@pytest.mark.parametrize("surface_c", [3.0, 3.99, 49.01, 50.0, -20.0, 260.0, math.nan, math.inf])
def test_outside_4_to_49_degrees_it_is_refused(surface_c: float) -> None:
    """Row N04: 3 and 50 °C are refused, in a sentence with both limits, in the user's units."""
    answer = dwell(600.0, surface_c, service_crack=True)

    assert isinstance(answer, Refused)
    assert "from 4 °C to 49 °C" in answer.told(Shown("metric"))
    assert "from 39 °F to 120 °F" in answer.told(Shown("us"))


def test_a_refusal_says_which_way_to_go() -> None:
    """Too cold: warm it. Too hot: the cool-down is not over."""
    cold, hot = (dwell(600.0, at_c, service_crack=False) for at_c in (3.0, 60.0))
    assert isinstance(cold, Refused)
    assert isinstance(hot, Refused)
    assert "at 3 °C" in cold.told(Shown("metric"))
    assert "warm the part" in cold.told(Shown("metric"))
    assert "let the part cool" in hot.told(Shown("metric"))


@given(surface_c=st.floats(4.0, 49.0), base_min=st.floats(1.0, 60.0), service_crack=st.booleans())
def test_it_is_never_under_half_the_maker_s_time_nor_over_twice(
    surface_c: float, base_min: float, service_crack: bool
) -> None:
    """Each answer names the rows it follows from."""
    answer = dwell(base_min * MIN_S, surface_c, service_crack=service_crack)
    assert isinstance(answer, Dwell)
    least = 30.0 if service_crack else 0.5 * base_min
    assert least - 1e-9 <= answer.time_s / MIN_S <= max(2.0 * base_min, 30.0) + 1e-9
    assert all(fact.id.startswith("N04") for fact in answer.rows)


def test_other_rules_have_other_ranges() -> None:
    """Row N06 (ISO 3452-1, from memory): 10-50 °C; row N07 (secondary page): 10-52 °C."""
    told = {at_c: [fact.id for fact in outside(at_c)] for at_c in (6.0, 20.0, 50.0, 51.0, 53.0)}
    assert told == {6.0: ["N06", "N07"], 20.0: [], 50.0: [], 51.0: ["N06"], 53.0: ["N06", "N07"]}
