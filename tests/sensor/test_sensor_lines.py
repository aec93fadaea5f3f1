"""The decoder: what a line may be, what is refused and with which code, any chunking."""

from __future__ import annotations

import pytest

from pacer.sensor.text.lines import Decoder
from pacer.sensor.text.split import MAX_LINE, Splitter
from pacer.sensor.text.told import Told
from pacer.sensor.text.values import Span
from pacer.session.events import Reading

FAHRENHEIT = Span(5 / 9, -160 / 9)
"°C = (°F - 32) / 1.8, by definition."


def one(line: bytes, decoder: Decoder | None = None) -> Reading:
    """Return the only reading of one line."""
    (reading,) = (decoder or Decoder()).feed(line + b"\n")
    return reading


@pytest.mark.parametrize(
    ("line", "raw", "names"),
    [
        (b"300.5", (300.5,), None),
        (b"  +300.5\t", (300.5,), None),
        (b"-12.25", (-12.25,), None),
        (b".5", (0.5,), None),
        (b"3.005E2", (300.5,), None),
        (b"0.00", (0.0,), None),
        (b"T1=300.5;T2=290", (300.5, 290.0), ("T1", "T2")),
        (b"T1=300.5,T2=290", (300.5, 290.0), ("T1", "T2")),
        (b"T1=300.5 T2=290;", (300.5, 290.0), ("T1", "T2")),
        (b"foot = 300.5", (300.5,), ("foot",)),
        (b"300.5,290", (300.5, 290.0), None),
        (b"300, 290", (300.0, 290.0), None),
        (b"300;290;", (300.0, 290.0), None),
        (b"300\t290", (300.0, 290.0), None),
        (b"300.5 290.0", (300.5, 290.0), None),
        (b"\x1b[31m300.5\x1b[0m", (300.5,), None),
        (b"\x1b]0;title\x07300.5", (300.5,), None),
    ],
)
def test_a_sound_line_gives_its_numbers(
    line: bytes, raw: tuple[float, ...], names: tuple[str, ...] | None
) -> None:
    """Formats: design.md and ecosystem.md section 2; escapes: reliability.md T-26."""
    assert Reading(t_ms=0, raw=raw, status="ok", names=names) == one(line)


@pytest.mark.parametrize(
    ("line", "code"),
    [
        (b"nan", "open"),
        (b"inf", "unparsable"),
        (b"-Infinity", "unparsable"),
        (b"1e999", "unparsable"),
        (b"1_000", "unparsable"),
        ("٣٠٠".encode(), "unparsable"),
        (b"3,5", "unparsable"),
        (b"231,5", "unparsable"),
        (b"1,234.5", "unparsable"),
        (b"300F", "unparsable"),
        (b"300.5 X", "unparsable"),
        (b"0x1F4", "unparsable"),
        (b"-9999", "open"),
        (b"-9999.0", "open"),
        (b"9.9E37", "open"),
        (b"9.91E+37", "open"),
        (b"2047.75", "unparsable"),
        (b"-273.16", "unparsable"),
        (b"OPEN", "open"),
        (b"open", "open"),
        (b"OL", "open"),
        (b"----", "open"),
        (b"---.-", "open"),
        (b"SHORT", "short"),
        (b"1 000", "unparsable"),
        (b"30\x1b[m0.5", "unparsable"),
        (b"30\x000.5", "unparsable"),
        (b"\xff\xfe300", "unparsable"),
        (b"300.5.1", "unparsable"),
        (b"--300", "unparsable"),
        (b"T1=", "unparsable"),
        (b"T1=300F", "unparsable"),
        (b"T1=300.5;T1=290", "unparsable"),
        (b"T1=300.5;T2", "unparsable"),
        (b"T1=300.5 290", "unparsable"),
        (b"T1=300.5 up T2=290", "unparsable"),
        (b"T1=300,5;T2=290", "unparsable"),
        (b"Booting, please wait", "unparsable"),
        (b",", "unparsable"),
        (b";".join([b"1.5"] * 17), "unparsable"),
    ],
)
def test_no_hostile_value_becomes_a_number(line: bytes, code: str) -> None:
    """reliability.md T-25: each gives its quality code, none a number."""
    reading = one(line)

    assert (code,) == reading.statuses()
    assert not any(isinstance(value, float) for value in reading.raw)
    assert (code == "unparsable") == bool(reading.why)


def test_a_fault_in_one_channel_leaves_the_other_its_number() -> None:
    """One record a line, a word for each channel (events.py, Reading)."""
    reading = one(b"T1=300.5;T2=OPEN;T3=2047.75")

    assert reading.raw == (300.5, "OPEN", "2047.75")
    assert reading.status == ("ok", "open", "unparsable")
    assert reading.why == "2047.75 is above 2000 °C"


