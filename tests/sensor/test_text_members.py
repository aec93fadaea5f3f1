"""A JSON object or array a line (RFC 8259)."""

from __future__ import annotations

import msgspec
import pytest
from lines_in import numbers, one, told

from pacer.sensor.text.lines import Decoder
from pacer.sensor.text.split import MAX_LINE
from pacer.session.events import Reading


@pytest.mark.parametrize(
    ("line", "raw", "names"),
    [
        (b'{"t1": 300.5, "t2": 290}', (300.5, 290.0), ("t1", "t2")),
        (b'{"a": {"b": 1.5, "c": 2}}', (1.5, 2.0), ("a.b", "a.c")),
        (b'{"t": [300.5, 290]}', (300.5, 290.0), ("t1", "t2")),
        (b'{"a": {"t": [300.5]}}', (300.5,), ("a.t1",)),
        (b"[300.5, 290]", (300.5, 290.0), None),
        (b'{"t": "300.5"}', (300.5,), ("t",)),
        (b'{"Probe 1": 300.5}', (300.5,), ("Probe_1",)),
        (b'{"ok": true, "id": "foot 2", "t": 300.5}', (300.5,), ("t",)),
        (b'{"time": 1764000000, "t": 300.5, "rssi": -60}', (300.5,), ("t",)),
        (b'{"t": 3.005e2}', (300.5,), ("t",)),
        (b'{ "t" : 300.5 }\t', (300.5,), ("t",)),
    ],
)
def test_members_with_numbers_are_channels(
    line: bytes, raw: tuple[float, ...], names: tuple[str, ...] | None
) -> None:
    """Names as they came; what is neither number nor fault word is left out beside numbers."""
    assert Reading(t_ms=0, raw=raw, status="ok", names=names) == one(line)


def test_null_is_an_open_sensor_and_a_fault_word_what_it_says() -> None:
    """A missing value is null, never 0 (reliability.md, section 3)."""
    reading = one(b'{"t1": 300.5, "t2": null, "t3": "OPEN", "t4": "SHORT", "t5": "ERROR"}')

    assert reading.statuses() == ("ok", "open", "open", "short", "unparsable")
    assert reading.raw[:2] == (300.5, "null")


@pytest.mark.parametrize(
    ("line", "why"),
    [
        (b'{"t": 300.5, "t": 20}', 'the name "t" comes twice'),
        (b'{"u": "F", "unit": "C", "t": 1.5}', 'the name "unit" comes twice'),
        (b'{"t 1": 300.5, "t_1": 20}', 'the name "t_1" comes twice'),
        (b'{"t": NaN}', "found NaN, expected a number or null"),
        (b'{"t": -Infinity}', "found -Infinity, expected a number or null"),
        (b'{"t": 1e400}', 'found "1e400", expected a number such as 300.5'),
        (b'{"t": true}', 'found "true", expected a number such as 300.5'),
        (b'{"t": "hot"}', 'found "hot", expected a number such as 300.5'),
        (b'{"a": {"b": {"c": 1}}}', "JSON nested too deeply, expected one level"),
        (b"[[1.5]]", "JSON nested too deeply, expected one level"),
        (b'[{"t": 1.5}]', "JSON nested too deeply, expected one level"),
        (b'{"t": 300.5', "no JSON: expecting ',' delimiter at 12"),
        (b'{"t": 300.5,}', "no JSON: "),
        (b'{"t": 0x1F4}', "no JSON: "),
        (b'{"t": 300.5} 7', "no JSON: extra data at 14"),
        (b"{}", "found only nothing"),
        (b"[]", "found only nothing"),
        (b'{"time": 12}', 'found only "time", expected a temperature'),
        (b'{"t": 20000}', "20000 is above 2000"),
        (b'{"Temperatur am Fu\\u00df": 300.5}', "expected a name and a value"),
        (b'{"\\u001b[2J": 300.5}', "expected a name and a value"),
        ('{"t°": 300.5}'.encode(), "holds bytes that are no plain text"),
    ],
)
def test_what_is_no_object_of_values_is_refused_with_why(line: bytes, why: str) -> None:
    """reliability.md section 0 (4): what the usual readers let through."""
    reading = one(line)

    assert numbers(reading) == []
    assert why in str(reading.why)


