"""What is said when a session is over: which file holds it, or what is not on the disk."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest
from full_disk import Full
from written import head_of, some_events

from pacer.cli.running import _tell_where
from pacer.job.job import Job
from pacer.recording.writing.writer import Log

EVENTS = some_events(12)[:-1]


def test_what_is_not_on_the_disk_is_told_with_its_time(
    hot_job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Full to the end, here and elsewhere: not a word of "recorded in"."""
    home, er = tmp_path / "home", tmp_path / "er"
    home.mkdir()
    disk = Full(errno.ENOSPC)
    log = Log(home / "a.jsonl", head_of(hot_job), elsewhere=[er], disk=disk)
    for event in EVENTS[:5]:
        log.append(event, 0.0)
    disk.folders |= {home, er}
    for event in EVENTS[5:]:
        log.append(event, 0.1)
    log.end(95_000, "test", "2026-01-01T08:00:07+00:00", 1.0)
    _tell_where(log)
    # The end's record is one more.
    assert capsys.readouterr().err == (
        f"pacer: {home / 'a.jsonl'}: {len(EVENTS) - 5 + 1} records are not on the disk, "
        f"from session time 0:00:{EVENTS[5].t_s:02.0f} on: No space left on device\n"
    )


def test_a_session_that_moved_names_both_files(
    hot_job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The new one holds it; the old one a part."""
    log = Log(tmp_path / "a.jsonl", head_of(hot_job))
    log.append(EVENTS[0], 0.0)
    log.path.write_bytes(b"")
    log.end(1000, "test", "2026-01-01T08:00:07+00:00", 1.0)
    _tell_where(log)
    assert capsys.readouterr().err == (
        f"pacer: recorded in {tmp_path / 'a-2.jsonl'}\n"
        f"pacer: {tmp_path / 'a.jsonl'}: holds only a part of it\n"
    )
