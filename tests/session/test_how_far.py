"""How far past its limit: in the limit's unit, by what was measured, in the user's units."""

from __future__ import annotations

import pytest

from pacer.session.finding import Finding, Limit, origin_words
from pacer.session.how_far import how_far
from pacer.units import Shown

TOLD = [
    ("ceiling_c", {"start_c": 330.0, "ceiling_c": 300.0}, "30 K above"),
    ("floor_c", {"start_c": 190.2, "floor_c": 199.0}, "9 K below"),
    ("floor_c", {"start_c": 198.2, "floor_c": 199.0}, "0.8 K below"),
    ("most_c", {"peak_c": 320.0, "ceiling_c": 300.0, "most_c": 305.0}, "15 K above"),
    ("least_c", {"coldest_c": 185.0, "floor_c": 200.0, "least_c": 195.0}, "10 K below"),
    ("until_c", {"temp_c": 68.0, "until_c": 40.0}, "28 K too hot"),
    ("most_m", {"length_m": 0.034, "most_m": 0.029}, "5 mm too long"),
    ("most_arc_s", {"arc_s": 30.0, "most_arc_s": 14.7}, "15.3 s too long"),
    ("least_arc_s", {"arc_s": 6.9, "planned_arc_s": 12.5, "least_arc_s": 7.8}, "5.6 s early"),
    ("late_s", {"after_arc_s": 22.0, "late_s": 10.0, "within_s": 5.0}, "12.0 s too late"),
    ("soak_s", {"held_s": 60.0, "soak_s": 600.0}, "9 min short"),
    ("least_share", {"held_s": 0.0, "hold_s": 300.0, "least_share": 0.8}, "5 min short"),
    ("most_dc", {"spread_dc": 62.0, "most_dc": 50.0}, "12 K more"),
    ("max_rate_c_h", {"rate_c_h": 222.0, "max_rate_c_h": 56.0}, "166 K/h faster"),
    ("least_n", {"laid_n": 5, "planned": 48, "least_n": 40}, "43 of 48 missing"),
]


@pytest.mark.parametrize(("limit", "values", "told"), TOLD)
def test_it_is_the_difference_in_the_limits_own_unit(
    limit: str, values: dict[str, float], told: str
) -> None:
    """As a welder would say it."""
    assert how_far(limit, values, Shown()) == told


def test_a_difference_of_temperatures_is_no_temperature() -> None:
    """9 K are 16 °F, not 48 °F."""
    assert how_far("floor_c", {"start_c": 190.0, "floor_c": 199.0}, Shown("us")) == "16 °F below"


def test_what_is_within_or_not_known_says_nothing() -> None:
    """A note within its limit, a value that is missing, a limit of another kind."""
    assert how_far("floor_c", {"start_c": 200.0, "floor_c": 199.0}, Shown()) == ""
    assert how_far("floor_c", {"floor_c": 199.0}, Shown()) == ""
    assert how_far("run", {"run": 3.0}, Shown()) == ""


def test_where_values_do_not_say_the_multiple_stands_in() -> None:
    """Only there; without a limit and a figure nothing is said."""
    fell = Finding("probe knocked off", 1.0, "", {"allowed_dc": 20.0}, times=2.0)
    fell = Finding(fell.name, 1.0, "", fell.values, limit=Limit("a", "allowed_dc", ""), times=2.0)
    assert fell.how_far(Shown()) == "2 times what is allowed"
    assert Finding("tink heard", 1.0, "").how_far(Shown()) == ""


def test_a_limit_says_where_it_is_from() -> None:
    """`given` is the job's own word: a reader is told where it was given."""
    cold = Finding("x", 1.0, "", {"floor_c": 199.0}, limit=Limit("band.floor", "floor_c", "given"))
    assert cold.said_limit(Shown()) == "band.floor 199 °C (from the job file)"
    assert Finding("x", 1.0, "").said_limit(Shown()) == ""
    assert origin_words("given in service, from memory") == "given in service, from memory"
    assert origin_words("") == "origin not said"
