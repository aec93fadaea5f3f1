"""Live ports through real pseudo-terminals and `loop://`; nobody sleeps."""

from __future__ import annotations

import os
import threading
from contextlib import closing

import pytest
from port_fakes import (
    DEADLINE_S,
    ScriptedWire,
    SetClock,
    in_state,
    read_as,
    readings,
    serial_source,
    terminal,
    until,
)

from pacer.clock import BootClock
from pacer.sensor.port.ports import SETTLE_S, PortSource, open_port
from pacer.sensor.port.wires import SerialWire
from pacer.sensor.url import parse_url
from pacer.session.events import Reading, Trouble


def test_lines_on_the_wire_come_out_as_readings() -> None:
    """Half lines wait, garbage is recorded; a pseudo-terminal's first line is whole (T-31)."""
    with terminal() as (instrument, name), closing(serial_source(name)) as source:
        os.write(instrument, b"0.5\r\n300.5\r\nT1=301")
        first = until(source, read_as(300.5))
        os.write(instrument, b".5;T2=290\r\n\xff\xfe\r\n302.5\r\n")
        second = until(source, read_as(302.5))

    assert in_state("opened")(first[0])
    assert readings(first) == [(0.5,), (300.5,)]
    assert readings(second)[0] == (301.5, 290.0)
    assert [e.status for e in second if isinstance(e, Reading)] == ["ok", "unparsable", "ok"]


def test_readings_are_stamped_on_arrival() -> None:
    """Live sources have the boot clock (design.md)."""
    with terminal() as (instrument, name), closing(serial_source(name)) as source:
        source.read(source.clock() + DEADLINE_S)
        before_s = source.clock()
        os.write(instrument, b"\n300.5\n")
        (heard,) = source.read(before_s + DEADLINE_S)

        assert before_s <= heard.t_s <= source.clock()


def test_what_comes_while_the_board_restarts_is_no_reading() -> None:
    """ecosystem.md section 2: some boards restart when opened; 2 s; a header is kept all the same."""
    clock = SetClock()
    wire = ScriptedWire(
        clock,
        [
            (0.1, b"boot\nfoot,flange\n"),
            (0.5, b"20.0,20.0\n"),
            (1.99, b"21.0,20.0\n22"),
            (2.0, b".0,20.0\n"),
            (2.1, b"300,290\n"),
        ],
    )
    source = PortSource(parse_url("serial://x"), clock, lambda: wire, settle_s=SETTLE_S)
    events = until(source, read_as(300.0, 290.0))
    source.close()

    assert readings(events) == [(22.0, 20.0), (300.0, 290.0)]
    assert [e.names for e in events if isinstance(e, Reading)] == [("foot", "flange")] * 2
    assert wire.closed


def test_what_waited_in_the_port_through_a_sleep_is_thrown_away_and_counted() -> None:
    """T-14: stamped on waking it would be believed as the part's temperature now."""
    clock = SetClock()
    script = [
        (1.0, b"260.0\n"),
        (1.5, b"261.0\n"),
        # 23 minutes later, what the system's buffer held; a line begun before it was emptied.
        (1381.5, b"262.0\n2"),
        (1381.5, b"62.5\n262.6\n2"),
        (1381.9, b"63.0\n"),
        (1382.0, b"90.0\n"),
        (1382.5, b"89.5\n"),
    ]
    wire = ScriptedWire(clock, script)
    source = PortSource(parse_url("serial://x"), clock, lambda: wire)
    events = until(source, read_as(89.5))
    source.close()

    heard = [e for e in events if isinstance(e, Reading)]
    assert [(e.raw, e.dropped) for e in heard] == [
        ((261.0,), 0),
        ((90.0,), 3),
        ((89.5,), 0),
    ]


def test_a_serial_port_settles_for_two_seconds_and_the_others_do_not() -> None:
    """reliability.md section 4, SETTLING 2 s; `settle=` overrides it."""
    settled = []
    for url in ("serial:///dev/none", "serial:///dev/none?settle=0.5", "loop://"):
        source = open_port(parse_url(url), BootClock(), fail_fast=False)
        settled.append(source._settle_s)
        source.close()

    assert settled == [2.0, 0.5, 0.0]


def test_a_loop_gives_back_what_is_written_and_has_output_lines() -> None:
    """ecosystem.md section 2: on `loop://` CTS follows RTS, so a lamp is testable."""
    source = open_port(parse_url("loop://"), BootClock(), fail_fast=True)
    wire = source._wire
    assert isinstance(wire, SerialWire)
    wire.port.write(b"\nT1=300.5;T2=OPEN\n")
    events = until(source, read_as(300.5, "OPEN"))
    lines = []
    for on in (False, True):
        source.set_line("RTS", on)
        lines.append(wire.port.cts)
    source.close()

    assert lines == [False, True]
    assert [e.status for e in events if isinstance(e, Reading)] == [("ok", "open")]


@pytest.mark.parametrize(
    ("query", "dtr", "rts"),
    [("", True, True), ("&dtr=off", False, True), ("&rts=off&dtr=on", True, False)],
)
def test_a_port_may_be_opened_with_a_line_low(query: str, dtr: bool, rts: bool) -> None:
    """pyserial is told so before it opens; on Linux the line pulses all the same (pyserial #124)."""
    with terminal() as (_, name), closing(serial_source(name, query)) as source:
        wire = source._wire
        assert isinstance(wire, SerialWire)
        lines = (wire.port.dtr, wire.port.rts)

    assert lines == (dtr, rts)


def test_a_port_without_output_lines_says_so() -> None:
    """A pseudo-terminal has none (errno 25, ecosystem.md section 2)."""
    with terminal() as (_, name), closing(serial_source(name)) as source:
        source.set_line("DTR", True)
        events = until(source, lambda event: isinstance(event, Trouble))
        with pytest.raises(ValueError, match="expected RTS or DTR"):
            source.set_line("CTS", True)

    assert [e.what for e in events if isinstance(e, Trouble)] == ["DTR"]


def test_a_flood_on_the_wire_is_thinned_and_counted() -> None:
    """T-24: the newest is used, the rest is counted."""
    with terminal() as (instrument, name), closing(serial_source(name)) as source:
        flood = b"".join(b"%d.5\n" % i for i in range(2000))
        writer = threading.Thread(target=os.write, args=(instrument, b"\n" + flood + b"999.5\n"))
        writer.start()
        events = until(source, read_as(999.5))
        writer.join()
    read = [event for event in events if isinstance(event, Reading)]

    assert sum(1 + event.dropped for event in read) == 2001
    assert len(read) < 100
