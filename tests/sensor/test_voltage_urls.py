"""Sensor URLs of thermocouple voltages: unit=, type=, cj=; from a URL and a line to °C."""

from __future__ import annotations

from contextlib import closing

import pytest
from port_fakes import until

from pacer.clock import BootClock
from pacer.errors import UserInputError
from pacer.sensor.open import open_source, parse_url
from pacer.sensor.text.lines import Decoder
from pacer.sensor.url import span
from pacer.session.celsius import degrees
from pacer.session.events import Reading, Thermocouple

HEAD = "serial:///dev/ttyUSB0?"


@pytest.mark.parametrize(
    ("query", "scale", "wire"),
    [
        ("unit=mV&type=K&cj=t2", 1.0, Thermocouple("K", cj="t2")),
        ("unit=uV&type=J&cj=23%20degC", 0.001, Thermocouple("J", cj_c=23.0)),
        ("unit=V&type=n&cj=23.5degC", 1000.0, Thermocouple("N", cj_c=23.5)),
        ("unit=mV&type=K&cj=77degF", 1.0, Thermocouple("K", cj_c=25.0)),
        ("unit=mV&type=S&cj=296.15 K", 1.0, Thermocouple("S", cj_c=23.0)),
        ("unit=mV&type=T&cj=-5degC", 1.0, Thermocouple("T", cj_c=-5.0)),
    ],
)
def test_a_voltage_needs_its_type_and_cold_junction(
    query: str, scale: float, wire: Thermocouple
) -> None:
    """mV = scale * value; a letter in either case, a temperature in any unit."""
    channel = parse_url(HEAD + query).channel()

    assert (channel.scale, channel.offset_c) == (scale, 0.0)
    assert channel.thermocouple == wire


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("unit=mV", "found unit=mV without type= and cj=, expected unit=mV&type=K&cj=t2"),
        ("unit=mV&type=K", "found unit=mV without cj=, expected"),
        ("unit=uV&cj=t2", "found unit=uV without type=, expected"),
        ("unit=mV&type=Q&cj=t2", 'found type="Q", expected one of K, J, N, E, T, R, S, B'),
        ("unit=mV&type=K&cj=23", 'found cj="23" (unit missing), expected "23 degC" or "23 degF"'),
        ("unit=mV&type=K&cj=23C", 'expected "23 degC"'),
        ("unit=mV&type=K&cj=260degC", 'found cj="260degC", expected a temperature from -40 to 85'),
        ("unit=mV&type=K&cj=t1&channel=t1", "found cj=t1, expected another channel"),
        ("unit=mV&type=K&cj=t3&arc=t3&arc_on=20", "found cj=t3, expected another channel"),
        ("type=J", "found type=… without a voltage, expected unit=mV, uV or V with it"),
        ("unit=degF&cj=t2", "found cj=… without a voltage"),
        ("unit=mv&type=K&cj=t2", "without a voltage"),
        ("unit=millivolt", "expected degC or degF or K or mV or uV or V"),
    ],
)
def test_a_wrong_voltage_url_is_one_clear_line(query: str, words: str) -> None:
    """Found, expected; nothing is guessed."""
    with pytest.raises(UserInputError) as caught:
        open_source(HEAD + query, BootClock(), fail_fast=True)

    assert words in str(caught.value)
    assert str(caught.value).isprintable()


@pytest.mark.parametrize(
    ("line", "raw", "status"),
    [
        (b"9.642,23.1", (9.642, 23.1), "ok"),
        (b"-1.2,23.1", (-1.2, 23.1), "ok"),
        (b"100.1,23.1", ("100.1", 23.1), ("unparsable", "ok")),
        (b"-300.0,23.1", ("-300.0", 23.1), ("unparsable", "ok")),
        (b"9.642,-300.0", (9.642, "-300.0"), ("ok", "unparsable")),
        (b"9.9E37,23.1", ("9.9E37", 23.1), ("open", "ok")),
        (b"-9999,23.1", ("-9999", 23.1), ("open", "ok")),
    ],
)
def test_a_voltage_is_checked_against_what_a_thermocouple_can_give(
    line: bytes, raw: tuple[object, ...], status: object
) -> None:
    """100 mV, not 2000 °C; the cold junction's channel still against °C."""
    channel = parse_url(HEAD + "unit=mV&type=K&cj=t2").channel()

    (reading,) = Decoder(span(channel)).feed(line + b"\n")

    assert (reading.raw, reading.status) == (raw, status)


def test_a_voltage_in_volts_is_checked_in_millivolts() -> None:
    """0.05 V is 50 mV; 5 V is a rail."""
    channel = parse_url(HEAD + "unit=V&type=K&cj=23degC").channel()
    decoder = Decoder(span(channel))

    good, rail = decoder.feed(b"0.05000\n5.000\n")

    assert (good.raw, good.status) == ((0.05,), "ok")
    assert (rail.status, rail.why) == ("unparsable", "5.000 is beyond 100 mV")


def test_a_file_of_voltages_gives_temperatures(tmp_path: object) -> None:
    """From bytes to °C: K at 260 °C, cold junction 23 °C, by the printed NIST table."""
    path = f"{tmp_path}/mv.csv"
    with open(path, "w", encoding="ascii") as lines:
        lines.write("hot,terminal\n9.642,23.0\n")
    url = f"file:{path}?period=1&unit=mV&type=K&cj=terminal&channel=hot"
    with closing(open_source(url, BootClock(), fail_fast=True)) as source:
        events = until(source, lambda event: isinstance(event, Reading))
        (found,) = [d for e in events if isinstance(e, Reading) for d in degrees(source.channel, e)]

    assert found.name == "hot"
    assert found.temp_c == pytest.approx(260.0, abs=0.03)
