"""Ports that are lost, refused, in use, pulled out and found again."""

from __future__ import annotations

import errno
import os
import socket
from contextlib import closing
from pathlib import Path

import pytest
from port_fakes import (
    DEADLINE_S,
    Pauses,
    in_state,
    plug_in,
    read_as,
    readings,
    serial_source,
    terminal,
    until,
)

from pacer.clock import BootClock
from pacer.errors import SensorError
from pacer.sensor.ports import PortSource, open_port
from pacer.sensor.url import parse_url
from pacer.sensor.wires import SerialWire, cause
from pacer.session.events import SensorChanged


def test_a_pulled_adapter_is_lost_once_and_found_under_its_name_again(tmp_path: Path) -> None:
    """T-30: unplug mid-line, replug as another port; the half line is never a number."""
    link, pauses = tmp_path / "by-id", Pauses()
    instrument = plug_in(link)
    with closing(serial_source(link, wait=pauses)) as source:
        os.write(instrument, b"\n300.5\n29")
        until(source, read_as(300.5))
        os.close(instrument)
        lost = until(source, in_state("lost"))
        instrument = plug_in(link)
        first_pause_s = pauses.end_one()
        opened = until(source, in_state("opened"))
        os.write(instrument, b"9.5\n301.5\n")
        back = until(source, read_as(301.5))
        os.close(instrument)
        until(source, in_state("lost"))
        second_pause_s = pauses.end_one(closing=True)

    assert [e.why for e in lost if isinstance(e, SensorChanged)] == [
        f"{link}: gone: check the cable and the adapter"
    ]
    assert readings(lost + opened + back) == [(301.5,)]
    assert (first_pause_s, second_pause_s) == (0.5, 0.5)


def test_a_port_that_stays_away_is_told_once_and_tried_ever_less_often(tmp_path: Path) -> None:
    """reliability.md section 4: 0.5, 1, 2, 5, 5 s; a changed cause is told again."""
    pauses, link = Pauses(), tmp_path / "ttyUSB0"
    with closing(serial_source(link, wait=pauses, fail_fast=False)) as source:
        asked = [pauses.end_one() for _ in range(5)]
        asked.append(pauses.asked.get(timeout=DEADLINE_S))
        link.write_text("not a port")
        pauses.end_unasked()
        pauses.end_one(closing=True)
        events = until(source, lambda event: "not a serial port" in getattr(event, "why", ""))

    assert asked == [0.5, 1.0, 2.0, 5.0, 5.0, 5.0]
    assert [event.state for event in events if isinstance(event, SensorChanged)] == ["lost"] * 2
    assert getattr(events[0], "why", "").startswith(f"{link}: not there: check the cable")


def test_a_port_that_cannot_be_opened_stops_a_headless_run_with_the_cause(tmp_path: Path) -> None:
    """Headless, design.md: exit 2 with the cause."""
    with pytest.raises(SensorError, match="not there: check the cable"):
        serial_source(tmp_path / "ttyUSB0")


def test_a_port_in_use_says_so() -> None:
    """T-30: EBUSY; the lock is pyserial's `exclusive`."""
    with (
        terminal() as (_, name),
        closing(serial_source(name)),
        pytest.raises(SensorError, match="in use by another program"),
    ):
        serial_source(name)


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (errno.EACCES, "join the group dialout"),
        (errno.ENOENT, "check the cable"),
        (errno.EBUSY, "in use by another program"),
        (errno.EIO, "check the cable"),
        (errno.ETIMEDOUT, "no answer"),
    ],
)
def test_each_cause_says_what_to_do(number: int, words: str) -> None:
    """T-30: names the cause and what fixes it, also where a library wrapped the error."""
    wrapped = RuntimeError("could not open port")
    wrapped.__context__ = OSError(number, "x")

    assert words in cause(wrapped, "/dev/ttyUSB0")


def test_an_unknown_cause_is_shown_clean() -> None:
    """T-18: an exception's text is foreign text."""
    assert cause(RuntimeError("odd\x1b[2J"), "p\x07") == "p�: odd�[2J"


def test_a_socket_gives_readings_and_its_end_is_a_loss() -> None:
    """`socket://` over the loopback; refused afterwards, in plain words."""
    pauses = Pauses()
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]
        url = parse_url(f"socket://127.0.0.1:{port}")
        source = open_port(url, BootClock(), fail_fast=True, wait=pauses)
        instrument, _ = server.accept()
        with instrument:
            instrument.sendall(b".5\n300.5\n")
            first = until(source, read_as(300.5))
    lost = until(source, in_state("lost"))
    pauses.end_one()
    refused = until(source, in_state("lost"))
    pauses.end_one(closing=True)
    source.close()

    assert readings(first) == [(300.5,)]
    assert "the other end closed the connection" in str(lost)
    assert "connection refused" in str(refused)


def test_a_reset_connection_leaves_no_descriptor() -> None:
    """A server that crashes; warnings about unclosed sockets are errors here."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]
        source = open_port(parse_url(f"socket://127.0.0.1:{port}"), BootClock(), fail_fast=True)
        instrument, _ = server.accept()
        # linger 0: close sends a reset
        instrument.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\1\0\0\0\0\0\0\0")
        instrument.close()
        until(source, in_state("lost"))
        source.close()


def test_what_goes_wrong_in_the_thread_is_a_loss_and_not_silence() -> None:
    """A reader thread that dies unseen would leave the last number standing."""
    pauses = Pauses()

    def opener() -> SerialWire:
        raise ZeroDivisionError("a bug")

    source = PortSource(parse_url("loop://"), BootClock(), opener, wait=pauses)
    events = until(source, in_state("lost"))
    pauses.end_one(closing=True)
    source.close()

    assert "a bug" in str(events)


@pytest.mark.slow
def test_two_hundred_openings_leave_no_descriptor(tmp_path: Path) -> None:
    """T-30: 0 leaked descriptors; half the time the adapter is pulled out mid-line."""
    link = tmp_path / "by-id"
    before = len(os.listdir("/proc/self/fd"))
    for i in range(200):
        instrument = plug_in(link)
        source = serial_source(link)
        os.write(instrument, b"\n300.5\n29")
        until(source, read_as(300.5))
        if i % 2:
            os.close(instrument)
            until(source, in_state("lost"))
            source.close()
        else:
            source.close()
            os.close(instrument)

    assert before == len(os.listdir("/proc/self/fd"))
