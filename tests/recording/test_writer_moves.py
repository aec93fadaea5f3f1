"""A log whose file can't be trusted any more goes on elsewhere, whole, and says where (T-07)."""

from __future__ import annotations

import errno
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from faulty_disk import Fault, FaultyDisk
from full_disk import Full
from written import head_of, some_events

from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.recording.writing.writer import MOVE_AFTER_S, MOVE_EVERY_S, Log
from pacer.session.events import AnyEvent, Mark

EVENTS = some_events(12)[:-1]
FOR_EVER = 10**6
NOBODY = 65534


def _events(path: Path) -> list[AnyEvent]:
    recording = Recording(path)
    events = list(recording.events())
    assert recording.damage.sound, recording.damage.told("x")
    return events


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """The recording's folder."""
    (tmp_path / "home").mkdir()
    return tmp_path / "home"


@pytest.mark.parametrize("beat", [False, True])
def test_a_file_taken_away_is_noticed_within_a_second(hot_job: Job, home: Path, beat: bool) -> None:
    """Writes into a file without a name would all succeed; nothing need be written to notice."""
    log = Log(home / "a.jsonl", head_of(hot_job))
    for event in EVENTS[:4]:
        log.append(event, event.t_s)
    log.path.unlink()
    if beat:
        log.beat(EVENTS[3].t_s + 1.0)
        count = 4
    else:
        log.append(EVENTS[4], EVENTS[3].t_s + 1.0)
        count = 5
    assert log.trouble == ""
    assert log.path == home / "a-2.jsonl"
    assert log.moved == f"goes on in a-2.jsonl ({home})"
    assert _events(log.path) == EVENTS[:count]
    log.close()


def test_a_folder_taken_away_is_alarmed_and_the_session_goes_on_elsewhere(
    hot_job: Job, home: Path, tmp_path: Path
) -> None:
    """Where no other folder can be had it waits in memory, then goes to the first that can."""
    blocked = tmp_path / "blocked"
    blocked.touch()
    log = Log(home / "a.jsonl", head_of(hot_job), elsewhere=[blocked])
    log.append(EVENTS[0], 0.0)
    shutil.rmtree(home)
    log.beat(1.0)
    assert log.trouble == "log not saved: a.jsonl is gone from its folder"
    for index, event in enumerate(EVENTS[1:]):
        log.append(event, 1.1 + index / 100)
        assert log.trouble
    blocked.unlink()
    log.beat(2.2)
    assert (log.trouble, log.path) == ("", blocked / "a-2.jsonl")
    assert _events(log.path) == EVENTS
    log.close()


def test_another_file_under_the_name_is_not_ours(hot_job: Job, home: Path) -> None:
    """Renamed and replaced: neither the moved one nor the new one is written on."""
    log = Log(home / "a.jsonl", head_of(hot_job))
    log.append(EVENTS[0], 0.0)
    log.path.rename(home / "b.jsonl")
    (home / "a.jsonl").write_bytes(b"precious")
    log.append(EVENTS[1], 1.0)
    log.close()
    assert log.path.name == "a-2.jsonl"
    assert _events(log.path) == EVENTS[:2]
    assert _events(home / "b.jsonl") == EVENTS[:1]
    assert (home / "a.jsonl").read_bytes() == b"precious"


@pytest.mark.parametrize("change", [b"", b"precious", None])
def test_a_file_changed_in_place_is_noticed_within_a_second(
    hot_job: Job, home: Path, change: bytes | None
) -> None:
    """Emptied, overwritten, appended to by another program: same name, same inode, other bytes."""
    log = Log(home / "a.jsonl", head_of(hot_job))
    log.append(EVENTS[0], 0.0)
    if change is None:
        with log.path.open("ab") as file:
            file.write(b"x\n")
    else:
        log.path.write_bytes(change)
    left = log.path.read_bytes()
    log.beat(1.0)
    log.append(EVENTS[1], 1.0)
    log.close()
    assert (log.trouble, log.path) == ("", home / "a-2.jsonl")
    assert _events(log.path) == EVENTS[:2]
    # What another program made of it is not touched any more.
    assert (home / "a.jsonl").read_bytes() == left


