"""Read a recording, whole or damaged, in bounded memory.

Sound records are delivered in file order; damaged lines, missing, repeated and unknown
records are counted and told, never silently dropped. The file is never changed.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import BinaryIO

from pacer.errors import RecordingError
from pacer.recording.codec import MAX_LINE, Damaged, Record, decode, decode_head, seed_of
from pacer.session.events import AnyEvent, Ended, Opened
from pacer.text import clean

_SHOWN = 8


@dataclass(slots=True)
class Damage:
    """What was found wrong while reading."""

    lines: list[str] = field(default_factory=list)
    "The first few, each with its line number."
    bad_lines: int = 0
    missing: int = 0
    "Records whose sequence number never came."
    repeated: int = 0
    unknown: int = 0
    "Sound records of kinds this version does not know (kept, not shown)."
    ended: bool = False
    "The recording was closed on purpose."

    @property
    def sound(self) -> bool:
        """True if nothing is damaged or missing."""
        return not (self.bad_lines or self.missing or self.repeated)

    def note(self, line_no: int, why: str) -> None:
        """Keep the first few complaints."""
        if len(self.lines) < _SHOWN:
            self.lines.append(f"line {line_no}: {why}")

    def told(self, name: str) -> list[str]:
        """Return the complaints as finished lines, `name` first."""
        told = [f"{name}: {line}" for line in self.lines]
        parts = []
        if self.bad_lines:
            parts.append(f"{self.bad_lines} damaged line(s) left out")
        if self.missing:
            parts.append(f"{self.missing} record(s) missing")
        if self.repeated:
            parts.append(f"{self.repeated} repeated record(s) left out")
        if parts:
            told.append(f"{name}: {', '.join(parts)}; the rest is sound")
        if self.unknown:
            told.append(f"{name}: {self.unknown} record(s) of a kind this version does not know")
        return told


def open_regular(path: Path) -> BinaryIO:
    """Open a regular file for reading, never blocking on a pipe or device.

    Raises `RecordingError` with the cause in one line.
    """
    name = clean(str(path))
    try:
        fd = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    except (OSError, ValueError) as error:
        cause = error.strerror if isinstance(error, OSError) else "not a file name"
        raise RecordingError(f"{name}: cannot be opened: {clean(str(cause))}") from None
    if not stat.S_ISREG(os.fstat(fd).st_mode):
        os.close(fd)
        raise RecordingError(f"{name}: not a regular file, expected a pacer recording")
    return os.fdopen(fd, "rb")


def _lines(file: BinaryIO) -> Iterator[tuple[int, bytes, int]]:
    """Yield (line number, bytes, end offset); an over-long line comes cut and without its end."""
    line_no, offset = 0, 0
    while line := file.readline(MAX_LINE + 1):
        line_no += 1
        offset += len(line)
        whole = line
        while not line.endswith(b"\n") and len(line) > MAX_LINE:
            line = file.readline(MAX_LINE + 1)
            offset += len(line)
            if not line:
                break
        yield line_no, whole, offset


class Recording:
    """An opened recording: its head at once, its events as they are asked for."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.name = clean(path.name)
        self.damage = Damage()
        with open_regular(path) as file:
            self.head: Opened = decode_head(file.readline(MAX_LINE + 1), self.name)
        self.seed = seed_of(self.head.sid)
        self.next_q = 1
        self.sound_end = 0
        "Byte offset after the last sound record; set once all records have been read."

    def records(self) -> Iterator[Record]:
        """Yield every sound record after the head, in order; fills `damage` on the way."""
        self.damage = damage = Damage()
        self.next_q = 1
        with open_regular(self.path) as file:
            for line_no, line, offset in _lines(file):
                if line_no == 1:
                    self.sound_end = offset
                    continue
                record = self._record(line_no, line, damage)
                if record is None:
                    continue
                self.sound_end = offset
                damage.ended = isinstance(record.event, Ended)
                yield record

    def _record(self, line_no: int, line: bytes, damage: Damage) -> Record | None:
        try:
            if not line.endswith(b"\n"):
                raise Damaged("cut off" if len(line) <= MAX_LINE else "too long for a record")
            record = decode(line, self.seed)
        except Damaged as error:
            damage.bad_lines += 1
            damage.note(line_no, str(error))
            return None
        if record.q < self.next_q:
            damage.repeated += 1
            damage.note(line_no, f"record {record.q} comes again or out of order")
            return None
        if record.q > self.next_q:
            damage.missing += record.q - self.next_q
            damage.note(line_no, f"records {self.next_q} to {record.q - 1} are missing")
        self.next_q = record.q + 1
        if record.event is None:
            damage.unknown += 1
        return record

    def events(self) -> Iterator[AnyEvent]:
        """Yield every event this version knows."""
        return (r.event for r in self.records() if r.event is not None)
