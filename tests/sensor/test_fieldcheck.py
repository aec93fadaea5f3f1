"""The field check's arithmetic: what counts as steady, what is refused and why, the correction."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.heat.thermocouple import emf_mv, temp_c
from pacer.sensor.listening.fieldcheck import (
    Sample,
    Steady,
    boil_doubt,
    ice_doubt,
    steady,
    two_points,
    uncertainty_dc,
)
from pacer.sensor.url import parse_url
from pacer.session.events import Channel
from pacer.units import Shown

BOILS_C = 98.6
METRIC = Shown("metric")
PLAIN = Channel(name="", unit="degC")


def samples(*temps_c: float, every_s: float = 1.0) -> list[Sample]:
    """Readings at a steady pace; data invented."""
    return [Sample(at * every_s, value, value) for at, value in enumerate(temps_c)]


def read_as(temp_c: float, raw: float | None = None) -> Steady:
    """A value that stood still."""
    return Steady(temp_c, 0.2, temp_c if raw is None else raw, 20, 20.0)


def test_twenty_quiet_seconds_are_steady_and_a_spike_in_them_does_not_count() -> None:
    """811 °C for one reading moves the value by less than the noise."""
    quiet = [0.4, 0.5] * 11
    quiet[5] = 811.0
    found = steady(samples(*quiet))
    assert isinstance(found, Steady)
    assert found.value_c == pytest.approx(0.45, abs=0.01)
    assert found.readings == 21


@pytest.mark.parametrize(
    ("temps_c", "every_s", "why"),
    [
        ([], 1.0, "0 readings"),
        ([0.4] * 15, 1.0, "15 readings, 14 of 20 s"),
        ([0.4] * 9, 3.0, "7 readings, 18 of 20 s"),
        ([12.0 - 0.1 * at for at in range(25)], 1.0, "still falling"),
        ([70.0 + 0.08 * at for at in range(25)], 1.0, "still rising"),
        ([96.0, 99.0] * 12, 1.0, "spread over 3.0 K"),
    ],
)
def test_what_is_not_steady_is_told_why(temps_c: list[float], every_s: float, why: str) -> None:
    """Too short, too few, drifting, spread."""
    found = steady(samples(*temps_c, every_s=every_s))
    assert isinstance(found, str)
    assert why in found


def test_what_was_before_the_window_is_forgotten() -> None:
    """From the hand into the ice: steady twenty seconds after it stopped falling."""
    falling = [30.0 * math.exp(-at / 3.0) + 0.4 for at in range(60)]
    steady_from = next(at for at in range(60) if isinstance(steady(samples(*falling[:at])), Steady))
    assert 20 < steady_from < 45
    found = steady(samples(*falling[:steady_from]))
    assert isinstance(found, Steady)
    assert found.value_c == pytest.approx(0.4, abs=0.4)


def test_a_display_of_whole_degrees_can_be_steady() -> None:
    """It goes between two numbers, and says by how often where between them it is."""
    found = steady(samples(*[0.0, 1.0, 1.0, 0.0, 1.0] * 5))
    assert isinstance(found, Steady)
    assert found.value_c == pytest.approx(0.6, abs=0.05)


@given(
    ice_c=st.floats(-6.0, 6.0),
    boil_off_dc=st.floats(-8.0, 8.0),
    boils_at_c=st.floats(85.0, 101.0),
)
def test_the_line_goes_through_both_points(
    ice_c: float, boil_off_dc: float, boils_at_c: float
) -> None:
    """Whatever the check lets pass."""
    boil_c = boils_at_c + boil_off_dc
    line = two_points(ice_c, boil_c, boils_at_c)
    assert line.at(ice_c) == pytest.approx(0.0, abs=1e-9)
    assert line.at(boil_c) == pytest.approx(boils_at_c, abs=1e-9)


def test_a_correction_worked_by_hand() -> None:
    """Ice 1 °C, boiling 101 °C where 98 °C is true: 98 K of 100 K, so 0.98 and -0.98 K."""
    line = two_points(1.0, 101.0, 98.0)
    assert line.scale == pytest.approx(0.98, abs=1e-12)
    assert line.offset_dc == pytest.approx(-0.98, abs=1e-12)
    assert line.at(260.0) == pytest.approx(0.98 * 260.0 - 0.98, abs=1e-9)


def test_two_points_that_are_one_make_no_line() -> None:
    """The ice twice: nothing is divided by nothing."""
    with pytest.raises(ValueError, match="expected some"):
        two_points(0.4, 0.5, BOILS_C)


def test_the_uncertainty_grows_outside_the_two_points() -> None:
    """At a point it is that point's own; at 260 °C it is two to three times as large."""
    at_ice, at_boil, at_preheat = (
        uncertainty_dc(at_c, 0.2, 0.3, 100.0) for at_c in (0.0, 100.0, 260.0)
    )
    assert (at_ice, at_boil) == pytest.approx((0.2, 0.3))
    # By hand: (1.6 * 0.2)^2 + (2.6 * 0.3)^2 = 0.7108.
    assert at_preheat == pytest.approx(0.7108**0.5, abs=1e-9)


