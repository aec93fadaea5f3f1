"""Modbus RTU over real pseudo-terminals, against pymodbus' server; see modbus_unit.py.

Parity can't be had on a pseudo-terminal (the system refuses it): it is asserted at pyserial's
port object only.
"""

from __future__ import annotations

import sys
from contextlib import closing
from pathlib import Path

import pytest
from modbus_unit import (
    TYPES,
    bits,
    is_a_reading,
    source_at,
    unit_on_a_cable,
)
from port_fakes import read_as, readings, until

from pacer.clock import BootClock
from pacer.errors import SensorError
from pacer.sensor.modbus.source import BusWire, open_modbus
from pacer.sensor.modbus.url import Line
from pacer.sensor.url import parse_url
from pacer.session.celsius import degrees
from pacer.session.events import Reading


@pytest.fixture
def link(tmp_path: Path) -> Path:
    """The port's name, which stays the same."""
    return tmp_path / "by-id"


@pytest.mark.parametrize(
    ("query", "holding", "raw"),
    [
        ("register=0&scale=0.1", {0: 2315}, (2315.0,)),
        ("register=7&scale=0.1", {7: 65136}, (-400.0,)),
        ("register=0&number=uint16", {0: 1999}, (1999.0,)),
        ("register=4&number=int32&scale=0.01", bits(-12345, TYPES.INT32, at=4), (-12345.0,)),
        ("register=4&number=int32&order=low", bits(260, TYPES.INT32, "low", 4), (260.0,)),
        ("register=0&number=uint32&scale=1e-6", bits(400_000_000, TYPES.UINT32), (4e8,)),
        ("register=0&number=float32", bits(231.4, TYPES.FLOAT32), (231.4,)),
        ("register=0&number=float32&order=low", bits(-5.5, TYPES.FLOAT32, "low"), (-5.5,)),
        ("register=2,0,10", {0: 200, 2: 210, 10: 220}, (210.0, 200.0, 220.0)),
    ],
)  # fmt: skip
def test_numbers_of_every_kind_come_as_the_unit_has_them(
    link: Path, query: str, holding: dict[int, int], raw: tuple[float, ...]
) -> None:
    """Formats, orders, signs, several channels: encoded by pymodbus, sent by its server."""
    with unit_on_a_cable(link, holding), closing(source_at(link, query)) as source:
        events = until(source, is_a_reading)

    assert readings(events) == [raw]


@pytest.mark.slow
def test_the_channel_s_scale_makes_degrees_of_it(link: Path) -> None:
    """From the wire to °C: 5000 tenths of a degree Fahrenheit are 260 °C."""
    with (
        unit_on_a_cable(link, {0: 5000}),
        closing(source_at(link, "register=0&scale=0.1&reads=degF")) as source,
    ):
        events = until(source, is_a_reading)
        (found,) = degrees(source.channel, next(e for e in events if isinstance(e, Reading)))

    assert found.temp_c == pytest.approx(260.0)
    assert source.period_s == 0.1


def test_only_reading_functions_are_sent_and_neighbours_in_one_question(link: Path) -> None:
    """Frames by hand: unit, function, first register, how many; then the checksum."""
    with unit_on_a_cable(link, {0: 1, 1: 2, 10: 3}, unit=17) as (cable, _):
        with closing(source_at(link, "unit=17&register=0,1,10")) as source:
            until(source, is_a_reading)
        frames = cable.questions(2)

    assert [frame[:-2] for frame in frames] == [
        bytes([17, 3, 0, 0, 0, 2]),
        bytes([17, 3, 0, 10, 0, 1]),
    ]


def test_input_registers_are_another_table(link: Path) -> None:
    """Function 4."""
    with unit_on_a_cable(link, {0: 1}, {0: 2600}) as (cable, _):
        with closing(source_at(link, "register=0&table=input&scale=0.1")) as source:
            events = until(source, is_a_reading)
        (frame,) = cable.questions(1)

    assert readings(events) == [(2600.0,)]
    assert frame[1] == 4


def test_a_slow_slot_does_not_hold_up_the_closing(link: Path) -> None:
    """An hour between questions; the thread ends at once all the same."""
    with unit_on_a_cable(link, {0: 231}):
        url = parse_url(f"modbus://{link}?register=0&every=3600")
        source = open_modbus(url, BootClock(), fail_fast=True, listing=list)
        until(source, read_as(231.0))
        source.close()

    assert not source._thread.is_alive()


def test_a_bus_has_its_own_parity_stop_bits_and_patience() -> None:
    """At pyserial's object: no pseudo-terminal has a parity."""
    line = Line(baud=19200, parity="E", stop=2, timeout_s=0.2)
    with closing(BusWire("loop://", line)) as wire:
        port = wire.port

        assert (port.baudrate, port.parity, port.stopbits) == (19200, "E", 2)
        assert port.timeout == 0.2


def test_without_its_library_modbus_says_what_to_install(
    link: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The extra is not everybody's."""
    monkeypatch.setitem(sys.modules, "minimalmodbus", None)

    with pytest.raises(SensorError, match=r"pip install 'pacer\[modbus\]'"):
        source_at(link, "register=0")


def test_a_port_that_is_not_there_stops_a_headless_run(link: Path) -> None:
    """As every port does."""
    with pytest.raises(SensorError, match="not there"):
        source_at(link, "register=0")


def test_the_arc_s_current_comes_from_a_register_of_its_own(link: Path) -> None:
    """t2 is a clamp: raw amperes, no temperature."""
    with unit_on_a_cable(link, {0: 2315, 1: 65}):
        query = "register=0,1&scale=0.1&arc=t2&arc_on=20"
        with closing(source_at(link, query)) as source:
            events = until(source, is_a_reading)
            found = degrees(source.channel, next(e for e in events if isinstance(e, Reading)))

    assert readings(events) == [(2315.0, 65.0)]
    assert [(one.name, one.temp_c) for one in found] == [("t1", 231.5)]
