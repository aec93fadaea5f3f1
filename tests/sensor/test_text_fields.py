"""Lines without names, and their headers: separators, quotes, times, counts, decimal commas."""

from __future__ import annotations

import pytest
from lines_in import numbers, one, told

from pacer.sensor.text.lines import Decoder
from pacer.session.events import Reading


def under(header: bytes, line: bytes) -> Reading:
    """Return a line read under its header."""
    (reading,) = Decoder().feed(header + b"\n" + line + b"\n")
    return reading


@pytest.mark.parametrize(
    ("header", "line", "names", "units"),
    [
        (b"foot,flange", b"300,290", ("foot", "flange"), None),
        (b"T1 (\xc2\xb0C),t2[F]", b"300,554", ("T1", "t2"), ("degC", "degF")),
        (b"TC1/\xb0F;TC2/\xf8F", b"572;554", ("TC1", "TC2"), ("degF", "degF")),
        (b"temp_degC\tcase_degF", b"300\t75", ("temp_degC", "case_degF"), ("degC", "degF")),
        (b'"Foot, low (C)","Top (C)"', b"300,290", None, None),
        (b'"Foot low (C)","Top (C)"', b'"300","290"', ("Foot_low", "Top"), ("degC", "degC")),
        (b"Probe 1,Probe 2", b"300,290", ("Probe_1", "Probe_2"), None),
        (b"# T1;T2", b"300;290", ("T1", "T2"), None),
        (b"Temp (K)", b"573.6", ("Temp",), ("K",)),
        (b"temp_degC", b"300.5", ("temp_degC",), ("degC",)),
        (b"T1 (foot);T2 (flange);Flow [l/min]", b"300;290;4", ("T1", "T2"), None),
    ],
)
def test_a_header_names_its_columns_and_their_units(
    header: bytes, line: bytes, names: tuple[str, ...] | None, units: tuple[str, ...] | None
) -> None:
    """Names as they are in the header, without unit; a name with a comma can't be a channel's."""
    if names is None:
        readings = Decoder().feed(header + b"\n")
        assert [reading.status for reading in readings] == ["unparsable"]
        return
    reading = under(header, line)
    assert reading.names == names
    assert reading.units == units
    assert reading.status == "ok"


@pytest.mark.parametrize(
    "line",
    [
        b"Booting, please wait",
        b"Copyright (C)",
        b"ready",
        b"T1,T1",
        b"OPEN,SHORT",
        b"T1 (C),T1 (F)",
    ],
)
def test_a_greeting_is_no_header(line: bytes) -> None:
    """Boards print all sorts of words."""
    decoder = Decoder()

    assert [reading.status for reading in decoder.feed(line + b"\n")] == ["unparsable"] or (
        one(line).statuses() == ("open", "short")
    )
    assert decoder.headers == 0


@pytest.mark.parametrize(
    "header",
    [
        b"time,T1", b"Time (s),T1", b"ms,T1", b"date,T1", b"id,T1", b"No,T1", b"count,T1",
        b"timestamp,T1", b"time_ms,T1", b"seq,T1", b"Current (A),T1", b"index;T1",
    ],
)  # fmt: skip
def test_columns_of_time_number_and_other_things_never_decide(header: bytes) -> None:
    """They are left out, whatever number they have: the first channel with a number decides."""
    separator = b";" if b";" in header else b","
    reading = under(header, b"300" + separator + b"20.5")

    assert reading.names == ("T1",)
    assert reading.raw == (20.5,)


def test_a_column_of_units_marks_the_values_of_its_line() -> None:
    """`value,unit` and `572,F` below it."""
    reading = under(b"foot,unit,logged", b"572,F,2026-11-25T10:00:00")

    assert reading.names == ("foot",)
    assert reading.units == ("degF",)


def test_a_column_of_states_is_left_out_until_it_tells_of_a_fault() -> None:
    """OK is no temperature; a last good number that a board repeats beside OPEN is none either."""
    decoder = Decoder()
    sound, broken = decoder.feed(b"T1,status\n300.5,OK\n25.0,OPEN\n")

    assert sound.raw == (300.5,)
    assert broken.statuses() == ("open", "open")
    assert broken.raw == ("25.0", "OPEN")


def test_a_column_the_url_asks_for_stays() -> None:
    """`channel=count`, `arc=ms`: asked is asked."""
    decoder = told(asked=frozenset({"count"}), decides="count")
    (reading,) = decoder.feed(b"count,T1\n7,20.5\n")

    assert reading.names == ("count", "T1")


@pytest.mark.parametrize(
    ("line", "raw"),
    [
        (b"2026-11-25T10:00:00 300.5", (300.5,)),
        (b"2026-11-25 10:00:00,300.5", (300.5,)),
        (b"2026-11-25T10:00:00.250Z;300.5;290.5", (300.5, 290.5)),
        (b"2026-11-25T10:00:00+01:00\t300.5", (300.5,)),
        (b"2026-11-25;10:00:00;300.5", (300.5,)),
        (b"10:00:00 300.5 C", (300.5,)),
        (b"[10:00:00] T1=300.5", (300.5,)),
        (b"time=10:00:00 T1=300.5", (300.5,)),
        (b"25.11.2026 10:00;300.5", (300.5,)),
        (b"11/25/2026 10:00:00 PM,300.5", (300.5,)),
        (b'{"at": "2026-11-25T10:00:00Z", "t": 300.5}', (300.5,)),
    ],
)
def test_a_time_of_iso_8601_is_no_value(line: bytes, raw: tuple[float, ...]) -> None:
    """ISO 8601: a colon or two hyphens, which no number has."""
    assert one(line).raw == raw


