"""A quick repair, and its recording as if it had been made at another time and cut off there."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import msgspec
from conftest import HOT
from written import lines_of, write_lines

from pacer.recording.reader import Recording
from pacer.session.events import AnyEvent, Ended, Mark

QUICK = HOT.replace('soak = "60 s"', 'soak = "3 s"')
"A hot job that soaks for 3 s; a bead takes 10 s."


def one_bead(*more: str) -> str:
    """Return a script: hot from 9 s, a bead from 20 s, peened from 31 s, READY until 60 s."""
    lines = ["0,20", "1,!next"]
    for t_s in range(2, 60):
        lines.append(f"{t_s},{150 if t_s < 9 else 262}")
        if t_s in {20, 31}:
            lines.append(f"{t_s},!next")
    return "\n".join([*lines, *more]) + "\n"


HELD_AND_COVERED = ("60,!hold", "70,261", "71,!covered")


def ended_at(path: Path, wall: datetime, out: Path) -> Path:
    """Write `path` anew as `out`: its last record is of `wall`, and nobody closed it."""
    recording = Recording(path)
    events = [event for event in recording.events() if not isinstance(event, Mark | Ended)]
    last_ms = max(event.t_ms for event in events)

    def at(t_ms: int) -> str:
        return (wall - timedelta(milliseconds=last_ms - t_ms)).isoformat(timespec="milliseconds")

    moved: list[AnyEvent] = [
        msgspec.structs.replace(event, wall=at(event.t_ms)) if hasattr(event, "wall") else event
        for event in events
    ]
    head = msgspec.structs.replace(recording.head, wall=at(recording.head.t_ms))
    return write_lines(out, lines_of(head, moved))
