"""A power cut in the model: what was synced stays, of the rest any block may be anything (T-05).

The disk under the log keeps what was synced last and what is in the file. Of each block of
512 B or 4 kB, only its bytes that were not synced are at stake (SQLite's "powersafe
overwrite", psow.html, as in reliability.md section 1): kept, zeroed, random, or stale, which
is what stood at that place of another recording. The file's size may be any between, or
more: a file system may let a file grow before its bytes arrive.
"""

from __future__ import annotations

import random  # noqa: TID251 - seeded states
from pathlib import Path

import pytest
from fakes import QuietDisk
from written import head_of

from pacer.errors import RecordingError
from pacer.job.job import Job
from pacer.recording.codec import Record
from pacer.recording.head import HEADS
from pacer.recording.reader import Recording
from pacer.recording.writing.writer import Log
from pacer.session.events import Act, AnyEvent, Mark, Opened, Reading

OTHER_SID = "fedcba9876543210"
NOTE = Act(t_ms=10**6, deed="note", text="going on")


class Watched(QuietDisk):
    """Remembers after each call what the file holds and how much of it is synced."""

    def __init__(self) -> None:
        super().__init__()
        self.now, self.synced = b"", 0
        self.moments: list[tuple[bytes, int]] = []

    def write(self, fd: int, line: bytes) -> int:
        """Write: in the file, not yet on the disk."""
        self.now += line
        self.moments.append((self.now, self.synced))
        return super().write(fd, line)

    def sync(self, fd: int) -> None:
        """Sync: on the disk."""
        self.synced = len(self.now)
        self.moments.append((self.now, self.synced))


def _events(count: int) -> list[AnyEvent]:
    """Readings at 4 Hz, a press now and then: up to four readings wait for a sync."""
    events: list[AnyEvent] = []
    for i in range(count):
        events.append(Reading(t_ms=250 * i, raw=(20.0 + i, 19.25, None, 21.5), status="ok"))
        if i % 11 == 10:
            events.append(Act(t_ms=250 * i, deed="note", text=f"é {i}" * (i % 9)))
    return events


def _written(path: Path, head: Opened, disk: Watched) -> list[bytes]:
    """Write a session and return its lines, the head once."""
    log = Log(path, head, disk=disk)
    for event in _events(60):
        log.append(event, event.t_s)
        log.beat(event.t_s)
    log.close()
    return path.read_bytes().splitlines(keepends=True)[HEADS - 1 :]


def _cut(chance: random.Random, now: bytes, synced: int, stale: bytes) -> bytes:
    """Return what a power cut leaves of `now`."""
    block = chance.choice((512, 4096))
    whole = bytearray(now[:synced])
    end = chance.choice((len(now), chance.randint(synced, len(now)), len(now) + block))
    while len(whole) < end:
        at = len(whole)
        size = min(block - at % block, end - at)
        fate = chance.choice(("kept", "zeroed", "random", "stale"))
        piece = {
            "kept": now[at : at + size],
            "zeroed": b"",
            "random": chance.randbytes(size),
            "stale": stale[at : at + size],
        }[fate]
        whole += piece.ljust(size, b"\x00")
    return bytes(whole)


def _survive(job: Job, folder: Path, states: int, seed: int) -> tuple[int, int]:
    """Return how many synced records were lost, and how many wrong ones accepted."""
    chance = random.Random(seed)
    disk = Watched()
    lines = _written(folder / "a.jsonl", head_of(job), disk)
    others = _written(folder / "other.jsonl", head_of(job, sid=OTHER_SID), Watched())
    # An earlier file of the same length at the same place; and our own, a block further on.
    own = lines[0] * (HEADS - 1) + b"".join(lines)
    stales = (others[0] * (HEADS - 1) + b"".join(others), own[512:], own[4096:], own)
    lost = wrong = 0
    for state in range(states):
        now, synced = chance.choice(disk.moments)
        found = _cut(chance, now, synced, chance.choice(stales))
        cut = folder / f"{state}.jsonl"
        cut.write_bytes(found)
        sure = max(0, now[:synced].count(b"\n") - HEADS + 1)
        try:
            recording = Recording(cut)
        except RecordingError:
            # Cut off before the head was synced: nothing has been heated.
            lost += sure
            continue
        read = list(recording.records())
        if recording.head.sid == OTHER_SID:
            # Cut off before anything was synced: there is no session yet. Blocks of an older
            # file may hold its head, and then it is told as damaged.
            wrong += synced > 0 or recording.damage.sound
            cut.unlink()
            continue
        wrong += sum(record.line != lines[record.q] for record in read)
        lost += len(_missing(read, sure))
        if state % 8 == 0:
            _go_on(cut, found, read)
        cut.unlink()
    return lost, wrong


def _missing(read: list[Record], sure: int) -> set[int]:
    return set(range(1, sure)) - {record.q for record in read}


def _go_on(cut: Path, found: bytes, read: list[Record]) -> None:
    """Taken up again: what is there stays, what is added is found."""
    recording = Recording(cut)
    log = Log(cut, recording.head, resume=recording, disk=QuietDisk())
    log.append(NOTE, 0.0)
    log.mark(10**6, "2026-01-01T09:00:00+00:00", 0.0)
    log.close()
    assert cut.read_bytes().startswith(found)
    again = Recording(cut)
    records = list(again.records())
    assert records[: len(read)] == read
    assert records[-2].event == NOTE
    assert isinstance(records[-1].event, Mark)
    assert again.damage.seals == 0


def test_the_model_has_every_fate(hot_job: Job, tmp_path: Path) -> None:
    """It cuts, zeroes, garbles and grows; and keeps every synced byte."""
    chance = random.Random(3)
    now, stale = b"n" * 9000, b"s" * 9000
    cuts = [_cut(chance, now, 1000, stale) for _ in range(200)]
    assert all(cut.startswith(b"n" * 1000) for cut in cuts)
    assert {True, False} == {len(cut) > len(now) for cut in cuts}
    assert any(1000 < len(cut) < 9000 for cut in cuts)
    assert any(b"s" * 400 in cut for cut in cuts)
    assert any(b"\x00" * 400 in cut[:9000] for cut in cuts)
    assert any(cut[1024:4096] == now[1024:4096] for cut in cuts)


@pytest.mark.slow
def test_a_power_cut_costs_at_most_what_was_not_synced(hot_job: Job, tmp_path: Path) -> None:
    """T-05: 0 synced records lost, 0 wrong ones accepted, of 2,000 states; each eighth goes on."""
    assert _survive(hot_job, tmp_path, 2000, seed=1) == (0, 0)


@pytest.mark.full
def test_forty_thousand_power_cuts(hot_job: Job, tmp_path: Path) -> None:
    """T-05, at length."""
    assert _survive(hot_job, tmp_path, 40_000, seed=2) == (0, 0)
