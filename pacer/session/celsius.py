"""Raw values of one line in °C: the unit the line marks, else the channel's; thermocouple voltages.

Before any correction and before the guard, so that exports, the fold and a field check
start from the same number. `corrected` applies what a field check found.
"""

from __future__ import annotations

from typing import NamedTuple

from pacer.heat.thermocouple import temp_c
from pacer.session.events import Channel, Reading, Status

MARKS: dict[str, tuple[float, float]] = {
    "degC": (1.0, 0.0),
    "degF": (5.0 / 9.0, -160.0 / 9.0),
    "K": (1.0, -273.15),
}
"Units a line may mark: °C = scale * value + offset."

OUT_OF_TYPE = "outside what this wire type gives"
NO_COLD_JUNCTION = "no cold-junction value in the line"


class Degrees(NamedTuple):
    """One channel's value of one line."""

    name: str
    temp_c: float | None
    "Uncorrected; None where the status isn't ok, or where `why` says it can't be converted."
    status: Status
    why: str = ""


def degrees(channel: Channel, reading: Reading) -> tuple[Degrees, ...]:
    """Return every temperature of a line: not the arc's channel, not the cold junction's."""
    values = tuple(
        zip(reading.channel_names(), reading.raw, reading.statuses(), _marks(reading), strict=False)
    )
    cj_c = _cold_junction_c(channel, values)
    wire = channel.thermocouple
    found = []
    for name, raw, status, mark in values:
        if name == channel.arc_name or (wire is not None and name == wire.cj):
            continue
        if status != "ok" or not isinstance(raw, int | float):
            found.append(Degrees(name, None, status, "" if status != "ok" else "missing"))
        elif wire is None or mark in MARKS:
            scale, offset_c = MARKS.get(mark, (channel.scale, channel.offset_c))
            found.append(Degrees(name, scale * raw + offset_c, status))
        elif cj_c is None:
            found.append(Degrees(name, None, status, NO_COLD_JUNCTION))
        else:
            hot_c = temp_c(wire.letter, channel.scale * raw, cj_c)
            found.append(Degrees(name, hot_c, status, OUT_OF_TYPE if hot_c is None else ""))
    return tuple(found)


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
            scale, offset_c = MARKS.get(mark, (1.0, 0.0))
            return scale * raw + offset_c
    return None