@pytest.mark.parametrize("lead", [b"[", b'{"a":', b"[[[["])
def test_no_depth_of_nesting_ends_the_program(lead: bytes) -> None:
    """A RecursionError is no ValueError (reliability.md section 0, 4)."""
    line = (lead * MAX_LINE)[: MAX_LINE - 1]

    assert one(line).status == "unparsable"


def test_nesting_is_refused_too_where_the_stack_is_nearly_used_up() -> None:
    """The depth that a reader bears depends on who called it."""

    def called(depth: int) -> Reading:
        return called(depth - 1) if depth else one(b"[" * (MAX_LINE - 1))

    assert called(600).status == "unparsable"


def test_a_channel_that_sends_words_instead_of_its_number_is_refused() -> None:
    """It isn't left out in silence: the last number would seem to stand."""
    decoder = Decoder()
    one(b'{"t": 300.5, "u2": 290.5}', decoder)

    assert one(b'{"t": "calibrating", "u2": 290.5}', decoder).status == "unparsable"


def test_what_is_recorded_is_plain_text() -> None:
    """Found by fuzzing: a reader's own kind of string can't be written to the log."""
    for line in (b'{"t": 30085}', b'{"t": -9999}', b"[1.5, 30085]"):
        reading = one(line)
        assert reading == msgspec.json.decode(msgspec.json.encode(reading), type=Reading)


def test_an_array_obeys_the_count_of_values_as_any_line() -> None:
    """A cut line must not put one channel in another's place."""
    decoder = Decoder()
    one(b"[300.5, 290.5]", decoder)

    assert one(b"[290.5]", decoder).why == "found 1 values, expected 2 as before"


def test_a_long_object_of_sixteen_members_fits() -> None:
    """Sixteen channels is the most of any line; names have 32 characters at most."""
    pair = b'"temperature_probe_number_%02d_ext":1234.5678'
    line = b"{" + b", ".join(pair % i for i in range(16)) + b"}"

    assert len(one(line).raw) == 16
    assert one(line[:-1] + b', "t": 1}').why == "found 17 values, expected at most 16"


def test_json_keeps_its_point_where_the_meter_writes_a_comma() -> None:
    """`decimal=comma` says how text is written, JSON has a grammar."""
    assert one(b'{"t": 300.5}', told(comma=True)).raw == (300.5,)


@pytest.mark.parametrize("line", [b'{"temp": null}', b"[null]", b"T1=null"])
def test_null_alone_is_an_open_sensor_too(line: bytes) -> None:
    """The meter speaks well, its sensor is open: no matter of the baud rate."""
    assert one(line).status == "open"


@pytest.mark.parametrize(
    "line",
    [
        b'{"t": 300.5, "error": null}',
        b'{"t": 300.5, "error": false}',
        b'{"t": 300.5, "fault": 0}',
        b'{"t": 300.5, "status": null}',
        b"t=300.5,FAULT=0x00",
        b"t=300.5 OC=0 SC=0",
    ],
)
def test_a_member_that_says_no_fault_is_left_out(line: bytes) -> None:
    """Only what its value says is a fault."""
    assert one(line).names == ("t",)


@pytest.mark.parametrize(
    "line", [b'{"t": 300.5, "error": "no probe"}', b"t=300.5,FAULT=1", b"t=300.5 OC=1 SC=0"]
)
def test_a_member_that_says_a_fault_spoils_the_line(line: bytes) -> None:
    """What number stands beside it, nobody knows."""
    assert "the meter reports a fault" in str(one(line).why)
