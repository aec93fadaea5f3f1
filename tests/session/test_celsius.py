"""Raw values in °C: marks of a line, thermocouple voltages, the cold junction's channel.

Voltages are those that NIST printed (tests/data/nist): K 0.919 mV at 23 °C, 10.561 at 260,
J 1.174 at 23, 14.110 at 260.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.heat.thermocouple import LETTERS, Letter
from pacer.session import celsius
from pacer.session.celsius import corrected, degrees
from pacer.session.events import (
    ArcSignal,
    Channel,
    Correction,
    Reading,
    Status,
    Thermocouple,
)

FIXED = Channel("", "mV", thermocouple=Thermocouple("K", cj_c=23.0))
BY_T2 = Channel("t1", "mV", thermocouple=Thermocouple("K", cj="t2"))
NEAR_C = 0.03
"The printed rounding, 0.0005 mV on each of two voltages, over K's 0.041 mV a degree."


def line(*raw: float | str | None, units: tuple[str, ...] | None = None) -> Reading:
    """A line of good values."""
    return Reading(t_ms=0, raw=raw, status="ok", units=units)


def only_c(channel: Channel, reading: Reading) -> float:
    """The one temperature that a line has."""
    (found,) = degrees(channel, reading)
    assert found.why == ""
    assert found.temp_c is not None
    return found.temp_c


def test_degrees_pass_as_they_are() -> None:
    """No conversion, no rounding."""
    assert only_c(Channel("", "degC"), line(231.4)) == 231.4


@pytest.mark.parametrize(
    ("raw", "mark", "expected_c"),
    [(231.4, "degC", 231.4), (212.0, "degF", 100.0), (32.0, "degF", 0.0), (373.15, "K", 100.0)],
)
@pytest.mark.parametrize("channel", [Channel("", "degF", 5 / 9, -160 / 9), FIXED])
def test_what_the_line_marks_comes_before_what_the_source_was_said_to_send(
    channel: Channel, raw: float, mark: str, expected_c: float
) -> None:
    """Also where the source was said to send voltages."""
    assert only_c(channel, line(raw, units=(mark,))) == pytest.approx(expected_c, abs=1e-9)


def test_a_voltage_and_a_fixed_cold_junction_give_the_printed_temperature() -> None:
    """K at 260 °C and 23 °C."""
    assert only_c(FIXED, line(10.561 - 0.919)) == pytest.approx(260.0, abs=NEAR_C)


@pytest.mark.parametrize(
    ("unit", "scale", "raw"), [("mV", 1.0, 9.642), ("uV", 0.001, 9642.0), ("V", 1000.0, 0.009642)]
)
def test_microvolts_and_volts_are_the_same_voltage(unit: str, scale: float, raw: float) -> None:
    """By the source's unit, and by the line's mark whatever the source's unit is."""
    by_unit = Channel("", unit, scale, thermocouple=Thermocouple("K", cj_c=23.0))

    assert only_c(by_unit, line(raw)) == pytest.approx(260.0, abs=NEAR_C)
    assert only_c(FIXED, line(raw, units=(unit,))) == pytest.approx(260.0, abs=NEAR_C)
    assert only_c(by_unit, line(9.642, units=("mV",))) == pytest.approx(260.0, abs=NEAR_C)


def test_the_cold_junction_s_channel_is_used_and_is_no_temperature_of_the_part() -> None:
    """t2 at 23 °C; the line has one temperature only."""
    found = degrees(BY_T2, line(9.642, 23.0))

    assert [one.name for one in found] == ["t1"]
    assert found[0].temp_c == pytest.approx(260.0, abs=NEAR_C)


def test_a_warmer_cold_junction_means_a_hotter_part() -> None:
    """K at 40 °C is 1.612 mV: 9.642 + 1.612 = 11.254 mV, between 11.217 (276 °C) and 11.259 (277 °C)."""
    assert only_c(BY_T2, line(9.642, 40.0)) == pytest.approx(276 + 37 / 42, abs=NEAR_C)


