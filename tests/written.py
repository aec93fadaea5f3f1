"""Recordings for tests: lines as the format says, and files of them."""

from __future__ import annotations

import zlib
from collections.abc import Iterable
from pathlib import Path

import msgspec

from pacer.job.job import Job
from pacer.recording.codec import encode, seed_of
from pacer.session.events import Act, AnyEvent, Channel, Ended, Opened, Reading

SID = "0123456789abcdef"


def head_of(job: Job, **fields: object) -> Opened:
    """Return a head."""
    head = Opened(
        v=(1, 0),
        sid=SID,
        app="pacer test",
        wall="2026-01-01T08:00:00.000+00:00",
        job=job,
        channel=Channel(name="t1", unit="degC"),
    )
    return msgspec.structs.replace(head, **fields)


def some_events(count: int = 12) -> list[AnyEvent]:
    """Return readings half a second apart with presses between, and a proper end."""
    events: list[AnyEvent] = []
    for i in range(count):
        events.append(Reading(t_ms=500 * i, raw=(20.0 + 7.25 * i,), status="ok"))
        if i % 4 == 3:
            events.append(Act(t_ms=500 * i, deed="note", text=f"note {i} é"))
    events.append(Ended(t_ms=500 * count, why="the source ended"))
    return events


def welded() -> list[AnyEvent]:
    """Preheated, soaked, one bead from 73.5 to 83.5 s, readings to 129 s; invented."""
    presses_ms = (1_000, 73_500, 83_500)
    events: list[AnyEvent] = [Act(t_ms=t_ms, deed="next", by="script") for t_ms in presses_ms]
    for t_s in range(130):
        events.append(Reading(t_ms=1000 * t_s, raw=(150.0 if t_s < 9 else 262.0,), status="ok"))
    return sorted(events, key=lambda event: event.t_ms)


def lines_of(head: Opened, events: Iterable[AnyEvent]) -> list[bytes]:
    """Return every line of a recording, the head first."""
    seed = seed_of(head.sid)
    return [encode(0, head, 0), *(encode(q, e, seed) for q, e in enumerate(events, start=1))]


def write_lines(path: Path, lines: Iterable[bytes]) -> Path:
    """Write lines to a new file."""
    path.write_bytes(b"".join(lines))
    return path


def sealed(body: bytes, seed: int) -> bytes:
    """Return `{…` without its end as a line with a checksum that holds."""
    return b'%b,"c":"%08x"}\n' % (body, zlib.crc32(body, seed))
