"""Read a recording, whole or damaged, in bounded memory.

Sound records are delivered in file order; damaged lines, missing, repeated and unknown
records are counted and told, never silently dropped. The file is never changed.
"""

from __future__ import annotations

import hashlib
import os
import stat
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import BinaryIO

from pacer.errors import RecordingError
from pacer.recording.codec import (
    MAX_LINE,
    VERSION,
    Damaged,
    Record,
    decode,
    decode_head,
    seed_of,
)
from pacer.recording.damage import Damage
from pacer.recording.limits import wrong_in
from pacer.session.events import (
    MOST_CHANNELS,
    AnyEvent,
    CueTold,
    Ended,
    Mark,
    Opened,
    Outcome,
    Reading,
    Recovered,
)
from pacer.text import clean

_AFTER_THE_END = (Ended, Mark, CueTold, Recovered, Outcome)
"Kinds that may follow the end of a session; any other means that it went on."

_BROKEN_SEAL = "the seal does not match what stands before it: changed after it was recorded"


def open_regular(path: Path, expected: str = "a pacer recording") -> BinaryIO:
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
        raise RecordingError(f"{name}: not a regular file, expected {expected}")
    return os.fdopen(fd, "rb")


def _lines(file: BinaryIO, seen: Callable[[bytes], None]) -> Iterator[tuple[int, bytes, int]]:
    """Yield (line number, bytes, end offset); an over-long line comes cut and without its end.

    `seen` is given every byte, those of a record after its turn.
    """
    line_no, offset = 0, 0
    while line := file.readline(MAX_LINE + 1):
        line_no += 1
        offset += len(line)
        if len(line) <= MAX_LINE or line.endswith(b"\n"):
            yield line_no, line, offset
            # A mail program's CRLF is the LF it was.
            seen(line[:-2] + b"\n" if line.endswith(b"}\r\n") else line)
            continue
        whole = line
        while line and not line.endswith(b"\n"):
            seen(line)
            line = file.readline(MAX_LINE + 1)
            offset += len(line)
        seen(line)
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
        sha = hashlib.sha256()
        with open_regular(self.path) as file:
            lines = _lines(file, sha.update)
            _, _, self.sound_end = next(lines)
            judge = _Judge(self.head, self.seed)
            self.damage = judge.damage
            self.next_q = 1
            for line_no, line, offset in lines:
                record = judge.record(line_no, line)
                if record is None:
                    continue
                judge.settle(line_no, record, offset - len(line) - self.sound_end, sha.hexdigest)
                self.sound_end = offset
                self.next_q = judge.next_q
                yield record

    def events(self) -> Iterator[AnyEvent]:
        """Yield every event this version knows."""
        return (r.event for r in self.records() if r.event is not None)


class _Judge:
    """Tells sound lines from others, and what others came to."""

    def __init__(self, head: Opened, seed: int) -> None:
        self.damage = Damage(newer=head.v if head.v[1] > VERSION[1] else None)
        self.next_q = 1
        self._seed = seed
        self._latest_ms = head.t_ms
        self._sealed = True
        "False once bytes that a later seal counts are known to be gone."
        self._names: set[str] = set()
        self._last_names: tuple[str, ...] | None = None
        self._before: tuple[int, int, int, int] | None = None
        "Since the last sound record something was left out: its line number, and what had been told."

    def record(self, line_no: int, line: bytes) -> Record | None:
        """Return the record of a sound line that is in its place; any other is told."""
        try:
            if not line.endswith(b"\n"):
                raise Damaged("cut off" if len(line) <= MAX_LINE else "too long for a record")
            record = decode(line, self._seed)
            if record.q < self.next_q:
                self._left_out(line_no, f"record {record.q} comes again or out of order")
                self.damage.repeated += 1
                return None
            if record.event is not None:
                self._check(record.event)
        except Damaged as error:
            self._left_out(line_no, str(error))
            self.damage.bad_lines += 1
            return None
        return record

    def _check(self, event: AnyEvent) -> None:
        if wrong := wrong_in(event):
            raise Damaged(f"not as the format says ({clean(wrong, 160)})")
        if event.t_ms < self._latest_ms and type(event) is not CueTold:
            raise Damaged(
                f"session time falls from {self._latest_ms / 1000:.3f} s to {event.t_s:.3f} s"
            )

    def _left_out(self, line_no: int, why: str) -> None:
        damage = self.damage
        if self._before is None:
            self._before = (line_no, len(damage.lines), damage.bad_lines, damage.repeated)
        damage.note(line_no, why)

    def settle(self, line_no: int, record: Record, since: int, sha: Callable[[], str]) -> None:
        """Take a record in its place; `since`: bytes since the last sound one.

        `sha` gives the hash of all bytes before it.
        """
        event = record.event
        if record.q > self.next_q:
            damage = self.damage
            damage.missing += record.q - self.next_q
            damage.note(line_no, f"records {self.next_q} to {record.q - 1} are missing")
        if type(event) is not Reading:
            self._news(line_no, event, since, sha)
        elif event.names is not None and event.names != self._last_names:
            self._named(line_no, event.names)
        self.next_q = record.q + 1
        self._before = None
        if event is not None and type(event) is not CueTold:
            self._latest_ms = event.t_ms

    def _news(
        self, line_no: int, event: AnyEvent | None, since: int, sha: Callable[[], str]
    ) -> None:
        damage = self.damage
        if event is None:
            damage.unknown += 1
            return
        if isinstance(event, Recovered) and event.name:
            damage.copy = event
        elif isinstance(event, Recovered) and event.torn:
            self._torn(event, since)
        elif isinstance(event, Mark | Ended):
            # Where bytes are gone a seal says nothing: of that is told already.
            whole = self._sealed and damage.unaltered
            if whole and event.sha and event.sha != sha():
                damage.seals += 1
                damage.note(line_no, _BROKEN_SEAL)
        if not isinstance(event, _AFTER_THE_END):
            damage.ended = False
        elif isinstance(event, Ended):
            damage.ended = True

    def _named(self, line_no: int, names: tuple[str, ...]) -> None:
        self._last_names = names
        known = len(self._names)
        if known <= MOST_CHANNELS:
            self._names.update(names)
            if len(self._names) > MOST_CHANNELS:
                why = f"more than {MOST_CHANNELS} channel names so far; further ones are not judged"
                self.damage.note(line_no, why)

    def _torn(self, event: Recovered, since: int) -> None:
        """What was left out since the last sound record was known when the recording went on."""
        if self._before is None or since not in {event.torn, event.torn + 1}:
            # A copy: the seals after this one count bytes that stayed in the other file.
            self._sealed = False
            return
        damage = self.damage
        line_no, told, damage.bad_lines, damage.repeated = self._before
        del damage.lines[told:]
        damage.torn += event.torn
        left = f"{event.torn} torn bytes, left out when the recording was taken up again"
        damage.note(line_no, left)
