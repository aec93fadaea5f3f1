"""What a `modbus:` URL says: the line, the unit, its registers and how they become °C.

`unit=` is the unit's address here; the unit of the values is `reads=`.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, cast

from pacer.sensor.modbus.registers import NUMBERS, Registers
from pacer.sensor.text.values import number
from pacer.sensor.url import SensorUrl, is_channel_name
from pacer.session.events import Channel

PARAMETERS = (
    *("unit", "register", "table", "number", "order", "scale", "offset", "open", "names"),
    *("reads", "type", "cj", "cj_scale", "channel", "arc", "arc_on", "arc_off"),
    *("baud", "parity", "stop", "timeout", "every", "settle", "usb"),
)

DEFAULT_BAUD = 9600
"""9600 baud without parity and one stop bit is what most meters leave the maker with.

Common practice, no source. The serial line specification requires even parity to be had, and
two stop bits where there is none (V1.02 section 2.5.1 as quoted in secondary pages); its default
is 19,200 baud (from memory). Hence the parameters.
"""
EVERY_S = 0.5
TIMEOUT_S = 0.5
"A slow meter answers within 0.1-0.3 s, and 16 registers at 9600 baud take 40 ms (from memory)."

_MOST_CHANNELS = 16

Parity = Literal["N", "E", "O"]
Table = Literal["holding", "input"]


@dataclass(frozen=True, slots=True)
class Line:
    """How a unit is reached, and when."""

    unit: int = 1
    table: Table = "holding"
    baud: int = DEFAULT_BAUD
    parity: Parity = "N"
    stop: int = 1
    timeout_s: float = TIMEOUT_S
    every_s: float = EVERY_S
    settle_s: float = 0.0

    @property
    def function(self) -> int:
        """The Modbus function that reads this table."""
        return 3 if self.table == "holding" else 4

    def __str__(self) -> str:
        """Return what to check where nothing answers."""
        return (
            f"unit {self.unit} at {self.baud} baud, parity {self.parity}, stop bits {self.stop}: "
            "check unit=, baud=, parity=, stop= and whether the wires A and B are swapped"
        )


def line_of(url: SensorUrl) -> Line:
    """Return how the unit is reached; raises UserInputError."""
    url.allow(*PARAMETERS)
    parity = url.params.get("parity", "N").upper()
    if parity not in ("N", "E", "O"):
        url.wrong(f'parity="{url.params["parity"]}"', "N, E or O")
    table = url.params.get("table", "holding")
    if table not in ("holding", "input"):
        url.wrong(f'table="{table}"', "holding (function 3) or input (function 4)")
    return Line(
        unit=_whole(url, "unit", 1, 247, 1),
        table=cast(Table, table),
        baud=_whole(url, "baud", 50, 4_000_000, DEFAULT_BAUD),
        parity=cast(Parity, parity),
        stop=_whole(url, "stop", 1, 2, 1),
        timeout_s=_given(url.number("timeout", 0.02, 5.0), TIMEOUT_S),
        every_s=_given(url.number("every", 0.1, 3600.0), EVERY_S),
        settle_s=_given(url.number("settle", 0.0, 600.0), 0.0),
    )


def registers_of(url: SensorUrl) -> Registers:
    """Return which registers are read and how; raises UserInputError."""
    kind, order = url.params.get("number", "int16"), url.params.get("order", "high")
    if kind not in NUMBERS:
        url.wrong(f'number="{kind}"', ", ".join(NUMBERS))
    if order not in ("high", "low"):
        url.wrong(f'order="{order}"', "high or low: which 16 bits of a longer number come first")
    if "order" in url.params and kind in ("int16", "uint16"):
        url.wrong(f"order= with number={kind}", "it with int32, uint32 or float32 only")
    addresses = _addresses(url)
    found = Registers(
        addresses,
        kind,
        low_first=order == "low",
        opens=_opens(url),
        names=_names(url, len(addresses)),
        cj_scale=_scale(url, "cj_scale"),
    )
    if "cj_scale" in url.params and url.params.get("cj") not in found.channels:
        url.wrong("cj_scale=…", f"it with cj= of a channel: {', '.join(found.channels)}")
    ordered = sorted(addresses)
    for one, other in pairwise(ordered):
        if other < one + found.width:
            each = "once each" if found.width == 1 else f"{found.width} registers for each {kind}"
            url.wrong(f"register={one} and {other}", each)
    return found


def channel_of(url: SensorUrl, registers: Registers) -> Channel:
    """Return how register numbers become °C; raises UserInputError.

    The value in the unit that `reads=` says is scale * number + offset.
    """
    base = url.channel("reads")
    scale, offset = _scale(url, "scale"), _given(url.number("offset", -1e6, 1e6), 0.0)
    if base.thermocouple is not None and offset:
        url.wrong("offset= with a voltage", "scale= alone: a voltage has no offset")
    known = registers.channels
    for key, name in (("channel", base.name), ("arc", base.arc_name), ("cj", base.cj_name)):
        if name and name not in known:
            url.wrong(f"{key}={name}", f"one of {', '.join(known)}")
    if len({base.arc_name, base.cj_name} - {""}) >= len(known):
        url.wrong("no register for the temperature", "one more in register=")
    return Channel(
        base.name,
        base.unit,
        base.scale * scale,
        base.scale * offset + base.offset_c,
        arc=base.arc,
        thermocouple=base.thermocouple,
    )


def _addresses(url: SensorUrl) -> tuple[int, ...]:
    text = url.params.get("register", "")
    parts = text.split(",")
    good = all(part.isascii() and part.isdigit() and int(part[:6]) <= 65535 for part in parts)
    if not good or len(parts) > _MOST_CHANNELS:
        expected = f"register=0, counted from 0, or up to {_MOST_CHANNELS}: register=0,2,10"
        url.wrong(f'register="{text}"' if text else "no register=", expected)
    return tuple(int(part) for part in parts)


def _names(url: SensorUrl, count: int) -> tuple[str, ...] | None:
    if "names" not in url.params:
        return None
    names = tuple(url.params["names"].split(","))
    good = all(is_channel_name(name) for name in names) and len(set(names)) == len(names)
    if not good or len(names) != count:
        url.wrong(f'names="{url.params["names"]}"', f"{count} different, such as names=hot,far")
    return names


def _opens(url: SensorUrl) -> tuple[float, ...]:
    if "open" not in url.params:
        return ()
    found = tuple(number(part) for part in url.params["open"].split(","))
    values = tuple(value for value in found if value is not None)
    if len(values) != len(found):
        url.wrong(f'open="{url.params["open"]}"', "the number sent for no sensor: open=32767")
    return values


def _scale(url: SensorUrl, name: str) -> float:
    scale = _given(url.number(name, -1e6, 1e6), 1.0)
    if scale == 0.0:
        url.wrong(f"{name}=0", "a factor such as 0.1")
    return scale


def _whole(url: SensorUrl, name: str, low: int, high: int, default: int) -> int:
    value = url.number(name, low, high)
    if value is None:
        return default
    if value != int(value):
        url.wrong(f'{name}="{url.params[name]}"', f"a whole number from {low} to {high}")
    return int(value)


def _given(value: float | None, default: float) -> float:
    return default if value is None else value