@pytest.mark.parametrize("temp_c", [-6.0, -0.3, 0.0, 2.0, 6.0])
def test_near_enough_in_ice_is_no_doubt(temp_c: float) -> None:
    """Within 6 K the correction takes it."""
    assert ice_doubt(PLAIN, read_as(temp_c), "degC", METRIC) == ""


@pytest.mark.parametrize("off_dc", [-8.0, 0.0, 8.0])
def test_near_enough_in_boiling_water_is_no_doubt(off_dc: float) -> None:
    """Within 8 K the correction takes it."""
    assert boil_doubt(PLAIN, read_as(BOILS_C + off_dc), "degC", BOILS_C, METRIC) == ""


@pytest.mark.parametrize(
    ("unit", "sent", "right"),
    [
        ("degC", 32.4, "degF"),
        ("degC", 273.0, "K"),
        ("degF", 0.3, "degC"),
        ("K", 0.3, "degC"),
    ],
)
def test_a_wrong_unit_is_named_in_the_ice(unit: str, sent: float, right: str) -> None:
    """The numbers are right, the unit isn't: the URL's parameter is named."""
    channel = parse_url(f"loop://?unit={unit}").channel()
    found = read_as(channel.scale * sent + channel.offset_c, raw=sent)
    doubt = ice_doubt(channel, found, unit, METRIC)
    assert f"right in {right}: put unit={right} into the sensor's URL" in doubt


def test_a_wrong_unit_is_named_in_boiling_water() -> None:
    """209.5 °F is 98.6 °C."""
    doubt = boil_doubt(PLAIN, read_as(209.5), "degC", BOILS_C, METRIC)
    assert "put unit=degF" in doubt


def test_swapped_leads_are_named() -> None:
    """Type K in water of 98.6 °C, cold junction 23 °C, by the published polynomials."""
    mv = emf_mv("K", BOILS_C, 23.0)
    assert mv is not None
    shown_c = temp_c("K", -mv, 23.0)
    assert shown_c is not None
    assert "leads look swapped" in boil_doubt(PLAIN, read_as(shown_c), "degC", BOILS_C, METRIC)


@pytest.mark.parametrize("wire", ["J", "N", "E"])
def test_another_wire_than_the_meter_is_set_to_is_named(wire: str) -> None:
    """A meter set to K, by the published polynomials."""
    mv = emf_mv(wire, BOILS_C, 23.0)
    assert mv is not None
    shown_c = temp_c("K", mv, 23.0)
    assert shown_c is not None
    doubt = boil_doubt(PLAIN, read_as(shown_c), "degC", BOILS_C, METRIC)
    assert f"if the meter is set to K, the wire may be type {wire}" in doubt


@pytest.mark.parametrize(
    ("temp_c", "words"),
    [(12.0, "not among the ice"), (-20.0, "leads may be swapped"), (60.0, "touches the vessel")],
)
def test_the_other_causes_in_ice_are_told(temp_c: float, words: str) -> None:
    """One line, with what was read."""
    doubt = ice_doubt(PLAIN, read_as(temp_c), "degC", METRIC)
    assert doubt.startswith(f"{temp_c:.1f} °C in melting ice: ")
    assert words in doubt
    assert "\n" not in doubt


@pytest.mark.parametrize(
    ("temp_c", "words"),
    [(85.0, "only in the steam"), (0.5, "what the ice read"), (115.0, "hot bottom")],
)
def test_the_other_causes_in_boiling_water_are_told(temp_c: float, words: str) -> None:
    """One line, with what was read and what was expected."""
    doubt = boil_doubt(PLAIN, read_as(temp_c), "degC", BOILS_C, METRIC)
    assert doubt.startswith(f"{temp_c:.1f} °C in water that boils at 98.6 °C: ")
    assert words in doubt


def test_the_doubts_speak_the_users_units() -> None:
    """A shop that shows °F."""
    doubt = ice_doubt(PLAIN, read_as(20.0), "degC", Shown("us"))
    assert doubt.startswith("68.0 °F in melting ice: ")
