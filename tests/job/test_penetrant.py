"""Penetration times: the fixtures of the project's trade facts, and the ends of each range."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.job.penetrant import Dwell, Refused, dwell, outside, welds_s
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


def test_ordinary_temperature_has_both_its_ends() -> None:
    """Row N04: from 15.5 to 37 °C as it is; 60 °F, as it is published too, are 15.56 °C."""
    assert (minutes(10, 15.49), minutes(10, 15.5), minutes(10, 15.56)) == (20, 10, 10)
    assert (minutes(20, 37.0), minutes(20, 37.01)) == (20, 10)
    assert (minutes(10, 4.0), minutes(12, 49.0)) == (20, 6)


@pytest.mark.parametrize("surface_c", [4.0, 10.0, 15.5, 20.0, 37.0, 45.0])
def test_it_is_never_under_five_minutes_whatever_the_maker_says(surface_c: float) -> None:
    """Row N01 (ISO 3452-1 clause 8.4.2, seen in the primary text): 5 to 60 min, in every range."""
    for base_min in (0.5, 2.0, 2.5):
        answer = dwell(base_min * MIN_S, surface_c, service_crack=False)
        assert isinstance(answer, Dwell)
        assert answer.time_s == 300.0
    # 4 min twice is enough by itself.
    assert minutes(4, 10.0) == 8


def test_the_five_minutes_name_their_row() -> None:
    """N01 where it decides, and only there: N04c has its own 5 min."""
    rows = {}
    for surface_c, base_s in ((20.0, 120.0), (20.0, 600.0), (45.0, 120.0)):
        answer = dwell(base_s, surface_c, service_crack=False)
        assert isinstance(answer, Dwell)
        rows[surface_c, base_s] = [fact.id for fact in answer.rows]
    assert list(rows.values()) == [["N04a", "N01"], ["N04a"], ["N04c"]]


@pytest.mark.parametrize("surface_c", [3.0, 50.0, -20.0, 260.0, math.nan, math.inf])
def test_outside_4_to_49_degrees_it_is_refused(surface_c: float) -> None:
    """Row N04: 3 and 50 °C are refused, in a sentence with both limits, in the user's units."""
    answer = dwell(600.0, surface_c, service_crack=True)

    assert isinstance(answer, Refused)
    assert "from 4 °C to 49 °C" in answer.told(Shown("metric"))
    assert "from 39 °F to 120 °F" in answer.told(Shown("us"))


def test_a_surface_just_outside_is_not_rounded_into_the_range() -> None:
    """3.9 °C are not "at 4 °C"; 4 °C are 39.2 °F and 49 °C are 120.2 °F."""
    told = {}
    for surface_c in (3.9, 3.94, 3.96, 49.04):
        answer = dwell(600.0, surface_c, service_crack=False)
        assert isinstance(answer, Refused)
        told[surface_c] = [answer.told(Shown(system)).split("surface ")[1].split(";")[0]
                           for system in ("metric", "us")]  # fmt: skip
    assert told == {
        3.9: ["at 3.9 °C: it works from 4.0 °C to 49.0 °C",
              "at 39.0 °F: it works from 39.2 °F to 120.2 °F"],
        3.94: ["at 3.9 °C: it works from 4.0 °C to 49.0 °C",
               "at 39.1 °F: it works from 39.2 °F to 120.2 °F"],
        3.96: ["at 3.96 °C: it works from 4.00 °C to 49.00 °C",
               "at 39.1 °F: it works from 39.2 °F to 120.2 °F"],
        49.04: ["at 49.04 °C: it works from 4.00 °C to 49.00 °C",
                "at 120.3 °F: it works from 39.2 °F to 120.2 °F"],
    }  # fmt: skip


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
    least = 30.0 if service_crack else max(0.5 * base_min, 5.0)
    assert least - 1e-9 <= answer.time_s / MIN_S <= max(2.0 * base_min, 30.0) + 1e-9
    assert all(fact.id[:3] in ("N04", "N01") for fact in answer.rows)


def test_other_rules_have_other_ranges() -> None:
    """Row N06 (ISO 3452-1, from memory): 10-50 °C; row N07 (secondary page): 4-52 °C in two."""
    told = {at_c: [fact.id for fact in outside(at_c)] for at_c in (6.0, 20.0, 50.0, 51.0, 53.0)}
    assert told == {6.0: ["N06"], 20.0: [], 50.0: [], 51.0: ["N06"], 53.0: ["N06", "N07"]}


def test_the_rule_for_welds_in_steel_doubles_its_time_in_the_cold() -> None:
    """Row N07 (secondary page): 5 min at 10-52 °C, 10 min at 4-10 °C, none beyond."""
    told = {at_c: welds_s(at_c) for at_c in (3.0, 4.0, 8.0, 10.0, 20.0, 52.0, 53.0)}

    assert told == {
        3.0: None,
        4.0: 600.0,
        8.0: 600.0,
        10.0: 300.0,
        20.0: 300.0,
        52.0: 300.0,
        53.0: None,
    }