def test_how_many_records_are_only_in_memory_is_known(
    hot_job: Job, home: Path, tmp_path: Path
) -> None:
    """Those since the disk filled up; all of them, the head too, where the file is gone."""
    disk = Full(errno.ENOSPC)
    blocked = tmp_path / "blocked"
    blocked.touch()
    log = Log(home / "a.jsonl", head_of(hot_job), elsewhere=[blocked], disk=disk)
    for event in EVENTS[:3]:
        log.append(event, 0.0)
    assert log.only_in_memory == 0
    disk.folders.add(home)
    for event in EVENTS[3:5]:
        log.append(event, 0.1)
    assert (log.only_in_memory, log.lost_from_s()) == (2, EVENTS[3].t_s)
    disk.folders.clear()
    log.append(EVENTS[5], 0.2)
    assert (log.trouble, log.only_in_memory) == ("", 0)
    shutil.rmtree(home)
    log.append(EVENTS[6], 2.0)
    assert (log.only_in_memory, log.lost_from_s()) == (8, 0.0)
    log.close()


@contextmanager
def _closed(folder: Path) -> Iterator[None]:
    """Close a folder to this process; root, who may look into any, is somebody else meanwhile."""
    folder.chmod(0)
    if os.geteuid() == 0:
        os.seteuid(NOBODY)
    try:
        yield
    finally:
        if os.getuid() == 0:
            os.seteuid(0)
        folder.chmod(0o700)


def test_a_folder_closed_to_us_is_no_loss(hot_job: Job, home: Path) -> None:
    """What is open can be written on; only a name that is gone or another's is a loss."""
    log = Log(home / "a.jsonl", head_of(hot_job))
    with _closed(home):
        with pytest.raises(PermissionError):
            log.path.lstat()
        log.append(EVENTS[0], 2.0)
    assert (log.trouble, log.moved) == ("", "")
    log.close()


def test_a_drive_that_became_read_only_is_left_at_once(
    hot_job: Job, home: Path, tmp_path: Path
) -> None:
    """EROFS: no waiting mends it; the folder beside it is on the same drive."""
    disk = Full(errno.EROFS)
    log = Log(home / "a.jsonl", head_of(hot_job), elsewhere=[tmp_path / "new" / "er"], disk=disk)
    log.append(EVENTS[0], 0.0)
    disk.folders.add(home)
    log.append(EVENTS[1], 0.5)
    assert log.trouble == ""
    assert log.path == tmp_path / "new" / "er" / "a-2.jsonl"
    log.append(EVENTS[2], 1.0)
    log.close()
    assert _events(log.path) == EVENTS[:3]
    assert _events(home / "a.jsonl") == EVENTS[:1]


def test_a_full_disk_is_waited_for_and_then_left(hot_job: Job, home: Path, tmp_path: Path) -> None:
    """Ten seconds in the same file; then the whole session elsewhere; no stub stays behind."""
    disk = Full(errno.ENOSPC)
    log = Log(home / "a.jsonl", head_of(hot_job), elsewhere=[tmp_path / "er"], disk=disk)
    log.append(EVENTS[0], 100.0)
    disk.folders.add(home)
    log.append(EVENTS[1], 101.0)
    for second in range(1, int(MOVE_AFTER_S)):
        log.beat(101.0 + second)
        assert log.trouble == f"log not saved: {os.strerror(errno.ENOSPC)}"
    log.beat(101.0 + MOVE_AFTER_S)
    assert (log.trouble, log.path) == ("", tmp_path / "er" / "a-2.jsonl")
    assert log.moved == f"goes on in a-2.jsonl ({tmp_path / 'er'})"
    log.close()
    assert _events(log.path) == EVENTS[:2]
    assert [path.name for path in home.iterdir()] == ["a.jsonl"]


