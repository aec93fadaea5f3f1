"""Hours without room on the disk, and a small real disk that fills up (T-07)."""

from __future__ import annotations

import errno
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from full_disk import Full
from written import head_of

from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.recording.writing import disk as disk_module
from pacer.recording.writing.writer import Log
from pacer.session.events import AnyEvent, Reading


def _events(path: Path) -> list[AnyEvent]:
    recording = Recording(path)
    events = list(recording.events())
    assert recording.damage.sound, recording.damage.told("x")
    return events


def _hold(job: Job, folder: Path, count: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Fail every write from the start, for `count` readings at 4 Hz; then let all be written."""
    monkeypatch.setattr(disk_module, "_sync_folder", lambda folder: None)
    disk = Full(errno.ENOSPC)
    log = Log(folder / "a.jsonl", head_of(job), disk=disk)
    disk.folders.add(folder)
    for i in range(count):
        log.append(Reading(t_ms=250 * i, raw=(20.0 + i % 7,), status="ok"), 0.25 * i)
        assert log.trouble
    disk.folders.clear()
    log.beat(0.25 * count)
    assert log.trouble == ""
    log.close()
    events = _events(folder / "a.jsonl")
    assert [event.t_ms for event in events] == [250 * i for i in range(count)]


@pytest.mark.slow
def test_an_hour_without_a_disk_is_held_in_memory(
    hot_job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """T-07, a twelfth of it: 14,400 readings, gap 0 records."""
    _hold(hot_job, tmp_path, 14_400, monkeypatch)


@pytest.mark.full
def test_twelve_hours_without_a_disk_are_held_in_memory(
    hot_job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """T-07: 172,800 readings, gap 0 records."""
    _hold(hot_job, tmp_path, 172_800, monkeypatch)


@pytest.fixture
def small(tmp_path: Path) -> Iterator[Path]:
    """A disk of 64 kB, where one can be mounted."""
    folder = tmp_path / "small"
    folder.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=64k", "pacer-test", str(folder)]
    try:
        subprocess.run(mount, check=True, capture_output=True)
    except (OSError, subprocess.CalledProcessError):
        pytest.skip("no disk can be mounted here")
    yield folder
    subprocess.run(["umount", "-l", str(folder)], check=True)


@pytest.mark.full
@pytest.mark.parametrize("room", [False, True])
def test_a_small_disk_fills_up_and_is_emptied_or_left(
    hot_job: Job, small: Path, tmp_path: Path, room: bool
) -> None:
    """T-07 (b): 64 kB of tmpfs and 700 readings; the real disk, no model of it."""
    log = Log(small / "a.jsonl", head_of(hot_job), elsewhere=[tmp_path / "er"])
    (small / "ballast").write_bytes(b"x" * 20_000)
    events: list[AnyEvent] = []
    for i in range(700):
        events.append(Reading(t_ms=250 * i, raw=(20.0 + i % 7,), status="ok"))
        log.append(events[-1], 0.25 * i)
        if log.trouble:
            assert (small / "a.jsonl").read_bytes().endswith(b"\n")
            if room:
                (small / "ballast").unlink(missing_ok=True)
        elif not log.moved:
            assert len(_events(log.path)) == len(events)
    assert log.trouble == ""
    log.close()
    assert _events(log.path) == events
    assert log.path == (small / "a.jsonl" if room else tmp_path / "er" / "a-2.jsonl")
    assert (small / "ballast").exists() != room
