"""What a `modbus:` URL says, and the one line that says what is wrong with it."""

from __future__ import annotations

import pytest

from pacer.clock import BootClock
from pacer.errors import UserInputError
from pacer.sensor.modbus.registers import Registers
from pacer.sensor.modbus.url import Line, channel_of, line_of, registers_of
from pacer.sensor.open import open_source, parse_url
from pacer.session.celsius import degrees
from pacer.session.events import ArcSignal, Channel, Reading, Thermocouple

HEAD = "modbus:///dev/ttyUSB0?"


def said(query: str) -> tuple[Line, Registers, Channel]:
    """All that a URL says."""
    url = parse_url(HEAD + query)
    registers = registers_of(url)
    return line_of(url), registers, channel_of(url, registers)


def test_what_is_not_said_has_its_usual_value() -> None:
    """design.md's example; 9600 baud, no parity, one stop bit (common practice)."""
    line, registers, channel = said("unit=1&register=0&scale=0.1")

    assert line == Line(unit=1, table="holding", baud=9600, parity="N", stop=1)
    assert (line.function, line.every_s, line.timeout_s) == (3, 0.5, 0.5)
    assert registers == Registers((0,), "int16")
    assert channel == Channel("", "degC", scale=0.1)


@pytest.mark.slow
def test_all_of_it_can_be_said() -> None:
    """Every parameter has its place."""
    line, registers, channel = said(
        "unit=17&register=2,0,10&names=hot,far,clamp&table=input&number=float32&order=low"
        "&baud=19200&parity=e&stop=2&timeout=0.2&every=1&settle=3&open=-1,3e5"
        "&channel=hot&arc=clamp&arc_on=20&reads=K"
    )

    assert line == Line(17, "input", 19200, "E", 2, 0.2, 1.0, 3.0)
    assert line.function == 4
    assert registers == Registers((2, 0, 10), "float32", True, (-1.0, 3e5), ("hot", "far", "clamp"))
    assert channel.name == "hot"
    assert channel.arc == ArcSignal("clamp", 20.0, 10.0)


@pytest.mark.parametrize(
    ("query", "raw", "temp_c"),
    [
        ("scale=0.1", 2315, 231.5),
        ("scale=0.1&offset=-50", 2815, 231.5),
        ("scale=-1&offset=500", 240, 260.0),
        ("reads=degF", 500, 260.0),
        ("scale=0.1&reads=degF", 5000, 260.0),
        ("scale=0.1&offset=-40&reads=degF", 5400, 260.0),
        ("scale=0.01&reads=K", 53315, 260.0),
    ],
)
def test_a_register_s_number_becomes_degrees(query: str, raw: float, temp_c: float) -> None:
    """By hand: (5000 * 0.1 - 32) / 1.8 = 260; an offset is in the unit that reads= says."""
    _, _, channel = said(f"register=0&{query}")
    (found,) = degrees(channel, Reading(t_ms=0, raw=(float(raw),), status="ok"))

    assert found.temp_c == pytest.approx(temp_c, abs=1e-9)


def test_a_register_may_hold_a_voltage_and_another_the_cold_junction() -> None:
    """9642 µV of type K over 23 °C is 260 °C (printed NIST table: 10.561 - 0.919 mV)."""
    _, registers, channel = said("register=0,1&reads=uV&type=K&cj=t2&cj_scale=0.1")
    (found,) = degrees(channel, Reading(t_ms=0, raw=(9642.0, 23.0), status="ok"))

    assert channel.thermocouple == Thermocouple("K", cj="t2")
    assert registers.cj_scale == 0.1
    assert found.name == "t1"
    assert found.temp_c == pytest.approx(260.0, abs=0.03)


def test_a_voltage_s_scale_counts_in_its_unit() -> None:
    """Tenths of a millivolt."""
    _, _, channel = said("register=0&reads=mV&scale=0.1&type=J&cj=23degC")

    assert (channel.scale, channel.thermocouple) == (0.1, Thermocouple("J", cj_c=23.0))


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("unit=1", "found no register=, expected register=0, counted from 0"),
        ("register=", "found no register="),
        ("register=-1", 'found register="-1"'),
        ("register=65536", 'found register="65536"'),
        ("register=0,1,x", 'found register="0,1,x"'),
        ("register=" + ",".join(str(i) for i in range(17)), "up to 16"),
        ("register=5,5", "found register=5 and 5, expected once each"),
        ("register=0,1&number=int32", "found register=0 and 1, expected 2 registers for each"),
        ("register=0&unit=0", "a number from 1 to 247"),
        ("register=0&unit=248", "a number from 1 to 247"),
        ("register=0&unit=1.5", "a whole number from 1 to 247"),
        ("register=0&unit=degC", "a number from 1 to 247"),
        ("register=0&table=coils", "holding (function 3) or input (function 4)"),
        ("register=0&number=int8", "int16, uint16, int32, uint32, float32"),
        ("register=0&number=int32&order=big", "high or low"),
        ("register=0&order=low", "it with int32, uint32 or float32 only"),
        ("register=0&parity=X", 'found parity="X", expected N, E or O'),
        ("register=0&stop=3", "a number from 1 to 2"),
        ("register=0&scale=0", "found scale=0"),
        ("register=0&scale=x", "a number from"),
        ("register=0&every=0", "a number from 0.1 to 3600"),
        ("register=0&timeout=60", "a number from 0.02 to 5"),
        ("register=0&open=none", "open=32767"),
        ("register=0,1&names=a", "2 different"),
        ("register=0,1&names=a,a", "2 different"),
        ("register=0&names=1", "1 different"),
        ("register=0&channel=t2", "found channel=t2, expected one of t1"),
        ("register=0,1&arc=t3&arc_on=1", "found arc=t3, expected one of t1, t2"),
        ("register=0&arc=t1&arc_on=1", "found no register for the temperature"),
        ("register=0&reads=mV&type=K&cj=t2", "found cj=t2, expected one of t1"),
        ("register=0&reads=mV&type=K", "found reads=mV without cj="),
        ("register=0,1&reads=mV&type=K&cj=t2&offset=1", "a voltage has no offset"),
        ("register=0&reads=psi", "degC or degF or K or mV or uV or V"),
        ("register=0&type=K", "found type=… without a voltage, expected reads=mV"),
        ("register=0&cj_scale=0.1", "it with cj= of a channel"),
        ("register=0&regster=1", "found regster=…, expected register=…"),
        ("register=0&usb=printer", "VID:PID"),
    ],
)  # fmt: skip
def test_a_wrong_modbus_url_is_one_clear_line(query: str, words: str) -> None:
    """Found, expected, nearest known."""
    with pytest.raises(UserInputError) as caught:
        open_source(HEAD + query, BootClock(), fail_fast=True)

    assert words in str(caught.value)
    assert str(caught.value).isprintable()


def test_a_url_without_a_port_says_so() -> None:
    """No port is ever guessed."""
    with pytest.raises(UserInputError, match="found no port"):
        open_source("modbus://?register=0", BootClock(), fail_fast=True)
