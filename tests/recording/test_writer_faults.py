"""The log on a failing disk: seen at once, nothing lost, files end on a record (T-07, T-08)."""

from __future__ import annotations

import errno
import itertools
import os
import subprocess
import sys
from pathlib import Path

import pytest
from faulty_disk import SHORT, Call, Fault, FaultyDisk
from written import head_of, lines_of, some_events, write_lines

from pacer.errors import RecordingError
from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.recording.writing import disk as disk_module
from pacer.recording.writing.writer import MOVE_EVERY_S, Log
from pacer.session.events import Act, AnyEvent

EVENTS = some_events(12)[:-1]
FOR_EVER = 10**6
CODES = (errno.ENOSPC, errno.EIO, errno.EROFS, errno.EDQUOT, errno.EFBIG)


def _events(path: Path) -> list[AnyEvent]:
    recording = Recording(path)
    events = list(recording.events())
    assert recording.damage.sound, recording.damage.told("x")
    return events


def _faults() -> list[Fault]:
    count = len(EVENTS) + 1
    writes = [
        Fault("write", nth, code, times, half)
        for nth, code, times, half in itertools.product(
            range(2, count + 1, 3), CODES, (1, 5, FOR_EVER), (False, True)
        )
    ]
    shorts = [
        Fault("write", nth, SHORT, times)
        for nth in range(2, count + 1)
        for times in (1, 5, FOR_EVER)
    ]
    syncs = [
        Fault("sync", nth, code, times)
        for nth, code, times in itertools.product(range(2, 8), CODES, (1, 2, 5, FOR_EVER))
    ]
    return writes + shorts + syncs


def _whole_records(path: Path, head: bytes) -> None:
    """A file of ours is empty or ends on a record's end, and every line in it is sound."""
    content = path.read_bytes()
    if not content:
        return
    assert content.endswith(b"\n")
    assert content.startswith(head)
    _events(path)


def _suffer(folder: Path, job: Job, disk: FaultyDisk) -> tuple[Log, list[int]]:
    """Append all events, half a second apart; return the log and where it was in trouble."""
    log = Log(folder / "a.jsonl", head_of(job), disk=disk)
    head = lines_of(head_of(job), [])[0]
    troubled = []
    for index, event in enumerate(EVENTS):
        faults_before = disk.done.copy()
        assert log.append(event, event.t_s) == event
        if log.trouble:
            troubled.append(index)
            assert log.trouble.startswith("log not saved: ")
            assert log.trouble.isprintable()
        elif disk.faults and not disk.mended:
            # No trouble told means that all of it is on disk now.
            assert _events(log.path) == EVENTS[: index + 1], faults_before
        for path in folder.iterdir():
            _whole_records(path, head)
    return log, troubled


@pytest.fixture
def _no_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    """Thousands of files, none of which has to outlive the machine."""
    monkeypatch.setattr(disk_module, "_sync_folder", lambda folder: None)


@pytest.mark.slow
@pytest.mark.usefixtures("_no_waiting")
@pytest.mark.parametrize("times", [1, 2, 5, FOR_EVER])
def test_a_failing_disk_is_seen_and_survived(hot_job: Job, tmp_path: Path, times: int) -> None:
    """T-07: n-th write or sync fails once, some times, for ever; n = 2 to the last.

    Never an exception; trouble at once or all on disk; files end on a record; after the
    fault every record is on disk, in order, in the file or the one beside it.
    """
    for number, fault in enumerate(f for f in _faults() if f.times == times):
        folder = tmp_path / str(number)
        folder.mkdir()
        disk = FaultyDisk((fault,))
        log, troubled = _suffer(folder, hot_job, disk)
        assert disk.done[fault.call] >= fault.nth, "the fault never came"
        if fault.times == FOR_EVER:
            assert troubled[-1] == len(EVENTS) - 1
        disk.mended = True
        log.beat(100.0)
        assert log.trouble == ""
        log.end(7000, "test", "", 101.0)
        assert _events(log.path)[:-1] == EVENTS
        assert log.path.name in {"a.jsonl", "a-2.jsonl", "a-3.jsonl", "a-4.jsonl", "a-5.jsonl"}
        assert len(list(folder.iterdir())) <= 6


@pytest.mark.slow
@pytest.mark.usefixtures("_no_waiting")
@pytest.mark.parametrize("second", ["cut", "create", "close", "sync", "there", "remove"])
def test_trouble_while_mending_trouble_is_survived(
    hot_job: Job, tmp_path: Path, second: Call
) -> None:
    """T-08: a write fails half-way and the cut, the new file or the close fails too."""
    for number, (nth, times) in enumerate(itertools.product(range(2, 14, 2), (1, 3, FOR_EVER))):
        folder = tmp_path / str(number)
        folder.mkdir()
        start = 2 if second in {"create", "sync"} else 1
        disk = FaultyDisk(
            (
                Fault("write", nth, errno.EIO, times, half=True),
                Fault("cut", 1, errno.EIO, 1),
                Fault(second, start, errno.EROFS, times),
            )
        )
        log = Log(folder / "a.jsonl", head_of(hot_job), disk=disk)
        for event in EVENTS:
            assert log.append(event, event.t_s) == event
        disk.mended = True
        for later_s in (100.0, 200.0):
            log.beat(later_s)
        assert log.trouble == ""
        log.close()
        assert _events(log.path) == EVENTS


