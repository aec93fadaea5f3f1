"""The log: one write a record, synced in time, one writer (T-01, T-09, T-10, T-19)."""

from __future__ import annotations

import errno
import math
import os
from datetime import datetime
from pathlib import Path

import pytest
from faulty_disk import Call, Fault, FaultyDisk
from written import head_of, lines_of, some_events, write_lines

from pacer.errors import RecordingError
from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.recording.writing.writer import Log
from pacer.session.events import (
    Act,
    AnyEvent,
    ClockGap,
    CueTold,
    Ended,
    Mark,
    Outcome,
    Reading,
    Resumed,
    SensorChanged,
    Trouble,
    WallStepped,
)

EVENTS = some_events(12)[:-1]


def _events(path: Path) -> list[AnyEvent]:
    recording = Recording(path)
    events = list(recording.events())
    assert recording.damage.sound, recording.damage.told("x")
    return events


def test_append_gives_back_what_was_written(hot_job: Job, tmp_path: Path) -> None:
    """design.md, step 3: what is folded is decoded from the very line written."""
    log = Log(tmp_path / "a.jsonl", head_of(hot_job))
    given = [log.append(event, event.t_s) for event in EVENTS]
    log.end(7000, "test", "2026-01-01T08:00:07+00:00", 7.0)
    found = _events(log.path)
    assert given == EVENTS == found[:-1]
    end = found[-1]
    assert isinstance(end, Ended)
    # The seal counts the head and every event before it.
    assert end.n == len(EVENTS) + 1
    assert (tmp_path / "a.jsonl").stat().st_mode & 0o777 == 0o600


def test_every_record_is_one_write_and_presses_are_synced_at_once(
    hot_job: Job, tmp_path: Path
) -> None:
    """T-01 and finding 5: one write a record; readings may wait 1 s for the sync."""
    disk = FaultyDisk()
    log = Log(tmp_path / "a.jsonl", head_of(hot_job), disk=disk)
    assert disk.done["write"] == disk.done["sync"] == 1
    for i in range(8):
        log.append(Reading(t_ms=250 * i, raw=(20.0,), status="ok"), 100.0 + 0.25 * i)
    assert disk.done["write"] == 9
    # Unsynced since 100.0 s, so at 101.0 s.
    assert disk.done["sync"] == 2
    log.append(Act(t_ms=2000, deed="next"), 101.9)
    assert disk.done["sync"] == 3
    log.close()


WORDS: list[AnyEvent] = [
    Act(t_ms=0, deed="next"),
    Act(t_ms=0, deed="reading", temp_c=231.0),
    CueTold(t_ms=0, kind="READY", urgency="STEP", values={}, words="go on"),
    SensorChanged(t_ms=0, state="lost", why="gone"),
    ClockGap(t_ms=0, to_ms=1000),
    WallStepped(t_ms=0, step_s=3600.0),
    Resumed(t_ms=0),
    Trouble(t_ms=0, what="tone", why="gone"),
    Outcome(t_ms=0, found="crack"),
]


@pytest.mark.parametrize("event", WORDS, ids=lambda event: type(event).__name__)
def test_everything_but_a_reading_is_synced_at_once(
    hot_job: Job, tmp_path: Path, event: AnyEvent
) -> None:
    """T-01, section 3: critical records at once, samples within a second."""
    disk = FaultyDisk()
    log = Log(tmp_path / "a.jsonl", head_of(hot_job), disk=disk)
    log.append(Reading(t_ms=0, raw=(20.0,), status="ok"), 5.0)
    assert disk.done["sync"] == 1
    log.append(event, 5.0)
    assert disk.done["sync"] == 2
    log.close()


def test_a_last_reading_before_a_silence_is_synced_within_a_second(
    hot_job: Job, tmp_path: Path
) -> None:
    """Section 3: samples at most 1 s; a press at 10.0, a reading at 10.2, then nothing more."""
    disk = FaultyDisk()
    log = Log(tmp_path / "a.jsonl", head_of(hot_job), disk=disk)
    log.append(Act(t_ms=0, deed="next"), 10.0)
    assert log.patience_s(10.0) == math.inf
    log.append(Reading(t_ms=200, raw=(20.0,), status="ok"), 10.25)
    assert disk.done["sync"] == 2
    assert log.patience_s(10.75) == 0.5
    log.beat(10.75)
    assert disk.done["sync"] == 2
    log.beat(11.25)
    assert disk.done["sync"] == 3
    log.beat(60.0)
    assert disk.done["sync"] == 3
    log.close()


def test_a_steady_clock_that_jumps_back_does_not_stop_the_syncs(
    hot_job: Job, tmp_path: Path
) -> None:
    """JUDG: whichever way a clock errs, readings reach the disk."""
    disk = FaultyDisk()
    log = Log(tmp_path / "a.jsonl", head_of(hot_job), disk=disk)
    log.append(Reading(t_ms=0, raw=(20.0,), status="ok"), 1000.0)
    before = disk.done["sync"]
    log.append(Reading(t_ms=1, raw=(20.0,), status="ok"), 3.0)
    assert disk.done["sync"] == before + 1
    log.close()