@pytest.mark.parametrize("line", [b"10:00:00", b"2026-11-25T10:00:00", b"2026-11-25,10:00:00"])
def test_a_time_alone_is_no_reading(line: bytes) -> None:
    """Nothing is left to read."""
    assert one(line).status == "unparsable"


def test_a_count_before_a_number_is_told_from_a_channel_by_its_steps() -> None:
    """Our rule (times.py, JUDG): three equal steps make a count; it never was a reading."""
    heard = Decoder().feed(b"".join(b"%d,20.%d\n" % (1000 * i, i) for i in range(1, 7)))

    assert [numbers(reading) for reading in heard] == [[], [], [], [20.4], [20.5], [20.6]]
    assert heard[-1].names == ("t2",)
    assert "channel=t2" in str(heard[0].why)


def test_a_whole_numbered_channel_is_known_by_its_unequal_steps() -> None:
    """Heat doesn't count."""
    heard = Decoder().feed(b"300,20.5\n301,20.5\n301,20.6\n302,20.6\n")

    assert [numbers(reading) for reading in heard] == [[], [], [301.0, 20.6], [302.0, 20.6]]


def test_rising_by_unequal_steps_is_no_count_either() -> None:
    """20, 21, 26: a part that is being heated."""
    heard = Decoder().feed(b"20,20.5\n21,20.5\n26,20.6\n")

    assert [numbers(reading) for reading in heard] == [[], [], [26.0, 20.6]]


def test_a_board_that_restarts_counts_anew() -> None:
    """Its count goes back; that makes no temperature of it."""
    lines = [*range(50, 56), *range(1, 6)]
    heard = Decoder().feed(b"".join(b"%d,20.5\n" % i for i in lines))

    assert {number for reading in heard for number in numbers(reading)} == {20.5}


@pytest.mark.parametrize("line", [b"300,20.5", b"1,20.5"])
def test_no_count_is_looked_for_where_the_url_names_the_channel(line: bytes) -> None:
    """Nothing is in doubt then, and no line is lost."""
    assert one(line, told(decides="t2", asked=frozenset({"t2"}))).raw[1] == 20.5


@pytest.mark.parametrize(
    ("line", "raw"),
    [
        (b"300,5", (300.5,)),
        (b"-12,25", (-12.25,)),
        (b"300,5;290,1", (300.5, 290.1)),
        (b"300,5\t290", (300.5, 290.0)),
        (b"300,5 290,1", (300.5, 290.1)),
        (b"T1=300,5;T2=290", (300.5, 290.0)),
        (b"T1=300,5 T2=290,1", (300.5, 290.1)),
        (b"300,5 C", (300.5,)),
        (b"300,5 \xb0C;290,1 \xb0C", (300.5, 290.1)),
        (b"25.11.2026 10:00:00;300,5", (300.5,)),
        (b'"300,5";"290,1"', (300.5, 290.1)),
    ],
)
def test_a_decimal_comma_is_read_where_the_url_tells_of_it(
    line: bytes, raw: tuple[float, ...]
) -> None:
    """`decimal=comma`: then `;`, tabs and blanks separate."""
    assert one(line, told(comma=True)).raw == raw


@pytest.mark.parametrize("line", [b"300.5", b"1.234,5", b"1,234.5", b"300,5,2", b"T1=300.5", b","])
def test_a_point_is_refused_where_the_decimal_sign_is_a_comma(line: bytes) -> None:
    """A point may set thousands apart: 1.234 is one degree or a thousand."""
    assert numbers(one(line, told(comma=True))) == []


def test_fault_words_have_no_decimal_comma() -> None:
    """O.L. is no number."""
    assert one(b"O.L.", told(comma=True)).status == "open"
    assert one(b"9,9E37", told(comma=True)).status == "open"
    assert one(b"---,-", told(comma=True)).status == "unparsable"


@pytest.mark.parametrize("line", [b'"300.5', b'300.5"', b'"300.5"x;2', b'"a""'])
def test_quotes_that_do_not_close_are_refused(line: bytes) -> None:
    """RFC 4180, section 2: quotes stand around the whole field."""
    assert numbers(one(line)) == []


@pytest.mark.parametrize(
    "line", [b"wdt: 5", b"baud: 9600", b"err: 5", b"rst:0x1", b"load:0x3f,len:4"]
)
def test_what_a_board_prints_with_a_colon_is_no_reading(line: bytes) -> None:
    """A colon needs a name of a temperature, a decimal point or a unit."""
    assert numbers(one(line)) == []


@pytest.mark.parametrize(
    "line", [b"Temp: 300", b"T1: 300, T2: 290", b"foot: 300.5", b"foot: 300 C"]
)
def test_names_and_values_may_be_set_apart_by_colons(line: bytes) -> None:
    """Common practice, no source."""
    assert one(line).status == "ok"


def test_a_name_of_two_words_is_joined() -> None:
    """So that it can stand in a URL."""
    assert one(b"Probe low = 23.5").names == ("Probe_low",)
