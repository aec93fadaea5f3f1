"""What the URL says of the lines reaches the decoder, from a port and from a file."""

from __future__ import annotations

import re

import pytest

from pacer.errors import UserInputError
from pacer.sensor.text.lines import Decoder
from pacer.sensor.text.script import Item, Script, Timing
from pacer.sensor.text.told import Told
from pacer.sensor.url import parse_url, span
from pacer.session.events import Reading


def read(url: str, wire: bytes) -> list[Reading]:
    """Return the readings of a source with this URL."""
    parsed = parse_url(url)
    return Decoder(span(parsed.channel()), parsed.told()).feed(wire)


def test_a_unit_that_was_said_is_told_from_the_default() -> None:
    """Only `unit=` in the URL can contradict a line; the default °C gives way to its mark."""
    assert parse_url("file:a.csv").told() == Told()
    assert parse_url("file:a.csv?unit=degC").told().unit == "degC"
    assert read("file:a.csv", b"572 F\n")[0].units == ("degF",)
    assert read("file:a.csv?unit=degC", b"572 F\n")[0].status == "unparsable"


def test_the_channels_of_the_url_are_never_left_out() -> None:
    """`channel=`, `arc=` and `cj=` may be called anything."""
    url = "file:a.csv?channel=no&arc=ms&arc_on=20"
    (reading,) = read(url, b"time=1;no=300.5;ms=65\n")

    assert reading.names == ("no", "ms")
    assert reading.raw == (300.5, 65.0)


def test_a_thermocouples_voltage_is_read_with_its_cold_junction() -> None:
    """`unit=mV&type=K&cj=t2`: two spans in one line."""
    (reading,) = read("file:a.csv?unit=mV&type=K&cj=t2", b"12.209;23.0\n")

    assert reading.raw == (12.209, 23.0)


@pytest.mark.parametrize(
    ("query", "expected"),
    [
        ("decimal=dot", "point or comma"),
        ("decimal=comma&dialect=csv", "one of them"),
        ("dialect=json", "auto or csv"),
        ("decimals=comma", "decimal="),
    ],
)
def test_a_wrong_word_about_the_lines_is_one_clear_line(query: str, expected: str) -> None:
    """Found and expected, before any heat."""
    from pacer.clock import BootClock
    from pacer.sensor.file import open_file

    with pytest.raises(UserInputError, match=re.escape(expected)):
        open_file(parse_url(f"file:-?{query}"), BootClock())


def items(text: bytes, told: Told) -> list[Item]:
    """Return what a script with times in its first column says."""
    script = Script(Decoder(told=told), Timing(None, first_column=True))
    return script.feed(text)


def test_times_with_a_decimal_comma_are_apart_by_semicolons() -> None:
    """`time=first&decimal=comma`: the first comma is the time's own."""
    found = items(b"Zeit;T1 (\xb0C)\n0,5;20,5\n1,0\t21,5\n1,5 !next\n", Told(comma=True))

    assert [item.t_s for item in found] == [0.5, 1.0, 1.5]
    assert isinstance(found[0].event, Reading)
    assert found[0].event.raw == (20.5,)
    assert found[0].event.names == ("T1",)
    assert found[0].event.units == ("degC",)


def test_a_header_with_units_goes_with_times_in_the_first_column() -> None:
    """The time's column is the script's, the others are the decoder's."""
    found = items(b"t_s,foot (C),case (F),count\n0,20.5,75,1\n", Told())

    assert isinstance(found[0].event, Reading)
    assert found[0].event.names == ("foot", "case")
    assert found[0].event.raw == (20.5, 75.0)
    assert found[0].event.units == ("degC", "degF")


def test_a_first_line_with_open_quotes_is_no_header() -> None:
    """It is refused as a time, with its line number."""
    (item,) = items(b'"t_s,foot\n', Told())

    assert isinstance(item.event, Reading)
    assert str(item.event.why).startswith("line 1: found time")
