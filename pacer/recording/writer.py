"""Write a recording: one write a record, on disk before it is folded.

`append` gives back the event decoded from the very line written, so live and replay fold
the same bytes. A failed or short write is cut back to the last record's end; the line and
all that follow wait in memory, `trouble` says so, and every later append tries again.
After a failed sync the old file is not trusted: the whole session goes to a new file,
which is doubted until a sync of all of it has come back well.
"""

from __future__ import annotations

import errno
import hashlib
import math
import os
from contextlib import suppress
from pathlib import Path

from pacer.errors import RecordingError
from pacer.recording.codec import MAX_LINE, decode, encode, seed_of
from pacer.recording.disk import Disk, RealDisk
from pacer.recording.kept import Kept
from pacer.recording.reader import Recording
from pacer.session.events import AnyEvent, Ended, Mark, Opened, Reading
from pacer.text import clean

SYNC_EVERY_S = 1.0
"""Readings may wait so long for the disk; everything else is synced at once."""

REWRITE_EVERY_S = 5.0
"""How often a doubted file is written anew: a second sync of the same pages could lie."""


class Log:
    """An open recording, written by one program at a time."""

    def __init__(
        self,
        path: Path,
        opened: Opened,
        *,
        resume: Recording | None = None,
        disk: Disk | None = None,
    ) -> None:
        """Create `path`, which must not exist, and write the head; or go on with `resume`.

        Going on, a torn tail is copied to `NAME.torn-1` (or the next free number) and cut
        off; its length is in `cut`. Raises `RecordingError` with the cause, before anything
        has been heated.
        """
        self.path = path
        self.opened = opened
        self.trouble = ""
        "Not empty: what has been recorded since is only in memory; says why."
        self.cut = 0
        "Torn bytes set aside when it was opened again."
        self._disk: Disk = disk or RealDisk()
        self._stem = path.stem
        self._seed = seed_of(opened.sid)
        self._q = 1
        self._size = 0
        "Bytes of whole records on disk."
        self._kept = Kept()
        "Every line of the session: the way out when a file can't be trusted any more."
        self._waiting = 0
        "How many of the last lines in `_kept` are not on disk."
        self._sha = hashlib.sha256()
        self._synced_s = 0.0
        self._now_s = 0.0
        self._doubted = False
        "No sync of the file as it stands has come back well."
        self._rewritten_s = -math.inf
        self._fd: int | None = None
        if resume is None:
            self._create()
        else:
            self._go_on(resume)

    def _create(self) -> None:
        line = encode(0, self.opened, 0)
        if len(line) > MAX_LINE:
            name = clean(str(self.path))
            raise RecordingError(f"{name}: the job makes a head of more than {MAX_LINE} bytes")
        try:
            self._fd = self._disk.create(self.path)
        except OSError as error:
            raise _cannot_create(self.path, error) from None
        try:
            if self._disk.write(self._fd, line) != len(line):
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            self._disk.sync(self._fd)
        except OSError as error:
            self._give_up_file()
            # A stub left behind would refuse the next try.
            with suppress(OSError):
                self.path.unlink()
            raise _cannot_create(self.path, error) from None
        self._kept.append(line, waiting=0)
        self._sha.update(line)
        self._size = len(line)

    def _go_on(self, recording: Recording) -> None:
        name = clean(str(recording.path))
        try:
            self._fd = self._disk.reopen(recording.path)
            for _ in recording.records():
                pass
            whole = recording.path.read_bytes()
            sound, torn = whole[: recording.sound_end], whole[recording.sound_end :]
            if torn:
                _aside(recording.path, torn)
                self._disk.cut(self._fd, len(sound))
        except (OSError, RecordingError) as error:
            self._give_up_file()
            if isinstance(error, RecordingError):
                raise
            raise RecordingError(f"{name}: cannot be written: {_why(error)}") from None
        self.cut = len(torn)
        self._kept = Kept(sound.splitlines(keepends=True))
        self._size = len(sound)
        self._sha.update(sound)
        self._q = recording.next_q

    def append(self, event: AnyEvent, steady_s: float) -> AnyEvent:
        """Write `event` and return it as read back from the line written.

        `steady_s` is any steady clock, s; it only decides when readings are synced.
        Never raises for a disk's failure: `trouble` tells.
        """
        line = encode(self._q, event, self._seed)
        written = decode(line, self._seed).event
        assert written is not None
        self._q += 1
        self._now_s = steady_s
        self._waiting += 1
        self._kept.append(line, self._waiting)
        self._sha.update(line)
        self._catch_up()
        # A clock that jumps back must not put the next sync off.
        waited_s = abs(steady_s - self._synced_s)
        if not isinstance(event, Reading | Mark) or waited_s >= SYNC_EVERY_S:
            self._sync()
            self._synced_s = steady_s
        return written

    def mark(self, t_ms: int, wall: str, steady_s: float) -> None:
        """Write a seal: count and hash of everything before it."""
        seal = Mark(t_ms=t_ms, n=self._q, sha=self._sha.hexdigest(), wall=wall)
        self.append(seal, steady_s)

    def end(self, t_ms: int, why: str, wall: str, steady_s: float) -> None:
        """Write the end record and close the file."""
        sha = self._sha.hexdigest()
        self.append(Ended(t_ms=t_ms, why=why, n=self._q, sha=sha, wall=wall), steady_s)
        self.close()

    def close(self) -> None:
        """Sync and close, without an end record; what waits is tried once more."""
        if self.trouble:
            self._rewritten_s = -math.inf
            self._catch_up()
        self._sync()
        self._give_up_file()

    def retry(self, steady_s: float) -> None:
        """Try again to write what waits; called once a second while there is trouble."""
        self._now_s = steady_s
        self._catch_up()

    def _catch_up(self) -> None:
        if self._fd is None:
            self._new_file()
        elif self._doubted and abs(self._now_s - self._rewritten_s) >= REWRITE_EVERY_S:
            self._rewrite()
        else:
            self._write_waiting()

    def _write_waiting(self) -> None:
        while self._waiting and self._fd is not None:
            line = self._kept.from_end(self._waiting)
            try:
                done = self._disk.write(self._fd, line)
            except OSError as error:
                self._failed(_why(error))
                return
            if done != len(line):
                self._failed("disk full (short write)")
                return
            self._size += done
            self._waiting -= 1
        if not self._doubted:
            self.trouble = ""

    def _failed(self, why: str) -> None:
        """Cut back to the last whole record; the rest waits in memory."""
        assert self._fd is not None
        self.trouble = f"log not saved: {why}"
        try:
            self._disk.cut(self._fd, self._size)
        except OSError:
            self._give_up_file()

    def _sync(self) -> None:
        if self._fd is None or self._doubted:
            return
        try:
            self._disk.sync(self._fd)
        except OSError as error:
            # The kernel may have dropped what it could not write; a second sync could lie.
            self.trouble = f"log not saved: {_why(error)}"
            self._give_up_file()
            self._new_file()

    def _give_up_file(self) -> None:
        if self._fd is not None:
            with suppress(OSError):
                self._disk.close(self._fd)
        self._fd = None

    def _new_file(self) -> None:
        """Begin a new file beside the old one, for the whole session from memory."""
        for number in range(2, 100):
            path = self.path.with_name(f"{self._stem}-{number}{self.path.suffix}")
            try:
                self._fd = self._disk.create(path)
            except FileExistsError:
                continue
            except (OSError, RecordingError) as error:
                self.trouble = f"log not saved: {_why(error)}"
                return
            self.path, self._doubted = path, True
            self._rewrite()
            return

    def _rewrite(self) -> None:
        """Write the whole session into the doubted file, and doubt it no more if a sync holds."""
        assert self._fd is not None
        self._rewritten_s = self._now_s
        try:
            self._disk.cut(self._fd, 0)
            self._size, self._waiting = 0, len(self._kept)
            self._write_waiting()
            if self._fd is None or self._waiting:
                return
            self._disk.sync(self._fd)
        except OSError as error:
            self.trouble = f"log not saved: {_why(error)}"
            return
        self._doubted = False
        self.trouble = ""
        self._kept.forget_open()


def _why(error: OSError | RecordingError) -> str:
    return clean(getattr(error, "strerror", None) or str(error))


def _cannot_create(path: Path, error: OSError) -> RecordingError:
    name = clean(str(path))
    if isinstance(error, FileExistsError):
        return RecordingError(
            f"{name}: exists already; give another --out, or --resume to go on with it"
        )
    return RecordingError(f"{name}: cannot be created: {_why(error)}")


def _aside(path: Path, torn: bytes) -> None:
    """Keep a torn tail beside the recording: evidence is never thrown away."""
    for number in range(1, 1000):
        try:
            with path.with_name(f"{path.name}.torn-{number}").open("xb") as file:
                file.write(torn)
            return
        except FileExistsError:
            continue
    raise RecordingError(f"{clean(str(path))}: too many torn tails beside it")
