"""Registers as numbers, against pymodbus' encoder; which are asked for together; what is open."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from modbus_unit import TYPES, bits

from pacer.sensor.modbus.registers import NUMBERS, Asked, Number, Registers
from pacer.sensor.text.values import Span

KINDS: dict[Number, TYPES] = {
    "int16": TYPES.INT16,
    "uint16": TYPES.UINT16,
    "int32": TYPES.INT32,
    "uint32": TYPES.UINT32,
    "float32": TYPES.FLOAT32,
}
TENTHS = Span(0.1)


@pytest.mark.parametrize("order", ["high", "low"])
@pytest.mark.parametrize(
    ("kind", "value"),
    [
        ("int16", -400), ("int16", 2315), ("int16", 32767), ("int16", -32768),
        ("uint16", 65535), ("uint16", 0),
        ("int32", -123456), ("int32", 2315), ("uint32", 4_000_000_000), ("uint32", 65536),
        ("float32", 23.1), ("float32", -0.5), ("float32", 260.0), ("float32", 1e-3),
    ],
)  # fmt: skip
def test_every_number_in_either_order_is_what_pymodbus_encoded(
    kind: Number, value: float, order: str
) -> None:
    """Signs and both word orders; 23.1 comes back as 23.1, not as its nearest float64."""
    registers = Registers((0,), kind, low_first=order == "low")

    assert registers.decoded(list(bits(value, KINDS[kind], order).values())) == value


@given(st.floats(width=32, allow_nan=False, allow_infinity=False), st.booleans())
def test_any_float32_comes_back_as_the_same_float32(value: float, low_first: bool) -> None:
    """Shortened for the eye only: encoded again it is the same 32 bits."""
    words = list(bits(value, TYPES.FLOAT32, "low" if low_first else "high").values())
    found = Registers((0,), "float32", low_first=low_first).decoded(words)

    assert list(bits(found, TYPES.FLOAT32, "low" if low_first else "high").values()) == words


@given(st.lists(st.integers(0, 65535), min_size=2, max_size=2), st.sampled_from(NUMBERS))
def test_any_bits_are_a_value_or_a_reason(words: list[int], kind: Number) -> None:
    """Whatever a unit sends is a record."""
    registers = Registers((0,), kind)
    reading = registers.reading(dict(enumerate(words)), {}, Span())

    (raw,) = reading.raw
    if reading.status == "ok":
        assert isinstance(raw, float)
        assert math.isfinite(raw)
        assert raw <= 2000.0
    elif reading.status == "unparsable":
        assert reading.why
    else:
        assert reading.status == "open"


@pytest.mark.parametrize(
    ("addresses", "kind", "asked"),
    [
        ((0,), "int16", [(0, 1)]),
        ((0, 1, 2), "int16", [(0, 3)]),
        ((2, 0, 1), "int16", [(0, 3)]),
        ((0, 2, 10), "int16", [(0, 1), (2, 1), (10, 1)]),
        ((0, 2, 10), "float32", [(0, 4), (10, 2)]),
        ((65535,), "uint16", [(65535, 1)]),
    ],
)
def test_neighbours_are_asked_for_together_and_nothing_in_between(
    addresses: tuple[int, ...], kind: Number, asked: list[tuple[int, int]]
) -> None:
    """A register nobody wants may be forbidden: then all of the answer would be an exception."""
    assert list(Registers(addresses, kind).asked()) == [Asked(*one) for one in asked]


def test_values_come_in_the_order_of_the_url_with_their_names() -> None:
    """register=10,0&names=far,near."""
    registers = Registers((10, 0), names=("far", "near"))

    reading = registers.reading({0: 2600, 10: 2315}, {}, TENTHS)

    assert (reading.raw, reading.names) == ((2315.0, 2600.0), ("far", "near"))
    assert (reading.status, reading.why) == ("ok", None)


def test_raw_values_are_the_register_s_numbers_before_any_scale() -> None:
    """2315 stays 2315; the channel's scale makes 231.5 °C of it later."""
    assert Registers((0,)).reading({0: 2315}, {}, TENTHS).raw == (2315.0,)


@pytest.mark.parametrize(
    ("words", "registers"),
    [
        ({0: 32767}, Registers((0,), opens=(32767.0,))),
        ({0: 0x8000}, Registers((0,), opens=(32767.0, -32768.0))),
        ({0: 0xD8F1}, Registers((0,))),
        (bits(math.nan, TYPES.FLOAT32), Registers((0,), "float32")),
        (bits(math.inf, TYPES.FLOAT32), Registers((0,), "float32")),
        (bits(3.4e38, TYPES.FLOAT32), Registers((0,), "float32")),
    ],
)
def test_a_code_for_no_sensor_is_open(words: dict[int, int], registers: Registers) -> None:
    """The meter's own code; and -9999, not-a-number, infinity and 9.9E37 or more without asking."""
    reading = registers.reading(words, {}, TENTHS)

    assert reading.status == "open"
    assert isinstance(reading.raw[0], str)


def test_a_float_with_swapped_halves_is_no_zero() -> None:
    """231.5 read with the wrong order= is -2.4e-41, which would be shown as 0 °C."""
    words = bits(231.5, TYPES.FLOAT32)
    reading = Registers((0,), "float32", low_first=True).reading(words, {}, Span())

    assert reading.status == "unparsable"
    assert "try order=" in str(reading.why)


def test_a_number_that_no_part_can_have_is_unparsable() -> None:
    """uint16 read where the meter sends int16: 65535 in tenths is 6553.5 °C."""
    reading = Registers((0,), "uint16").reading({0: 65535}, {}, TENTHS)

    assert reading.status == "unparsable"
    assert "above 2000 °C" in str(reading.why)


def test_a_cold_junction_has_a_scale_of_its_own() -> None:
    """Voltage in µV, the terminal's temperature in hundredths: raw is °C already."""
    span = Span(0.001, volts=True, cj="t2")
    registers = Registers((0, 1), cj_scale=0.01)

    reading = registers.reading({0: 9642, 1: 2310}, {}, span)

    assert reading.raw == (9642.0, 23.1)


def test_a_register_without_an_answer_says_why_and_the_others_stay() -> None:
    """Each value has its own word."""
    registers = Registers((0, 5, 9))

    reading = registers.reading({0: 2315}, {5: "illegal data address: register 5"}, TENTHS)

    assert reading.raw == (2315.0, None, None)
    assert reading.status == ("ok", "unparsable", "unparsable")
    assert reading.why == "illegal data address: register 5; no answer for register 9"
