"""A writer that is killed again and again: `python kills.py FOLDER KILLS SEED`; prints figures.

Each time a child takes the recording up where the last one left it, and says over a pipe
before and after every record, and before every call of the disk. After some of these words
it is killed, at whatever it does then: creating, reading, writing, syncing. JSON of counts
comes out, summed over the kills.
"""

from __future__ import annotations

import json
import os
import random  # noqa: TID251 - seeded moments of the kill
import signal
import sys
from contextlib import suppress
from pathlib import Path

from conftest import HOT
from written import head_of

from pacer.errors import RecordingError
from pacer.job.file.read import job_from_text
from pacer.recording.reader import Recording
from pacer.recording.writing.disk import RealDisk
from pacer.recording.writing.writer import Log
from pacer.session.events import Act, Opened, Reading

BEGUN, DONE, CALL = b"b", b"d", b"c"


class Telling(RealDisk):
    """The real disk; says before each call that it comes."""

    def __init__(self, pipe: int) -> None:
        super().__init__()
        self._pipe = pipe

    def reopen(self, path: Path) -> int:
        """Say so, and open."""
        os.write(self._pipe, CALL)
        return super().reopen(path)

    def create(self, path: Path) -> int:
        """Say so, and create."""
        os.write(self._pipe, CALL)
        return super().create(path)

    def write(self, fd: int, line: bytes) -> int:
        """Say so, and write."""
        os.write(self._pipe, CALL)
        return super().write(fd, line)

    def sync(self, fd: int) -> None:
        """Say so, and sync."""
        os.write(self._pipe, CALL)
        super().sync(fd)


def _write_on(path: Path, head: Opened, pipe: int) -> None:
    """Write record after record, numbered through by their session time, until killed."""
    disk = Telling(pipe)
    if path.exists():
        number = len(_numbers(path))
        log = Log(path, head, resume=Recording(path), disk=disk)
    else:
        number, log = 0, Log(path, head, disk=disk)
    while True:
        number += 1
        event = Act(t_ms=number, deed="note", text="é" * (number % 700))
        os.write(pipe, BEGUN)
        log.append(event if number % 3 else Reading(t_ms=number, raw=(20.0,), status="ok"), 0.0)
        os.write(pipe, DONE)


def _numbers(path: Path) -> list[int]:
    """Return the numbers of what is on disk; raises where anything of it is damaged."""
    recording = Recording(path)
    events = list(recording.events())
    if not recording.damage.sound:
        raise RecordingError("; ".join(recording.damage.told(path.name)))
    return [event.t_ms for event in events if isinstance(event, Act | Reading)]


def _killed(path: Path, head: Opened, words: int) -> bytes:
    """Start a child, kill it after so many words, and return all it said."""
    ours, theirs = os.pipe()
    child = os.fork()
    if not child:
        os.close(ours)
        with suppress(BaseException):
            _write_on(path, head, theirs)
        os._exit(1)
    os.close(theirs)
    said = b""
    while len(said) < words and (word := os.read(ours, words - len(said))):
        said += word
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    while word := os.read(ours, 1 << 16):
        said += word
    os.close(ours)
    if not os.WIFSIGNALED(status):
        raise SystemExit(f"the child ended by itself after {said!r}")
    return said


def main() -> None:
    """Kill, count, print."""
    folder, kills, seed = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
    chance = random.Random(seed)
    head = head_of(job_from_text(HOT, "hot"))
    path, before = folder / "a.jsonl", 0
    counted = ("kills", "done", "done_lost", "begun_lost", "most_lost", "torn", "unbegun")
    told = dict.fromkeys(counted, 0)
    for _ in range(kills):
        said = _killed(path, head, chance.choice((1, 2, 3, chance.randrange(4, 90))))
        told["kills"] += 1
        told["done"] += said.count(DONE)
        try:
            numbers = _numbers(path)
        except (RecordingError, FileNotFoundError):
            # Killed before the head was written down: nothing had begun.
            if before or BEGUN in said:
                raise
            told["unbegun"] += 1
            path.unlink(missing_ok=True)
            continue
        told["torn"] += not path.read_bytes().endswith(b"\n")
        if numbers != list(range(1, len(numbers) + 1)):
            raise SystemExit("what is on disk is not what was written, in its order")
        told["done_lost"] += max(0, before + said.count(DONE) - len(numbers))
        lost = max(0, before + said.count(BEGUN) - len(numbers))
        told["begun_lost"] += lost
        told["most_lost"] = max(told["most_lost"], lost)
        before = len(numbers)
    print(json.dumps(told))


if __name__ == "__main__":
    main()
