"""One writer a file: who holds it is said, and what the lock is for is seen without it (T-10)."""

from __future__ import annotations

import errno
import fcntl
import os
import subprocess
import sys
from pathlib import Path

import pytest
from fakes import QuietDisk
from written import head_of, lines_of, some_events, write_lines

from pacer.errors import RecordingError
from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.recording.writing import disk as disk_module
from pacer.recording.writing.writer import Log
from pacer.session.events import Ended, Reading, Resumed

EVENTS = some_events(12)[:-1]


class Lockless(QuietDisk):
    """The control: a disk that asks for no lock."""

    def _lock(self, fd: int) -> None:
        """Nothing keeps a second one out."""


def _reading(i: int) -> Reading:
    return Reading(t_ms=1000 + i, raw=(20.0,), status="ok")


def test_without_the_lock_two_writers_mix_one_log(hot_job: Job, tmp_path: Path) -> None:
    """The control of T-10: lines stay whole, but each number comes twice and one is left out."""
    path = write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), EVENTS[:1]))
    logs = [Log(path, head_of(hot_job), resume=Recording(path), disk=Lockless()) for _ in range(2)]
    for i in range(1000):
        for log in logs:
            log.append(_reading(i), 0.0)
    for log in logs:
        log.close()
    recording = Recording(path)
    assert len(list(recording.events())) == 1001
    assert (recording.damage.repeated, recording.damage.bad_lines) == (1000, 0)


_WRITER = """
import sys
from pathlib import Path
sys.path[:0] = sys.argv[2:4]
from pacer.errors import RecordingError
from pacer.recording.reader import Recording
from pacer.recording.writing.writer import Log
from pacer.session.events import Act
path = Path(sys.argv[1])
for _ in range(20_000):
    try:
        log = Log(path, Recording(path).head, resume=Recording(path))
    except RecordingError:
        print("refused", flush=True)
        continue
    for i in range(40):
        log.append(Act(t_ms=9000, deed="note"), 0.0)
    log.close()
    print("wrote", flush=True)
    sys.stdin.readline()
"""


@pytest.mark.slow
def test_two_programs_take_turns_and_no_number_comes_twice(
    hot_job: Job, root: Path, tmp_path: Path
) -> None:
    """T-10: three writers on one file, each with 40 records a turn, until each had its turns."""
    path = write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), EVENTS[:1]))
    command = [sys.executable, "-c", _WRITER, str(path), str(root), str(root / "tests")]
    children = [
        subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        for _ in range(3)
    ]
    try:
        for _ in range(3):
            for child in children:
                assert child.stdout is not None
                assert child.stdin is not None
                while child.stdout.readline() != "wrote\n":
                    assert child.poll() is None
                child.stdin.write("\n")
                child.stdin.flush()
    finally:
        for child in children:
            child.kill()
            child.communicate()
    recording = Recording(path)
    events = list(recording.events())
    assert recording.damage.sound, recording.damage.told("a")
    assert len(events) >= 1 + 9 * 40


def test_who_holds_it_is_told_by_its_last_resumption(hot_job: Job, tmp_path: Path) -> None:
    """`since` is when the present run began; a time that is none is left out."""
    head = head_of(hot_job)
    resumed = Resumed(t_ms=6000, wall="2026-01-02T09:30:00+00:00")
    path = write_lines(tmp_path / "a.jsonl", lines_of(head, [*EVENTS, resumed]))
    log = Log(path, head, resume=Recording(path))
    with pytest.raises(RecordingError, match="since 2026-01-02 ") as refused:
        Log(path, head, resume=Recording(path))
    assert f"process {os.getpid()}, " in str(refused.value)
    log.close()


def test_where_the_system_lists_no_locks_the_process_is_left_out(
    hot_job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Only Linux has such a list; the line is as clear without."""
    monkeypatch.setattr(disk_module, "writer_of", lambda file: None)
    log = Log(tmp_path / "a.jsonl", head_of(hot_job))
    with pytest.raises(RecordingError, match=r"in use by pacer \(since 2026-01-01 \d\d:\d\d\); "):
        Log(log.path, log.opened, resume=Recording(log.path))
    log.close()


@pytest.mark.parametrize("code", [errno.ENOLCK, errno.EOPNOTSUPP])
def test_a_drive_without_locks_is_written_and_that_is_said(
    hot_job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    """Some network drives: recording comes first."""

    def refuse(fd: int, how: int) -> None:
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(fcntl, "flock", refuse)
    log = Log(tmp_path / "a.jsonl", head_of(hot_job))
    assert log.unlocked
    log.end(0, "test", "2026-01-01T08:00:07+00:00", 0.0)
    assert isinstance(list(Recording(log.path).events())[-1], Ended)


def test_a_lock_that_fails_otherwise_is_refused(
    hot_job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An error nobody foresaw is no "no locks here"; no stub is left."""

    def refuse(fd: int, how: int) -> None:
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    monkeypatch.setattr(fcntl, "flock", refuse)
    with pytest.raises(RecordingError, match="cannot be created: "):
        Log(tmp_path / "a.jsonl", head_of(hot_job))
    assert list(tmp_path.iterdir()) == []


def test_a_link_is_called_a_link(hot_job: Job, tmp_path: Path) -> None:
    """T-19: nothing is written through one; the words say why, and which file is meant."""
    log = Log(tmp_path / "real.jsonl", head_of(hot_job))
    log.close()
    link = tmp_path / "link.jsonl"
    link.symlink_to(log.path)
    with pytest.raises(RecordingError) as refused:
        Log(link, log.opened, resume=Recording(link))
    why = "is a link to another file, and a recording is never written through one"
    assert str(refused.value) == f"{link}: {why}; give the file itself, {log.path}"
    with pytest.raises(RecordingError) as refused:
        Log(link, log.opened)
    assert str(refused.value) == f"{link}: {why}; give --out, the file itself"
