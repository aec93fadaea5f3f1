"""Sensor URLs and the dispatch by scheme."""

from __future__ import annotations

import re
import subprocess
import sys

import pytest

from pacer.clock import BootClock
from pacer.errors import PacerError, SensorError, UserInputError
from pacer.sensor.open import open_source, parse_url
from pacer.sensor.text.lines import Decoder
from pacer.sensor.url import span
from pacer.session.events import Act, ArcSignal


@pytest.mark.parametrize(
    ("url", "scheme", "target", "params"),
    [
        ("serial:///dev/ttyUSB0?baud=115200", "serial", "/dev/ttyUSB0", {"baud": "115200"}),
        ("serial://COM3", "serial", "COM3", {}),
        ("socket://192.168.4.1:5000?unit=degF", "socket", "192.168.4.1:5000", {"unit": "degF"}),
        ("LOOP://", "loop", "", {}),
        ("hand:", "hand", "", {}),
        ("file:-", "file", "-", {}),
        ("file:-?time=first", "file", "-", {"time": "first"}),
        ("file:a b.csv?period=0.5&unit=K", "file", "a b.csv", {"period": "0.5", "unit": "K"}),
        ("file:///tmp/log.csv", "file", "/tmp/log.csv", {}),
        ("file:what?.csv", "file", "what?.csv", {}),
        ("practice:?seed=3", "practice", "", {"seed": "3"}),
        ("modbus:///dev/ttyUSB0?unit=1&register=0&scale=0.1", "modbus", "/dev/ttyUSB0",
         {"unit": "1", "register": "0", "scale": "0.1"}),
    ],
)  # fmt: skip
def test_a_url_is_told_apart(url: str, scheme: str, target: str, params: dict[str, str]) -> None:
    """Sensor URLs, design.md; `file:///…` as in RFC 8089 (from memory)."""
    parsed = parse_url(url)

    assert (parsed.scheme, parsed.target, parsed.params) == (scheme, target, params)


@pytest.mark.parametrize(
    ("url", "words"),
    [
        ("/dev/ttyUSB0", "expected a URL such as serial:///dev/ttyUSB0?baud=9600"),
        ("C:\\readings.csv", "expected a URL such as"),
        ("", "expected a URL such as"),
        ("fil:x", 'found "fil:", expected file:'),
        ("seriel:///dev/ttyUSB0", 'found "seriel:", expected serial:'),
        ("ftp://x", "expected serial:, socket:, loop:, modbus:, practice:, hand:, file:"),
        ("serial:///dev/ttyUSB0?boud=9600", "found boud=…, expected baud=…"),
        ("serial:///dev/ttyUSB0?baud=fast", "expected a number from 50 to 4000000"),
        ("serial:///dev/ttyUSB0?baud", 'found "baud", expected name=value'),
        ("serial:///dev/ttyUSB0&baud=9600", "expected a ? before the first name=value"),
        ("serial://", "found no port, expected a port such as"),
        ("serial:///dev/x?settle=-1", "a number from 0 to 600"),
        ("socket://host", "expected HOST:PORT"),
        ("socket://host:99999", "expected HOST:PORT"),
        ("socket://host:1?baud=9600", "found baud=…, expected"),
        ("hand:probe", "expected nothing after hand:"),
        ("hand:?period=1", "found period=…"),
        ("file:\0", "NUL"),
        ("fi\x1b[2Jle:x", "found"),
    ],
)
def test_a_wrong_url_is_one_clean_line(url: str, words: str) -> None:
    """Found, expected, nearest known (style.md 5.4); T-18: no escape comes through."""
    with pytest.raises(UserInputError) as caught:
        open_source(url, BootClock(), fail_fast=True)

    assert words in str(caught.value)
    assert str(caught.value).isprintable()


def test_without_an_instrument_only_what_is_typed_comes() -> None:
    """`hand:` is first-class (ecosystem.md section 2)."""
    source = open_source("hand:", BootClock(), fail_fast=True)
    typed = Act(t_ms=0, deed="reading", temp_c=231.0)
    source.post(typed)

    assert source.hand
    assert [typed] == [heard.event for heard in source.read(None)]
    assert source.read(source.clock()) == []
    assert not source.finished


def test_both_kinds_of_error_are_the_users_to_mend() -> None:
    """`cli` turns them into a line and exit 2."""
    assert issubclass(UserInputError, PacerError)
    assert issubclass(SensorError, PacerError)


@pytest.mark.slow
def test_a_file_of_readings_loads_no_serial_library() -> None:
    """Each scheme imports its own module; pint stays out for degC."""
    program = (
        "import sys\n"
        "from pacer.clock import BootClock\n"
        "from pacer.sensor.open import open_source\n"
        "open_source('file:-', BootClock(), fail_fast=True)\n"
        "print(sorted({'serial', 'pint', 'socket'} & set(sys.modules)))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        check=True,
    )

    assert done.stdout == b"[]\n"


def test_the_arc_signal_is_named_with_its_thresholds() -> None:
    """A second value of the line: `arc=t2`; half of `arc_on` where `arc_off` isn't given."""
    channel = parse_url("serial:///dev/ttyUSB0?arc=t2&arc_on=20").channel()
    assert channel.arc == ArcSignal(name="t2", on=20.0, off=10.0)
    channel = parse_url("file:a.csv?arc=clamp&arc_on=20&arc_off=12&channel=t1").channel()
    assert channel.arc == ArcSignal(name="clamp", on=20.0, off=12.0)
    assert parse_url("file:a.csv?arc=noise").channel().arc == ArcSignal(noise=True)
    assert parse_url("file:a.csv").channel().arc is None


@pytest.mark.parametrize(
    ("query", "expected"),
    [
        ("arc=t2", "arc_on="),
        ("arc=t2&arc_on=20&arc_off=20", "arc_off= below it"),
        ("arc=t2&arc_on=-3", "arc_off= below it"),
        ("arc=t1&channel=t1&arc_on=20", "another channel"),
        ("arc_on=20", "only with arc=NAME"),
        ("arc=noise&arc_on=20", "only with arc=NAME"),
        ("arc=2nd&arc_on=20", "a channel's name such as t2"),
    ],
)
def test_an_arc_signal_that_cannot_be_is_one_clear_line(query: str, expected: str) -> None:
    """Found and expected, before any heat."""
    with pytest.raises(UserInputError, match=re.escape(expected)):
        parse_url(f"file:a.csv?{query}").channel()


def test_the_arc_channel_may_hold_any_number() -> None:
    """4095 counts are no temperature above every wire; on another channel they are."""
    url = parse_url("file:a.csv?arc=t2&arc_on=20")
    decoder = Decoder(span(url.channel()))
    assert decoder.feed(b"231.50;4095\n")[0].statuses() == ("ok", "ok")
    assert Decoder(span(parse_url("file:a.csv").channel())).feed(b"231.50;4095\n")[
        0
    ].statuses() == (
        "ok",
        "unparsable",
    )


def test_a_question_needs_no_percent_for_its_mark() -> None:
    """`ask=MEAS:TEMP?` is what anybody writes."""
    url = parse_url("serial:///dev/ttyUSB0?baud=9600&ask=MEAS:TEMP?")

    assert url.target == "/dev/ttyUSB0"
    assert url.params == {"baud": "9600", "ask": "MEAS:TEMP?"}
