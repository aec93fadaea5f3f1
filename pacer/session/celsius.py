"""Raw values of one line in °C: the unit the line marks, else the channel's; thermocouple voltages.

Before any correction and before the guard, so that exports, the fold and a field check
start from the same number. `corrected` applies what a field check found.
"""

from __future__ import annotations

from typing import NamedTuple

from pacer.heat.thermocouple import Letter, temp_c
from pacer.session.events import Channel, Reading, Status

MARKS: dict[str, tuple[float, float]] = {
    "degC": (1.0, 0.0),
    "degF": (5.0 / 9.0, -160.0 / 9.0),
    "K": (1.0, -273.15),
}
"Units a line may mark: °C = scale * value + offset."

OTHERS = {"degF": "°F", "K": "K"}
"Units that may be taken for °C, as people write them."

COLD_JUNCTION_C = (-40.0, 85.0)
"What the terminals of an instrument live in; beyond, the cold junction is misread (from memory)."

VOLTS: dict[str, float] = {"mV": 1.0, "uV": 0.001, "V": 1000.0}
"Units of a thermocouple's voltage, of a source or marked by a line: mV = factor * value."

OUT_OF_TYPE = "outside what type {letter} gives: open, reversed, or another type"
NO_COLD_JUNCTION = "no cold-junction value in the line"
COLD_JUNCTION_OUT = "the cold junction reads what no terminal can have: is its unit right?"
A_VOLTAGE = "a voltage: the sensor's URL needs unit=, type= and cj="


def read_as(unit: str, value: float) -> float:
    """Return °C of a number in a unit that a line may mark."""
    scale, offset_c = MARKS[unit]
    return scale * value + offset_c


def sent_as(unit: str, value_c: float) -> float:
    """Return the number that a source in a unit of `MARKS` sends for °C."""
    scale, offset_c = MARKS[unit]
    return (value_c - offset_c) / scale


class Degrees(NamedTuple):
    """One channel's value of one line."""

    name: str
    temp_c: float | None
    "Uncorrected; None where the status isn't ok, or where `why` says it can't be converted."
    status: Status
    why: str = ""
    marked: bool = False
    "The line says its unit itself."


def degrees(channel: Channel, reading: Reading) -> tuple[Degrees, ...]:
    """Return every temperature of a line: not the arc's channel, not the cold junction's."""
    wire = channel.thermocouple
    if wire is None and reading.units is None and reading.status == "ok":
        return _plain(channel, reading)
    values = tuple(
        zip(reading.channel_names(), reading.raw, reading.statuses(), _marks(reading), strict=False)
    )
    cj_c = _cold_junction_c(channel, values)
    found = []
    for name, raw, status, mark in values:
        if name == channel.arc_name or (wire is not None and name == wire.cj):
            continue
        if status != "ok" or not isinstance(raw, int | float):
            found.append(Degrees(name, None, status, _why(reading, status)))
        elif mark in MARKS or (wire is None and mark not in VOLTS):
            scale, offset_c = MARKS.get(mark, (channel.scale, channel.offset_c))
            found.append(Degrees(name, scale * raw + offset_c, status, marked=bool(mark)))
        elif wire is None:
            found.append(Degrees(name, None, status, A_VOLTAGE))
        else:
            mv = VOLTS.get(mark, channel.scale) * raw
            found.append(_from_voltage(name, mv, wire.letter, cj_c)._replace(marked=bool(mark)))
    return tuple(found)


def _plain(channel: Channel, reading: Reading) -> tuple[Degrees, ...]:
    """Return the temperatures of a line of plain numbers, as nearly all are."""
    scale, offset_c, arc, found = channel.scale, channel.offset_c, channel.arc_name, []
    for name, raw in zip(reading.channel_names(), reading.raw, strict=False):
        if name == arc:
            continue
        if isinstance(raw, (int, float)):
            found.append(Degrees(name, scale * raw + offset_c, "ok"))
        else:
            found.append(Degrees(name, None, "ok", _why(reading, "ok")))
    return tuple(found)


def _why(reading: Reading, status: Status) -> str:
    if status == "ok":
        return "missing"
    return (reading.why or "") if status == "unparsable" else ""


def _from_voltage(name: str, mv: float, letter: Letter, cj_c: float | None) -> Degrees:
    if cj_c is None:
        return Degrees(name, None, "ok", NO_COLD_JUNCTION)
    low_c, high_c = COLD_JUNCTION_C
    if not low_c <= cj_c <= high_c:
        return Degrees(name, None, "ok", COLD_JUNCTION_OUT)
    hot_c = temp_c(letter, mv, cj_c)
    return Degrees(name, hot_c, "ok", OUT_OF_TYPE.format(letter=letter) if hot_c is None else "")


def corrected(channel: Channel, name: str, value_c: float) -> float:
    """Return °C as the last field check of this channel corrects it."""
    for made in channel.corrections:
        if made.channel in {"", name}:
            return made.scale * value_c + made.offset_dc
    return value_c


def _marks(reading: Reading) -> tuple[str, ...]:
    return reading.units or ("",) * len(reading.raw)


def _cold_junction_c(
    channel: Channel, values: tuple[tuple[str, float | str | None, Status, str], ...]
) -> float | None:
    wire = channel.thermocouple
    if wire is None:
        return None
    if not wire.cj:
        return wire.cj_c
    for name, raw, status, mark in values:
        if name == wire.cj and status == "ok" and isinstance(raw, int | float):
            if mark in VOLTS:
                return None
            return read_as(mark if mark in MARKS else "degC", raw)
    return None