def test_an_empty_field_is_a_missing_channel() -> None:
    """reliability.md section 4: a blank counts as an open sensor."""
    reading = one(b"300.5,,290.0")

    assert reading.raw == (300.5, None, 290.0)
    assert reading.status == ("ok", "open", "ok")


def test_the_span_is_that_of_the_source_unit() -> None:
    """-459.67 °F is absolute zero by definition; 2047.75 °F is 1119.9 °C, hot but possible."""
    decoder = Decoder(FAHRENHEIT)

    assert one(b"-459.67", decoder).status == "ok"
    assert one(b"-459.7", decoder).why == "-459.7 is below absolute zero"
    assert one(b"2047.75", decoder).status == "ok"
    assert one(b"3632.5", decoder).why == "3632.5 is above 2000 °C"


def test_whole_numbers_with_commas_pass_once_the_channels_are_known() -> None:
    """Our rule (lines.py): `3,5` is one value or two until something has shown two channels."""
    decoder = Decoder()
    refused = [one(b"231,5", decoder) for _ in range(5)]
    one(b"300.5,290.0", decoder)

    assert {"unparsable"} == {reading.status for reading in refused}
    assert "dialect=csv" in str(refused[0].why)
    assert one(b"231,5", decoder).raw == (231.0, 5.0)
    assert one(b"231,5", Decoder(told=Told(dialect="csv"))).raw == (231.0, 5.0)


def test_a_line_of_names_is_counted_and_names_what_follows() -> None:
    """A CSV header is no reading."""
    decoder = Decoder()

    assert decoder.feed(b"foot,flange\r\n") == []
    assert decoder.headers == 1
    assert one(b"231,240", decoder).names == ("foot", "flange")


def test_a_cut_line_does_not_put_one_channel_in_anothers_place() -> None:
    """reliability.md section 4: channels never fill in for each other silently."""
    decoder = Decoder()
    one(b"300.5,290.0", decoder)
    cut = one(b"290.0", decoder)

    assert cut.status == "unparsable"
    assert cut.why == "found 1 values, expected 2 as before"
    assert one(b"300.5,291.0", decoder).raw == (300.5, 291.0)


def test_a_source_that_really_changed_is_believed_the_third_time() -> None:
    """Our rule (JUDG): two odd lines may be damage, three in a row are the source."""
    decoder = Decoder()
    decoder.feed(b"foot,flange\n300.5,290.0\n")
    statuses = [one(b"290.0", decoder) for _ in range(3)]

    assert [reading.status for reading in statuses] == ["unparsable", "unparsable", "ok"]
    assert statuses[-1].names is None


@pytest.mark.parametrize("end", [b"\n", b"\r\n", b"\r", b"\n\r"])
def test_every_line_end_works_and_blank_lines_are_nothing(end: bytes) -> None:
    """reliability.md T-31: CR only and LFCR too."""
    readings = Decoder().feed(b"1.5" + end + end + b"  " + end + b"2.5" + end + b"3.")

    assert [reading.raw for reading in readings] == [(1.5,), (2.5,)]


def test_line_ends_may_be_mixed() -> None:
    """Only ends that touch are a pair: LF, then CR after the next line, are two."""
    lines = Splitter().feed(b"a\nb\rc\r\nd\n\n")

    assert [(line.number, line.raw) for line in lines] == list(
        enumerate((b"a", b"b", b"c", b"d"), 1)
    )


@pytest.mark.parametrize("end", [b"\n", b"\r\n", b"\r", b"\n\r"])
def test_lines_are_numbered_with_the_blank_ones(end: bytes) -> None:
    """The number is that of an editor, whatever the line end."""
    lines = Splitter().feed(b"a" + end + end + b"b" + end)

    assert [(line.number, line.raw) for line in lines] == [(1, b"a"), (3, b"b")]


def test_a_half_line_waits_for_its_other_half() -> None:
    """ecosystem.md finding 8: a timeout must not make two readings of one."""
    decoder = Decoder()

    assert decoder.feed(b"T1=30") == []
    assert decoder.feed(b"") == []
    assert decoder.feed(b"1.5\r\n")[0].raw == (301.5,)


def test_the_first_line_after_opening_is_thrown_away() -> None:
    """reliability.md T-31: `0.5` may be the end of `300.5`."""
    decoder = Decoder()
    decoder.restart()

    assert [reading.raw for reading in decoder.feed(b"0.5\n300.5\n")] == [(300.5,)]


def test_a_line_of_1024_bytes_is_kept_and_one_more_is_too_long() -> None:
    """Both sides of the limit."""
    fits = b"300." + b"5" * (MAX_LINE - 4)

    assert one(fits).status == "ok"
    assert one(fits + b"5").why == "longer than 1024 bytes"
