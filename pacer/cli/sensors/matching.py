"""Which sensor is which: the settings' corrections that belong to a session's sensor.

A sensor is known by its adapter's USB serial number where it has one, else by its URL without
what doesn't tell one sensor from another. Names that lead to the same port are the same.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import msgspec

from pacer.clock import Clock
from pacer.sensor.port.identity import Listing, Usb, parse_usb, ports, same_name, usb_of
from pacer.sensor.source import Source
from pacer.sensor.url import SensorUrl, parse_url
from pacer.session.events import Channel, Correction
from pacer.settings import SensorCorrection, Settings
from pacer.text import clean

OLD = timedelta(days=365)
"""A thermocouple in a shop drifts with every heat and is repaired with what is at hand: yearly is
the common interval of recalibration. Common practice, no source."""

_TELLING = (
    "type",
    "cj",
    "unit",
    "register",
    "table",
    "number",
    "order",
    "scale",
    "offset",
    "reads",
)
"Parameters of a bus or of voltages that make another reading of the same port."

_TEXT_TELLING = ("type", "cj")
"The same where lines of text are read: `unit=` only says what they mean."

_SERIAL = ("serial", "modbus")


@dataclass(frozen=True, slots=True)
class Known:
    """What a sensor is known by."""

    sensor: str
    "Its URL without what doesn't matter."
    usb: Usb | None = None
    "Its adapter; None: not on USB, or not known."


def known_as(url: SensorUrl, listing: Listing = ports) -> Known:
    """Return what the sensor of this URL is known by."""
    telling = _TELLING if url.scheme == "modbus" else _TEXT_TELLING
    said = "&".join(f"{name}={url.params[name]}" for name in telling if name in url.params)
    slashes = "" if url.scheme == "file" else "//"
    sensor = f"{url.scheme}:{slashes}{url.target}" + (f"?{said}" if said else "")
    usb = parse_usb(url.params.get("usb", ""))
    if usb is None and url.target and url.scheme in _SERIAL:
        usb = usb_of(url.target, listing)
    return Known(clean(sensor, 200), usb)


def same_sensor(made: SensorCorrection, known: Known) -> bool:
    """True where a correction was made of this sensor, as far as can be told."""
    usb = parse_usb(made.usb)
    if usb is not None and known.usb is not None:
        if usb.serial and known.usb.serial:
            return usb.fits(known.usb) and _telling(made.sensor) == _telling(known.sensor)
        if (usb.vid, usb.pid) != (known.usb.vid, known.usb.pid):
            return False  # another adapter has the name now
    return made.sensor == known.sensor or _same_port(made.sensor, known.sensor)


def _telling(sensor: str) -> str:
    return sensor.partition("?")[2]


def _same_port(one: str, other: str) -> bool:
    (scheme, port), (other_scheme, other_port) = (
        sensor.partition("?")[0].split("://", 1) if "://" in sensor else ("", "")
        for sensor in (one, other)
    )
    return (
        scheme == other_scheme
        and scheme in _SERIAL
        and _telling(one) == _telling(other)
        and bool(port and other_port)
        and same_name(port, other_port)
    )


def corrections_for(
    url: str, settings: Settings, listing: Listing = ports
) -> tuple[Correction, ...]:
    """Return the corrections that belong to a sensor's URL; ask before the port is opened."""
    if not settings.corrections:
        return ()
    known = known_as(parse_url(url), listing)
    return tuple(
        Correction(
            scale=made.scale,
            offset_dc=made.offset_dc,
            made=made.made,
            how=clean(made.how, 200),
            channel=made.channel,
        )
        for made in settings.corrections
        if same_sensor(made, known)
    )


def told_corrections(url: str, settings: Settings, clock: Clock) -> tuple[Correction, ...]:
    """Return a session's corrections as `corrections_for`, and say on stderr that there are any."""
    corrections = corrections_for(url, settings)
    for line in notes(corrections, clock.wall().date()):
        print(f"pacer: note: {line}", file=sys.stderr)
    return corrections


def correct(source: Source, corrections: Sequence[Correction]) -> None:
    """Let a source's readings be corrected; what is recorded stays raw."""
    if corrections:
        source.channel = msgspec.structs.replace(source.channel, corrections=tuple(corrections))


def in_head(channel: Channel) -> dict[str, str]:
    """Return what the recording's head keeps of a source's corrections among its settings."""
    if not channel.corrections:
        return {}
    return {"corrections": "; ".join(_told(made) for made in channel.corrections)}


def notes(corrections: Sequence[Correction], today: date) -> list[str]:
    """Return what the welder is told at the start: what is corrected, and what is old."""
    lines = []
    for made in corrections:
        lines.append(f"corrected by its field check: {_told(made)}")
        if today - date.fromisoformat(made.made[:10]) > OLD:
            lines.append(
                f"the field check of {made.channel or 'this sensor'} is over a year old: "
                "repeat it (pacer guide checking)"
            )
    return lines


def _told(made: Correction) -> str:
    name = f"{clean(made.channel, 40)}: " if made.channel else ""
    how = f" ({made.how})" if made.how else ""
    return f"{name}{made.scale:.4f} x °C {made.offset_dc:+.2f} K, made {made.made[:10]}{how}"