def test_a_cold_junction_marked_in_fahrenheit_is_one() -> None:
    """73.4 °F is 23 °C."""
    reading = line(9.642, 73.4, units=("", "degF"))

    assert only_c(BY_T2, reading) == pytest.approx(260.0, abs=NEAR_C)


def test_several_thermocouples_share_the_cold_junction_and_the_arc_s_channel_is_left_out() -> None:
    """t1 and t3 in one line; t4 is a current clamp."""
    arc = ArcSignal(name="t4", on=20.0, off=10.0)
    channel = Channel("t1", "mV", arc=arc, thermocouple=Thermocouple("K", cj="t2"))

    found = degrees(channel, line(9.642, 23.0, 0.0, 65.0))

    assert [one.name for one in found] == ["t1", "t3"]
    assert [one.temp_c for one in found] == pytest.approx([260.0, 23.0], abs=NEAR_C)


@pytest.mark.parametrize(
    ("reading", "why"),
    [
        (line(60.0, 23.0), celsius.OUT_OF_TYPE.format(letter="K")),
        (line(-9.642, 23.0), celsius.OUT_OF_TYPE.format(letter="K")),
        (line(9.642), celsius.NO_COLD_JUNCTION),
        (line(9.642, None), celsius.NO_COLD_JUNCTION),
        (line(9.642, 23.0, units=("", "mV")), celsius.NO_COLD_JUNCTION),
        (Reading(t_ms=0, raw=(9.642, "OPEN"), status=("ok", "open")), celsius.NO_COLD_JUNCTION),
        (line(9.642, 296.0), celsius.COLD_JUNCTION_OUT),
        (line(None, 23.0), "missing"),
    ],
)
def test_a_voltage_that_has_no_temperature_says_why(reading: Reading, why: str) -> None:
    """Swapped leads at 260 °C are below anything K gives; 296 is 23 °C in K without a mark."""
    (found,) = degrees(BY_T2, reading)

    assert (found.temp_c, found.why) == (None, why)


@pytest.mark.parametrize("status", ["open", "short", "unparsable"])
def test_what_the_decoder_said_of_a_value_stays(status: Status) -> None:
    """The fold asks the status first."""
    (found,) = degrees(FIXED, Reading(t_ms=0, raw=("x",), status=status))

    assert (found.temp_c, found.status, found.why) == (None, status, "")


def test_a_marked_voltage_of_a_source_of_degrees_is_not_taken_for_degrees() -> None:
    """9.642 mV is not 9.642 °C."""
    (found,) = degrees(Channel("", "degC"), line(9.642, units=("mV",)))

    assert (found.temp_c, found.why) == (None, celsius.A_VOLTAGE)


def test_a_correction_is_applied_to_its_channel_only() -> None:
    """A field check found 0.4 °C at ice and 99.4 of 100 at boiling."""
    made = Correction(1.0101, -0.404, "2026-01-02", "ice, boiling water", channel="t1")
    channel = Channel("t1", "degC", corrections=(made,))

    assert corrected(channel, "t1", 99.4) == pytest.approx(100.0, abs=0.01)
    assert corrected(channel, "t2", 99.4) == 99.4


@pytest.mark.slow
@given(
    st.lists(st.none() | st.floats() | st.text(max_size=3), min_size=1, max_size=4),
    st.sampled_from(LETTERS),
    st.sampled_from(["", "t2", "t9"]),
    st.sampled_from(["", "degF", "mV", "V", "furlong"]),
)
def test_any_line_has_an_answer(
    raw: list[float | str | None], letter: Letter, cj: str, mark: str
) -> None:
    """Pure and total: a temperature or a reason."""
    wire = Thermocouple(letter, cj=cj, cj_c=None if cj else 23.0)
    channel = Channel("", "mV", thermocouple=wire)
    marks = (mark,) * len(raw)
    for found in degrees(channel, Reading(t_ms=0, raw=tuple(raw), status="ok", units=marks)):
        assert (found.temp_c is None) == bool(found.why)
        if found.temp_c is not None and mark not in celsius.MARKS:
            assert math.isfinite(found.temp_c)
