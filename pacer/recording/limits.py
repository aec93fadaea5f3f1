"""What the numbers of a record may be, though its checksum holds, and which go together.

Wide of everything an honest session records, so that recordings of every version pass;
narrow enough that no fold, forecast or page divides by nothing, runs for ever or runs out
of numbers. Raw values of a reading may be anything: judging them is the fold's.
Common sense, no source, but where a source stands beside the figure.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime

import msgspec

from pacer.job.job import BeadPlan, Job
from pacer.session.events import (
    MOST_CHANNELS,
    Act,
    AnyEvent,
    Channel,
    ClockGap,
    CueTold,
    Ended,
    Inspection,
    Mark,
    Opened,
    Outcome,
    Reading,
    Recovered,
    Resumed,
    SensorChanged,
    Trouble,
    WallStepped,
)
from pacer.session.inspection import Imperfection, Look, Penetrant, Proof
from pacer.text import clean

LATEST_MS = 3_155_760_000_000
"""A century. A wall clock that was set wrong may bridge years when a recording is taken up
again; no session lasts longer, and every millisecond of it fits a float."""

MOST_IMPERFECTIONS = 50
"In one look; a part with more has no list but a drawing."

MOST_VALUES = MOST_CHANNELS
"Channels in one line."

PERIOD_S = (1e-3, 1e6)
"Between two readings."

_MOST_PLACES = 20_000
_SHORTEST_BEAD_S = 0.01
_MOST_BEADS = 1_000_000
_WALL = re.compile(r"\d{4}-\d{2}-\d{2}T[\d:.]+(?:Z|[+-]\d{2}:\d{2})", re.ASCII)
_TZ = re.compile(r"[+-][01]\d:[0-5]\d|[+-]2[0-3]:[0-5]\d", re.ASCII)
_YEARS = (1970, 2200)

JOB: dict[str, tuple[float, float]] = {
    "part.mass_kg": (1e-3, 1e6),
    "part.wall_m": (1e-4, 10.0),
    "joint.crack_length_m": (1e-4, 100.0),
    "joint.angle_deg": (0.0, 179.0),
    "joint.root_face_m": (0.0, 10.0),
    "joint.depth_m": (1e-5, 10.0),
    "joint.gap_m": (0.0, 1.0),
    "filler.diameter_m": (1e-5, 0.1),
    "filler.current_a": (0.1, 1e4),
    "filler.voltage_v": (0.1, 1e4),
    "heating.points": (1, 1000),
    "heating.max_rate_c_h": (1e-3, 1e6),
    "band.preheat_c": (-100.0, 2000.0),
    "band.floor_c": (-100.0, 2000.0),
    "band.ceiling_c": (-100.0, 2000.0),
    "band.soak_s": (0.0, 1e7),
    "band.deadband_dc": (0.0, 1000.0),
    "bead.length_m": (1e-4, 100.0),
    "bead.travel_m_s": (1e-5, 10.0),
    "bead.peen_s": (0.0, 1e6),
    "bead.peen_within_s": (0.0, 1e6),
    "bead.hood_down_s": (0.0, 1e6),
    "bead.hood_up_s": (0.0, 1e6),
    "bead.look_s": (0.0, 1e6),
    "postheat.temperature_c": (-100.0, 2000.0),
    "postheat.hold_s": (0.0, 1e7),
    "cooldown.volume_m3": (1e-6, 1e4),
    "cooldown.thickness_m": (1e-5, 100.0),
    "cooldown.ambient_c": (-100.0, 200.0),
    "cooldown.until_c": (-100.0, 2000.0),
    "cooldown.max_rate_c_h": (1e-3, 1e6),
    "cooldown.max_spread_dc": (0.0, 1e4),
    "sensor.distance_m": (0.0, 100.0),
}
"Numbers of the head's job: least and most, in the unit of the name. None is always allowed."

_CHANNEL: dict[str, tuple[float, float]] = {"scale": (-1e9, 1e9), "offset_c": (-1e9, 1e9)}

_EVENTS: dict[type, dict[str, tuple[float, float]]] = {
    Act: {
        "temp_c": (-273.15, 1e4),
        "side": (-1, 1),
        "length_m": (0.0, 100.0),
        "held_s": (0.0, 1e9),
    },
    SensorChanged: {"period_s": PERIOD_S, "settle_s": (0.0, 1e6)},
    ClockGap: {"to_ms": (0, LATEST_MS)},
    Mark: {"n": (0, 1e15)},
    Ended: {"n": (0, 1e15)},
    WallStepped: {"step_s": (-1e11, 1e11)},
    Resumed: {"cut": (0, 1e15)},
    Recovered: {
        "torn": (0, 1e15),
        "left_out": (0, 1e15),
        "missing": (0, 1e15),
        "repeated": (0, 1e15),
    },
    Outcome: {"service_s": (0.0, 1e11), "bead": (0, _MOST_BEADS)},
    Inspection: {"leak_s": (0.0, 1e9)},
    CueTold: {"again": (0, 1e6)},
}
_PARTS: dict[type, dict[str, tuple[float, float]]] = {
    Imperfection: {"number": (100, 9999), "bead": (0, _MOST_BEADS), "size_m": (0.0, 100.0)},
    Penetrant: {
        "surface_c": (-100.0, 2000.0),
        "dwell_s": (0.0, 1e9),
        "developer_s": (0.0, 1e9),
        "maker_s": (0.0, 1e9),
    },
    Proof: {
        "load_n": (0.0, 1e9),
        "arm_m": (0.0, 1000.0),
        "width_m": (1e-6, 100.0),
        "height_m": (1e-6, 100.0),
        "diameter_m": (1e-6, 100.0),
        "held_s": (0.0, 1e9),
    },
}
"Records within an inspection; a section of no size would make a stress of no number."

_GOES_WITH: dict[str, Look] = {
    "penetrant": "penetrant",
    "ring": "ring",
    "leak_s": "leak",
    "liquid": "leak",
    "opened": "back side",
    "welded": "back side",
    "proof": "proof load",
}
"Member of an inspection -> the only look it says anything about."

_NOTHING: dict[str, tuple[float, float]] = {}


def wrong_in(event: AnyEvent) -> str:
    """Return what is out of range in an event, with what was expected; nothing if all is well."""
    if not 0 <= event.t_ms <= LATEST_MS:
        return _out("b", event.t_ms, 0, LATEST_MS)
    if type(event) is Reading:
        return _reading(event)
    if wrong := _members(event, _EVENTS):
        return wrong
    if isinstance(event, Inspection) and (wrong := _inspection(event)):
        return wrong
    if isinstance(event, ClockGap) and event.to_ms < event.t_ms:
        return f"to {event.to_ms}, expected {event.t_ms} or later"
    wall = getattr(event, "wall", None)
    wrong = _wall(wall) if wall else ""
    if isinstance(event, Resumed):
        wrong = wrong or (_channel(event.channel) if event.channel else "") or _zone(event.tz)
    return wrong


def recordable(event: AnyEvent) -> AnyEvent:
    """Return the event, or what is recorded in its place where a reader would refuse it.

    What came in is never lost for its numbers: it stands in words.
    """
    wrong = wrong_in(event)
    if not wrong:
        return event
    words = clean(msgspec.json.encode(event).decode())
    if isinstance(event, Reading):
        why = f"too much for a record: {wrong}"
        return Reading(t_ms=event.t_ms, raw=(words,), status="unparsable", why=why)
    return Trouble(t_ms=event.t_ms, what="input", why=f"{wrong}: {words}")


def wrong_in_head(opened: Opened) -> str:
    """Return what is out of range in a head, with what was expected; nothing if all is well."""
    if not 0 <= opened.t_ms <= LATEST_MS:
        return _out("b", opened.t_ms, 0, LATEST_MS)
    if not 0 <= opened.v[1] <= 10**6:
        return _out("v", opened.v[1], 0, 10**6)
    period_s = opened.period_s
    if period_s is not None and not PERIOD_S[0] <= period_s <= PERIOD_S[1]:
        return _out("period_s", period_s, *PERIOD_S)
    return (
        _wall(opened.wall)
        or _zone(opened.tz)
        or _channel(opened.channel)
        or _job(opened.job)
        or _plan(opened.job.plan)
    )


def _out(name: str, value: float, least: float, most: float) -> str:
    if isinstance(value, int) and abs(value) >= 10**18:
        return f"{name} of more than 18 digits, expected {_plain(least)} to {_plain(most)}"
    return f"{name} {_plain(value)}, expected {_plain(least)} to {_plain(most)}"


def _plain(value: float) -> str:
    return str(value) if isinstance(value, int) else f"{value:g}"


def _reading(reading: Reading) -> str:
    count = len(reading.raw)
    if count > MOST_VALUES:
        return f"{count} values, expected at most {MOST_VALUES}"
    if not 0 <= reading.dropped <= 1e15:
        return _out("dropped", reading.dropped, 0, 1e15)
    status, names, units = reading.status, reading.names, reading.units
    if type(status) is tuple and len(status) != count:
        return f"{len(status)} status words for {count} values"
    if names is not None and len(names) != count:
        return f"{len(names)} names for {count} values"
    if units is not None and len(units) != count:
        return f"{len(units)} units for {count} values"
    return ""


def _members(record: object, known: dict[type, dict[str, tuple[float, float]]]) -> str:
    for name, (least, most) in known.get(type(record), _NOTHING).items():
        value = getattr(record, name)
        if value is not None and not least <= value <= most:
            return _out(name, value, least, most)
    return ""


def _inspection(event: Inspection) -> str:
    count = len(event.imperfections)
    if count > MOST_IMPERFECTIONS:
        return f"{count} imperfections, expected at most {MOST_IMPERFECTIONS}"
    for part in (*event.imperfections, event.penetrant, event.proof):
        if wrong := _members(part, _PARTS):
            return wrong
    if count and event.result != "imperfections found":
        return f'imperfections with "{event.result}", expected "imperfections found"'
    for name, look in _GOES_WITH.items():
        if getattr(event, name) not in (None, "") and event.look != look:
            return f'{name} with look "{event.look}", expected "{look}"'
    return ""


def _channel(channel: Channel) -> str:
    for name, (least, most) in _CHANNEL.items():
        value = getattr(channel, name)
        if not least <= value <= most:
            return _out(f"channel.{name}", value, least, most)
    if len(channel.corrections) > MOST_VALUES:
        return f"{len(channel.corrections)} channel.corrections, expected at most {MOST_VALUES}"
    for made in channel.corrections:
        if not (1e-3 <= made.scale <= 1e3 and -1e4 <= made.offset_dc <= 1e4):
            return (
                f"channel.corrections {made.scale:g} and {made.offset_dc:g}, "
                "expected 0.001 to 1000 and -10000 to 10000"
            )
    return ""


def _job(job: Job) -> str:
    for path, (least, most) in JOB.items():
        part, name = path.split(".")
        value = getattr(getattr(job, part), name)
        if value is not None and not least <= value <= most:
            return _out(f"job.{path}", value, least, most)
    if job.bead.planned_s < _SHORTEST_BEAD_S:
        return f"job.bead takes {job.bead.planned_s:g} s, expected {_SHORTEST_BEAD_S:g} s or more"
    for size_m in job.part.size_m or ():
        if not 1e-4 <= size_m <= 100.0:
            return f"job.part.size_m {size_m:g}, expected 0.0001 to 100"
    return ""


def _plan(plan: BeadPlan) -> str:
    for name in ("runs", "places"):
        value = getattr(plan, name)
        if not 1 <= value <= _MOST_PLACES:
            return _out(f"job.plan.{name}", value, 1, _MOST_PLACES)
    order, places = plan.order, plan.places
    # Each run visits every place once.
    every = set(range(places))
    if not order or len(order) > _MOST_PLACES or len(order) % places:
        return f"{len(order)} places in job.plan.order, expected {places} or whole runs of them"
    for first in range(0, len(order), places):
        if set(order[first : first + places]) != every:
            return f"job.plan.order, expected every place from 0 to {places - 1} once a run"
    return ""


def _wall(text: str) -> str:
    try:
        if _WALL.fullmatch(text) is None:
            raise ValueError
        found = datetime.fromisoformat(text).astimezone(UTC)
        if not _YEARS[0] <= found.year <= _YEARS[1]:
            raise ValueError
    except (ValueError, OverflowError):
        return (
            f'w "{text}", expected a time of {_YEARS[0]} to {_YEARS[1]} as ISO 8601 with its offset'
        )
    return ""


def _zone(text: str) -> str:
    if text and _TZ.fullmatch(text) is None:
        return f'tz "{text}", expected an offset such as +01:00'
    return ""