@pytest.mark.parametrize("kind", ["missing folder", "file for a folder", "long name"])
def test_a_place_that_cannot_hold_a_file_is_refused(
    hot_job: Job, tmp_path: Path, kind: str
) -> None:
    """T-09: refused with path and reason."""
    (tmp_path / "file").touch()
    name = {
        "missing folder": "no/a.jsonl",
        "file for a folder": "file/a.jsonl",
        "long name": "x" * 300,
    }[kind]
    with pytest.raises(RecordingError, match="cannot be created: ") as refused:
        Log(tmp_path / name, head_of(hot_job))
    assert str(refused.value).endswith("; give --out, a file in a folder that can be written")
    (tmp_path / "room").mkdir()
    with pytest.raises(RecordingError) as refused:
        Log(tmp_path / name, head_of(hot_job), elsewhere=[tmp_path / "no", tmp_path / "room"])
    other = tmp_path / "room" / Path(name).name
    assert str(refused.value).endswith(f"; give --out, such as {other}")


def test_a_head_too_long_to_be_read_is_refused(hot_job: Job, tmp_path: Path) -> None:
    """A line of more than 65,536 bytes is damage to the reader (codec.MAX_LINE)."""
    with pytest.raises(RecordingError, match="more than 65536 bytes"):
        Log(tmp_path / "a.jsonl", head_of(hot_job, source="x" * 70_000))
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("kind", ["file", "folder", "link to nothing"])
def test_what_exists_is_never_written_over(hot_job: Job, tmp_path: Path, kind: str) -> None:
    """T-19: O_EXCL and O_NOFOLLOW; contract: --out that exists is refused."""
    path = tmp_path / "a.jsonl"
    if kind == "file":
        path.write_bytes(b"precious")
    elif kind == "folder":
        path.mkdir()
    else:
        path.symlink_to(tmp_path / "elsewhere")
    told = "is a link" if path.is_symlink() else "exists already; give another --out, or --resume"
    with pytest.raises(RecordingError, match=told):
        Log(path, head_of(hot_job))
    assert not (tmp_path / "elsewhere").exists()
    if kind == "file":
        assert path.read_bytes() == b"precious"


def test_a_second_writer_is_refused_and_a_reader_is_not(hot_job: Job, tmp_path: Path) -> None:
    """T-10: an operating system's lock, no lock file; it goes with its program."""
    log = Log(tmp_path / "a.jsonl", head_of(hot_job))
    log.append(EVENTS[0], 0.0)
    local = datetime.fromisoformat(log.opened.wall).astimezone()
    with pytest.raises(RecordingError) as refused:
        Log(log.path, log.opened, resume=Recording(log.path))
    assert str(refused.value) == (
        f"{log.path}: in use by pacer (process {os.getpid()}, since {local:%Y-%m-%d %H:%M}); "
        "look at it with pacer replay"
    )
    assert _events(log.path) == EVENTS[:1]
    assert [p.name for p in tmp_path.iterdir()] == ["a.jsonl"]
    log.close()
    again = Log(log.path, log.opened, resume=Recording(log.path))
    again.append(EVENTS[1], 1.0)
    again.close()
    assert _events(log.path) == EVENTS[:2]


@pytest.mark.parametrize("call", ["reopen", "write", "sync"])
def test_a_recording_that_cannot_be_written_is_refused(
    hot_job: Job, tmp_path: Path, call: Call
) -> None:
    """T-09 for --resume; the file is left as it was and can be opened again."""
    lines = lines_of(head_of(hot_job), EVENTS)
    path = write_lines(tmp_path / "a.jsonl", [*lines[:4], b"tail"])
    before = path.read_bytes()
    disk = FaultyDisk((Fault(call, 1, errno.EROFS),))
    with pytest.raises(RecordingError, match=r"cannot be written: .+\Z"):
        Log(path, head_of(hot_job), resume=Recording(path), disk=disk)
    assert path.read_bytes() == before
    Log(path, head_of(hot_job), resume=Recording(path)).close()


def test_a_mark_seals_what_stands_before_it(hot_job: Job, tmp_path: Path) -> None:
    """Count and SHA-256 of all bytes before the mark."""
    import hashlib

    log = Log(tmp_path / "a.jsonl", head_of(hot_job))
    for event in EVENTS[:3]:
        log.append(event, event.t_s)
    before = log.path.read_bytes()
    log.mark(1500, "2026-01-01T08:00:01+00:00", 1.5)
    log.close()
    mark = _events(log.path)[-1]
    assert isinstance(mark, Mark)
    assert (mark.n, mark.sha) == (4, hashlib.sha256(before).hexdigest())