def test_where_everything_is_full_it_goes_on_trying_everywhere(
    hot_job: Job, home: Path, tmp_path: Path
) -> None:
    """Whichever has space first is used, the old file too; nothing is lost meanwhile."""
    disk = Full(errno.ENOSPC)
    other = tmp_path / "er"
    log = Log(home / "a.jsonl", head_of(hot_job), elsewhere=[other], disk=disk)
    disk.folders |= {home, other}
    for second, event in enumerate(EVENTS[:5]):
        log.append(event, 10.0 * second)
        assert log.trouble
    assert list(other.iterdir()) == []
    disk.folders.remove(home)
    log.beat(51.0)
    assert (log.trouble, log.path) == ("", home / "a.jsonl")
    assert _events(log.path) == EVENTS[:5]
    disk.folders.add(home)
    disk.folders.remove(other)
    log.append(EVENTS[5], 60.0)
    log.append(EVENTS[6], 70.0)
    log.close()
    assert log.path == other / "a-2.jsonl"
    assert _events(log.path) == EVENTS[:7]


def test_at_the_end_no_place_is_left_untried(hot_job: Job, home: Path, tmp_path: Path) -> None:
    """Closed a second after the disk filled up: memory is about to be gone."""
    disk = Full(errno.ENOSPC)
    log = Log(home / "a.jsonl", head_of(hot_job), elsewhere=[tmp_path / "er"], disk=disk)
    disk.folders.add(home)
    log.append(EVENTS[0], 1.0)
    log.end(7000, "test", "2026-01-01T08:00:07+00:00", 1.0)
    assert (log.trouble, log.path) == ("", tmp_path / "er" / "a-2.jsonl")
    assert _events(log.path)[:1] == EVENTS[:1]


def test_a_move_after_a_move_starts_from_the_last_file(hot_job: Job, home: Path) -> None:
    """Twice taken away: the third file is named after the first, and has everything."""
    log = Log(home / "a.jsonl", head_of(hot_job))
    for index, event in enumerate(EVENTS[:3]):
        log.append(event, float(index))
        log.path.unlink()
        log.beat(index + 0.95)
    assert _events(log.path) == EVENTS[:3]
    assert [path.name for path in home.iterdir()] == [log.path.name]
    log.close()


def test_seals_hold_in_the_new_file(hot_job: Job, home: Path) -> None:
    """A seal counts the bytes before it; the new file holds the same ones."""
    log = Log(home / "a.jsonl", head_of(hot_job))
    log.append(EVENTS[0], 0.0)
    log.mark(500, "2026-01-01T08:00:01+00:00", 0.5)
    before = log.path.read_bytes()
    log.path.unlink()
    log.append(EVENTS[2], 2.0)
    log.mark(1500, "2026-01-01T08:00:02+00:00", 2.5)
    log.end(2000, "test", "2026-01-01T08:00:03+00:00", 3.0)
    assert log.path.read_bytes().startswith(before)
    assert sum(isinstance(event, Mark) for event in _events(log.path)) == 2


def test_a_doubted_copy_is_taken_away_when_a_better_one_stands(
    hot_job: Job, home: Path, tmp_path: Path
) -> None:
    """Nothing can be synced for a while; then the first place where it can has everything."""
    disk = FaultyDisk((Fault("sync", 2, errno.EIO, FOR_EVER),))
    log = Log(home / "a.jsonl", head_of(hot_job), elsewhere=[tmp_path / "er"], disk=disk)
    log.append(EVENTS[0], 1.0)
    log.append(EVENTS[4], 1.0)
    assert (log.trouble, log.moved) == ("log not saved: Input/output error", "")
    assert _events(log.path) == [EVENTS[0], EVENTS[4]]
    disk.mended = True
    log.beat(1.0 + MOVE_EVERY_S)
    assert log.trouble == ""
    log.close()
    assert sorted(path.name for path in home.iterdir()) == ["a-3.jsonl", "a.jsonl"]
    assert _events(log.path) == [EVENTS[0], EVENTS[4]]
