"""Boards that start when their port is opened: what they print is neither reading nor fault."""

from __future__ import annotations

import os
import random  # noqa: TID251 - seeded noise
from contextlib import closing

from port_fakes import ScriptedWire, SetClock, in_state, read_as, readings, terminal, until

from pacer.clock import BootClock
from pacer.sensor.port.boot import BOOT_S, BootText
from pacer.sensor.port.ports import PortSource, open_port
from pacer.sensor.text.lines import Decoder
from pacer.sensor.url import parse_url
from pacer.session.events import Reading, SensorChanged

BOOT = b"boot: flash ok\r\nwifi: looking for shop\r\nready, sensor 2 found!\r\n"
"Invented."


def decoded(raw: bytes) -> list[Reading]:
    """Return the lines as the decoder gives them."""
    return Decoder().feed(raw)


def test_text_before_the_first_reading_is_counted_and_left_out() -> None:
    """The record says how many lines there were; none counts as garbled."""
    boot = BootText(0.0)
    assert boot.leave_out(decoded(BOOT), 3.0) == []
    first, second = boot.leave_out(decoded(b"300.5\n301.5\n"), 4.0)

    assert (first.raw, first.dropped) == ((300.5,), 3)
    assert (second.raw, second.dropped) == ((301.5,), 0)


def test_after_the_first_reading_text_is_recorded() -> None:
    """A meter that says words between its numbers is the source's doing."""
    boot = BootText(0.0)
    boot.leave_out(decoded(b"300.5\n"), 1.0)

    assert [e.status for e in boot.leave_out(decoded(BOOT), 2.0)] == ["unparsable"] * 3


def test_no_board_starts_for_ever() -> None:
    """A format nobody can read must be told: after 10 s it is recorded, with the count before."""
    boot = BootText(0.0)
    boot.leave_out(decoded(BOOT), BOOT_S - 0.1)
    told = boot.leave_out(decoded(BOOT), BOOT_S)

    assert [e.dropped for e in told] == [3, 0, 0]
    assert boot.leave_out(decoded(BOOT), BOOT_S - 1) == decoded(BOOT)


def test_a_wrong_baud_rate_is_seen_at_once() -> None:
    """T-22: within 3 s. Bytes that are no text are recorded from the first line on."""
    noise = random.Random(7)
    boot = BootText(0.0)
    lines = decoded(noise.randbytes(100_000))
    told = boot.leave_out(lines, 0.5)

    assert len(lines) > 300
    assert len(told) > 0.9 * len(lines)


def test_an_open_sensor_at_the_start_is_a_reading() -> None:
    """OPEN is what the instrument says, not what a board prints."""
    (told,) = BootText(0.0).leave_out(decoded(b"OPEN\n"), 0.5)

    assert told.status == "open"


def test_a_slow_board_is_silent_then_reads() -> None:
    """Settled after 2 s, booted after 5: no garbled line is on record."""
    clock = SetClock()
    wire = ScriptedWire(
        clock,
        [
            (1.0, b"rst cause 4\n"),
            (2.5, b"boot: flash ok\nwifi: lo"),
            (4.0, b"oking\n"),
            (5.0, b"300.5\n"),
        ],
    )
    with closing(PortSource(parse_url("serial://x"), clock, lambda: wire, settle_s=2.0)) as source:
        events = until(source, read_as(300.5))

    assert readings(events) == [(300.5,)]
    assert [e.dropped for e in events if isinstance(e, Reading)] == [2]


def test_a_real_port_that_prints_its_start_gives_only_readings() -> None:
    """A pseudo-terminal with a board on it: opened says for how long it settles."""
    with terminal() as (instrument, name):
        url = parse_url(f"serial://{name}?settle=0.05")
        with closing(open_port(url, BootClock(), fail_fast=True)) as source:
            (opened,) = (e for e in until(source, in_state("opened")))
            os.write(instrument, b"9")
            os.write(instrument, BOOT)
            settled_s = source.clock() + 0.05
            while source.clock() < settled_s:
                source.read(settled_s)
            os.write(instrument, BOOT + b"300.5\n")
            events = until(source, read_as(300.5))
            os.write(instrument, b"301.5\nno number\n302.5\n")
            events += until(source, read_as(302.5))

    assert isinstance(opened, SensorChanged)
    assert opened.settle_s == 0.05
    assert readings(events) == [(300.5,), (301.5,), ("no number",), (302.5,)]


def test_a_port_without_a_board_says_no_settling_and_keeps_its_text() -> None:
    """A socket or a pseudo-terminal as such: text there is the source's own."""
    with terminal() as (instrument, name):
        source = open_port(parse_url(f"serial://{name}"), BootClock(), fail_fast=True)
        with closing(source):
            os.write(instrument, b"no number\n300.5\n")
            events = until(source, read_as(300.5))

    assert [e.settle_s for e in events if isinstance(e, SensorChanged)] == [None]
    assert readings(events) == [("no number",), (300.5,)]