def test_a_sync_that_never_works_neither_fills_the_disk_nor_hides(
    hot_job: Job, tmp_path: Path
) -> None:
    """fsyncgate (reliability.md section 1): one new file, written anew, trouble all the while."""
    disk = FaultyDisk((Fault("sync", 2, errno.EIO, FOR_EVER),))
    log = Log(tmp_path / "a.jsonl", head_of(hot_job), disk=disk)
    for i in range(200):
        log.append(Act(t_ms=100 * i, deed="note", text=str(i)), 0.1 * i)
        assert log.trouble
        # Killed now, what the page cache holds would still be read.
        assert len(_events(log.path)) == i + 1
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a-2.jsonl", "a.jsonl"]
    assert disk.done["sync"] <= 3 + 20 / MOVE_EVERY_S
    disk.mended = True
    log.beat(20.0 + MOVE_EVERY_S)
    assert log.trouble == ""
    log.close()
    assert len(_events(log.path)) == 200


def test_space_that_comes_back_is_used_at_the_next_record(hot_job: Job, tmp_path: Path) -> None:
    """T-07: resumes by itself; the gap is 0 records, in the same file."""
    disk = FaultyDisk((Fault("write", 3, errno.ENOSPC, FOR_EVER),))
    log = Log(tmp_path / "a.jsonl", head_of(hot_job), disk=disk)
    for event in EVENTS[:6]:
        log.append(event, event.t_s)
    assert log.trouble == f"log not saved: {os.strerror(errno.ENOSPC)}"
    assert _events(log.path) == EVENTS[:1]
    disk.mended = True
    log.append(EVENTS[6], 3.0)
    assert log.trouble == ""
    assert _events(log.path) == EVENTS[:7]
    assert log.path.name == "a.jsonl"
    log.close()


def test_a_fault_that_lasts_to_the_end_leaves_trouble_standing(
    hot_job: Job, tmp_path: Path
) -> None:
    """T-07: no loss without an alarm; what was on disk stays."""
    disk = FaultyDisk((Fault("write", 5, errno.ENOSPC, FOR_EVER),))
    log = Log(tmp_path / "a.jsonl", head_of(hot_job), disk=disk)
    for event in EVENTS:
        log.append(event, event.t_s)
    log.end(7000, "test", "", 7.0)
    assert log.trouble
    assert _events(tmp_path / "a.jsonl") == EVENTS[:3]


@pytest.mark.parametrize("call", ["create", "write", "sync"])
@pytest.mark.parametrize("code", CODES)
def test_a_disk_that_fails_at_the_start_is_refused_before_any_heat(
    hot_job: Job, tmp_path: Path, call: Call, code: int
) -> None:
    """T-09: path and reason in one line; no stub that would refuse the next try."""
    path = tmp_path / "a.jsonl"
    with pytest.raises(RecordingError) as caught:
        Log(path, head_of(hot_job), disk=FaultyDisk((Fault(call, 1, code),)))
    why = f"{path}: cannot be created: {os.strerror(code)}; give --out, "
    assert str(caught.value).startswith(why)
    assert list(tmp_path.iterdir()) == []


def test_a_fault_after_going_on_keeps_the_old_records_too(hot_job: Job, tmp_path: Path) -> None:
    """The new file has the whole session, also what an earlier run wrote."""
    lines = lines_of(head_of(hot_job), EVENTS)
    path = write_lines(tmp_path / "a.jsonl", lines[:6])
    disk = FaultyDisk((Fault("sync", 1, errno.EIO),))
    log = Log(path, head_of(hot_job), resume=Recording(path), disk=disk)
    for event in EVENTS[5:]:
        log.append(event, event.t_s)
    log.close()
    assert log.path.name == "a-2.jsonl"
    assert log.path.read_bytes() == b"".join(lines)


def test_a_folder_that_cannot_be_synced_leaves_no_stub(
    hot_job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """T-09: the file just made is taken away again, its lock and descriptor with it."""
    opened = set(os.listdir("/proc/self/fd")) if os.path.isdir("/proc/self/fd") else set()

    def refuse(fd: int) -> None:
        raise OSError(errno.EINVAL, os.strerror(errno.EINVAL))

    monkeypatch.setattr(os, "fsync", refuse)
    with pytest.raises(RecordingError, match="cannot be created"):
        Log(tmp_path / "a.jsonl", head_of(hot_job))
    assert list(tmp_path.iterdir()) == []
    if opened:
        assert len(os.listdir("/proc/self/fd")) <= len(opened)


_LIMITED = """
import resource, signal, sys
from pathlib import Path
sys.path[:0] = sys.argv[2:4]
from conftest import HOT
from written import head_of
from pacer.job.file.read import job_from_text
from pacer.recording.writing.writer import Log
from pacer.session.events import Reading
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
resource.setrlimit(resource.RLIMIT_FSIZE, (16_000, hard))
log = Log(Path(sys.argv[1]), head_of(job_from_text(HOT, "hot")))
seen = []
for i in range(200):
    log.append(Reading(t_ms=1000 * i, raw=(20.0 + i,), status="ok"), float(i))
    seen.append(bool(log.trouble))
print("limited", seen.index(True), all(seen[seen.index(True):]), log.trouble)
resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard))
log.beat(200.0)
print("free", log.trouble == "")
log.close()
"""


@pytest.mark.slow
def test_a_real_limit_of_the_file_size_is_seen_and_survived(root: Path, tmp_path: Path) -> None:
    """T-07 (c): RLIMIT_FSIZE makes a short write, then EFBIG; all is caught up afterwards."""
    path = tmp_path / "a.jsonl"
    done = subprocess.run(
        [sys.executable, "-c", _LIMITED, str(path), str(root), str(root / "tests")],
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert done.returncode == 0, done.stderr
    limited, free = done.stdout.splitlines()
    assert limited.split()[2] == "True"
    assert "log not saved: " in limited
    assert free == "free True"
    events = _events(path)
    assert [event.t_ms for event in events] == [1000 * i for i in range(200)]
