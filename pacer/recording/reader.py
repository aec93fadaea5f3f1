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

import msgspec

from pacer.errors import RecordingError
from pacer.recording.codec import (
    MAX_LINE,
    VERSION,
    Damaged,
    Record,
    Unfit,
    decode,
    seed_of,
)
from pacer.recording.damage import Damage
from pacer.recording.head import BOM, as_written, read_head
from pacer.recording.limits import wrong_in
from pacer.session.events import (
    MOST_CHANNELS,
    NOT_FOLDED,
    AnyEvent,
    CueTold,
    Ended,
    Mark,
    Opened,
    Reading,
    Recovered,
)
from pacer.text import clean

_AFTER_THE_END = (Ended, *NOT_FOLDED)
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
        if line_no == 1:
            line = line.removeprefix(BOM)
        if len(line) <= MAX_LINE or line.endswith(b"\n"):
            yield line_no, line, offset
            seen(as_written(line))
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
            self._head = read_head(file, self.name)
        self.head: Opened = self._head.opened
        self.heads = self._head.line * self._head.times
        "The head as it was written at the start of the file, every copy of it."
        self.seed = seed_of(self.head.sid)
        self.next_q = 1
        self.sound_end = 0
        "Byte offset after the last sound record; set once all records have been read."
        self.sha = hashlib.sha256()
        "Of every byte as it was written; all of them once all records have been read."

    def records(self) -> Iterator[Record]:
        """Yield every sound record after the head, in order; fills `damage` on the way."""
        return (record for record in self.sealed() if record.fit)

    def sealed(self) -> Iterator[Record]:
        """Yield what `records` does, and in its place every line that is only not fit."""
        sha = self.sha = hashlib.sha256()
        head = self._head
        with open_regular(self.path) as file:
            judge = _Judge(head.opened, self.seed)
            self.damage = judge.damage
            self.next_q = 1
            at_heads = True
            for line_no, line, offset in _lines(file, sha.update):
                if line_no == 1 or (at_heads and as_written(line) == head.line):
                    self.sound_end = offset
                    if line_no == 1 and head.lost:
                        judge.head_lost()
                    continue
                record = judge.record(line_no, line)
                if record is None:
                    continue
                if record.fit:
                    since = offset - len(line) - self.sound_end
                    judge.settle(line_no, record, since, sha.hexdigest)
                    self.sound_end = offset
                    self.next_q = judge.next_q
                at_heads = False
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
        # Killed while it went on, an older program began the next gap where that one began.
        self._gaps_count = head.v >= (1, 3)
        self._sealed = True
        "False once bytes that a later seal counts are known to be gone."
        self._names: set[str] = set()
        self._last_names: tuple[str, ...] | None = None
        self._before: tuple[int, int, int, int] | None = None
        "Since the last sound record something was left out: its line number, and what had been told."

    def head_lost(self) -> None:
        """Tell that line 1 is damaged, which another line makes up for."""
        self.damage.bad_lines += 1
        self.damage.note(1, "the head is damaged; its copy is used")

    def record(self, line_no: int, line: bytes) -> Record | None:
        """Return the record of a line that is in its place, fit or not; any other is told."""
        record, wrong = None, ""
        try:
            if not line.endswith(b"\n"):
                raise Damaged("cut off" if len(line) <= MAX_LINE else "too long for a record")
            record = decode(line, self._seed)
        except Unfit as error:
            record = error.record
            if self.damage.newer is not None and error.word:
                record = msgspec.structs.replace(record, fit=True)
            else:
                wrong = str(error)
        except Damaged as error:
            wrong = str(error)
        if record is not None and record.q < self.next_q:
            self._left_out(line_no, f"record {record.q} comes again or out of order")
            self.damage.repeated += 1
            return None
        if record is not None and record.event is not None and (wrong := self._wrong(record.event)):
            record = msgspec.structs.replace(record, event=None, fit=False)
        if wrong:
            self._left_out(line_no, wrong)
            self.damage.bad_lines += 1
        return record

    def _wrong(self, event: AnyEvent) -> str:
        """Return what is wrong with a record that is as the format says, or nothing."""
        if wrong := wrong_in(event):
            return f"not as the format says ({clean(wrong, 160)})"
        if event.t_ms < self._latest_ms and type(event) is not CueTold:
            return f"session time falls from {self._latest_ms / 1000:.3f} s to {event.t_s:.3f} s"
        return ""

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
            self._latest_ms = event.known_ms if self._gaps_count else event.t_ms

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
