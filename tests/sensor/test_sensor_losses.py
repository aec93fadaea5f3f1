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
from pacer.sensor.port.identity import Port
from pacer.sensor.port.ports import LOOK_S, SETTLE_S, PortSource, open_port
from pacer.sensor.port.wires import SerialWire
from pacer.sensor.url import parse_url
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

    (why,) = (e.why for e in lost if isinstance(e, SensorChanged))
    assert why.startswith(f"{link}: gone: ")
    assert "check the cable" in why
    assert readings(lost + opened + back) == [(301.5,)]
    assert (first_pause_s, second_pause_s) == (0.5, 0.5)


def test_a_port_that_refuses_is_told_once_and_tried_ever_less_often() -> None:
    """reliability.md section 4: 0.5, 1, 2, 5, 5 s; a changed cause is told again."""
    pauses, numbers = Pauses(), [errno.EBUSY] * 6 + [errno.EACCES] * 2

    def opener() -> SerialWire:
        raise OSError(numbers.pop(0), "x")

    source = PortSource(parse_url("serial://COM5"), BootClock(), opener, wait=pauses)
    asked = [pauses.end_one() for _ in range(7)]
    asked.append(pauses.end_one(closing=True))
    events = until(source, lambda event: "no permission" in getattr(event, "why", ""))
    source.close()

    assert asked == [0.5, 1.0, 2.0, 5.0, 5.0, 5.0, 5.0, 5.0]
    assert [event.state for event in events if isinstance(event, SensorChanged)] == ["lost"] * 2


def test_a_name_that_is_away_is_looked_for_every_half_second_and_opened_at_once(
    tmp_path: Path,
) -> None:
    """T-30: back within 3 s of its return, however long it was away; told once."""
    pauses, link = Pauses(), tmp_path / "ttyUSB0"
    with closing(serial_source(link, wait=pauses, fail_fast=False)) as source:
        looks = [pauses.end_one() for _ in range(60)]
        looks.append(pauses.asked.get(timeout=DEADLINE_S))
        instrument = plug_in(link)
        pauses.end_unasked()
        events = until(source, in_state("opened"))
        os.write(instrument, b"\n300.5\n")
        until(source, read_as(300.5))
        os.close(instrument)
        until(source, in_state("lost"))
        pauses.end_one(closing=True)

    assert set(looks) == {LOOK_S}
    assert LOOK_S <= 3.0 - SETTLE_S
    states = [event.state for event in events if isinstance(event, SensorChanged)]
    assert states == ["lost", "opened"]
    assert getattr(events[0], "why", "").startswith(f"{link}: not there: check the cable")


def test_a_port_that_is_back_but_not_ready_is_tried_often_again(tmp_path: Path) -> None:
    """The system names a new port before it gives it to its group: half a second, not five."""
    pauses, link = Pauses(), tmp_path / "ttyUSB0"
    with closing(serial_source(link, wait=pauses, fail_fast=False)) as source:
        for _ in range(40):
            pauses.end_one()
        pauses.asked.get(timeout=DEADLINE_S)
        link.touch()
        pauses.end_unasked()
        asked = [pauses.end_one(), pauses.end_one(), pauses.end_one(closing=True)]
        until(source, lambda event: "not a serial port" in getattr(event, "why", ""))

    assert asked == [0.5, 1.0, 2.0]


def test_ports_that_come_and_go_beside_it_are_no_news(tmp_path: Path) -> None:
    """The list in the cause is of the moment; the cause is told once."""
    pauses, link, beside = Pauses(), tmp_path / "ttyUSB0", list[Port]()
    url = parse_url(f"serial://{link}?settle=0")
    source = open_port(url, BootClock(), fail_fast=False, wait=pauses, listing=lambda: beside)
    with closing(source):
        (told,) = until(source, in_state("lost"))
        for i in range(12):
            beside.append(Port(f"/dev/ttyUSB{i}"))
            pauses.end_one()
        pauses.asked.get(timeout=DEADLINE_S)
        instrument = plug_in(link)
        pauses.end_unasked()
        (opened,) = until(source, in_state("opened"))
        os.close(instrument)
        until(source, in_state("lost"))
        pauses.end_one(closing=True)

    assert str(getattr(told, "why", "")).endswith("ports now: none")
    assert isinstance(opened, SensorChanged)


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


def _descriptors() -> int:
    return len(os.listdir("/proc/self/fd"))


def test_fifty_openings_of_both_endings_leave_no_descriptor(tmp_path: Path) -> None:
    """T-30: half the time the adapter is pulled out mid-line, else the source is closed first."""
    link = tmp_path / "by-id"
    before = _descriptors()
    for i in range(50):
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

    assert before == _descriptors()


@pytest.mark.slow
@pytest.mark.parametrize("times", [100, pytest.param(1000, marks=pytest.mark.full)])
def test_pulled_plugs_in_one_session_leave_no_descriptor(tmp_path: Path, times: int) -> None:
    """T-30: 1,000 mid-line unplugs, each found again, no half line ever a number."""
    link, pauses = tmp_path / "by-id", Pauses()
    instrument = plug_in(link)
    with closing(serial_source(link, wait=pauses)) as source:
        before = 0
        for i in range(times):  # "lost" is told before the port is given back: count after it
            os.write(instrument, b"\n%d.5\n29" % (i % 600))
            read = readings(until(source, read_as(i % 600 + 0.5)))
            assert read == [(i % 600 + 0.5,)]
            os.close(instrument)
            until(source, in_state("lost"))
            pauses.asked.get(timeout=DEADLINE_S)
            before = before or _descriptors()
            instrument = plug_in(link)
            pauses.end_unasked()
            until(source, in_state("opened"))
        os.close(instrument)
        until(source, in_state("lost"))
        pauses.asked.get(timeout=DEADLINE_S)
        after = _descriptors()
        pauses.end_unasked(closing=True)

    assert after == before
