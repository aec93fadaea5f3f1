"""Copy what a damaged recording holds, byte for byte, into a new file.

That is the head, as often as it was meant to stand there, and every line whose checksum
holds and whose place is right, also one that this version makes nothing of.

The damaged file is only read. The new one gets its name when all of it is on the disk, so
there is never half a copy; killed before that, a file named `.OUT.part-1` may stay behind.
The same file always gives the same copy: it ends with a record that names the damaged file,
its SHA-256 and what was left out.
"""

from __future__ import annotations

import errno
import hashlib
import os
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from pacer.errors import RecordingError
from pacer.recording.codec import encode
from pacer.recording.reader import Recording, open_regular
from pacer.recording.writing.disk import Disk, InUse, RealDisk
from pacer.session.events import CueTold, Recovered
from pacer.text import clean

_CHUNK = 1 << 16


class Mended(NamedTuple):
    """What became of it."""

    records: int
    "Records copied, the head among them, once."
    left_out: tuple[str, ...]
    "What was wrong with the damaged file, as finished lines."


def mend(damaged: Path, out: Path, disk: Disk | None = None) -> Mended:
    """Write what can be kept of `damaged` to `out`, whole or not at all.

    Raises `RecordingError` if `damaged` has no sound head or is being written, or if `out`
    exists, is the damaged file itself or can't be written.
    """
    recording = Recording(damaged)
    name = clean(str(out))
    with suppress(OSError):
        if os.path.samefile(damaged, out):
            raise RecordingError(f"{name}: is the damaged recording itself; give another name")
    if os.path.lexists(out):
        raise RecordingError(f"{name}: exists already")
    disk = disk or RealDisk()
    before = _hash(recording)
    try:
        part, fd = _part(disk, out)
    except OSError as error:
        raise _failed(name, "written", error) from None
    placed = False
    try:
        try:
            records = _fill(disk, fd, recording, before.sha)
        finally:
            disk.close(fd)
        if _hash(recording) != before:
            raise RecordingError(
                f"{recording.name}: was written to meanwhile; try again when its session is closed"
            )
        disk.place(part, out)
        placed = True
    except FileExistsError:
        raise RecordingError(f"{name}: exists already") from None
    except OSError as error:
        raise _failed(name, "written", error) from None
    finally:
        if not placed:
            with suppress(OSError):
                disk.remove(part)
    return Mended(records, tuple(recording.damage.told(recording.name)))


def _fill(disk: Disk, fd: int, recording: Recording, sha: str) -> int:
    """Write and sync the copy; return how many records it has without the one about the copy."""
    records = -recording.heads.count(b"\n")
    for chunk in _packed(_copy(recording, sha)):
        if disk.write(fd, chunk) != len(chunk):
            raise OSError(errno.ENOSPC, "disk full (short write)")
        records += chunk.count(b"\n")
    disk.sync(fd)
    return records


def _copy(recording: Recording, sha: str) -> Iterator[bytes]:
    """Yield the head, every record to be kept, and the record that tells of the copy."""
    last_ms = recording.head.t_ms
    last_q = missing = unfit = 0
    yield recording.heads
    try:
        for record in recording.sealed():
            if record.event is not None and not isinstance(record.event, CueTold):
                last_ms = max(last_ms, record.event.known_ms)
            unfit += not record.fit
            missing += max(0, record.q - last_q - 1)
            last_q = max(last_q, record.q)
            yield record.line
    except OSError as error:
        raise _failed(recording.name, "read", error) from None
    damage = recording.damage
    told = Recovered(
        t_ms=last_ms,
        name=recording.name,
        sha=sha,
        left_out=damage.bad_lines - unfit,
        missing=missing,
        repeated=damage.repeated,
    )
    yield encode(last_q + 1, told, recording.seed)


def _packed(lines: Iterator[bytes]) -> Iterator[bytes]:
    """Yield lines some at a time: a copy needs no write a record."""
    waiting: list[bytes] = []
    size = 0
    for line in lines:
        waiting.append(line)
        size += len(line)
        if size >= _CHUNK:
            yield b"".join(waiting)
            waiting, size = [], 0
    yield b"".join(waiting)


class _Hash(NamedTuple):
    size: int
    sha: str


def _hash(recording: Recording) -> _Hash:
    """Return size and SHA-256 of the damaged file."""
    sha, size = hashlib.sha256(), 0
    try:
        with open_regular(recording.path) as file:
            while chunk := file.read(_CHUNK):
                sha.update(chunk)
                size += len(chunk)
    except OSError as error:
        raise _failed(recording.name, "read", error) from None
    return _Hash(size, sha.hexdigest())


def _part(disk: Disk, out: Path) -> tuple[Path, int]:
    for number in range(1, 1000):
        part = out.with_name(f".{out.name}.part-{number}")
        with suppress(FileExistsError, InUse):
            return part, disk.create(part)
    raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST))


def _failed(name: str, done: str, error: OSError) -> RecordingError:
    return RecordingError(f"{name}: cannot be {done}: {clean(error.strerror or str(error))}")
