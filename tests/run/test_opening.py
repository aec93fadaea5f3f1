"""A new recording's head and folder: refused before any heat, or readable after it (T-09)."""

from __future__ import annotations

from pathlib import Path

import pytest
from fakes import START, FakeClock, FakeSource
from written import head_of

from pacer.errors import RecordingError
from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.run.opening import head, start


def test_a_folder_that_cannot_be_made_is_refused(hot_job: Job, tmp_path: Path) -> None:
    """T-09: path and reason, before any heat."""
    (tmp_path / "file").touch()
    clock = FakeClock()
    opened = head(hot_job, FakeSource(clock, []), clock.wall(), settings={})
    with pytest.raises(RecordingError, match="this folder cannot be made: "):
        start(tmp_path / "file" / "deeper" / "a.jsonl", opened)
    made = start(tmp_path / "new" / "folder" / "a.jsonl", opened)
    made.log.close()


@pytest.mark.parametrize("period_s", [0.0, 0.0004, 1.5e6, None])
def test_what_no_head_may_say_of_its_period_is_left_out(
    hot_job: Job, tmp_path: Path, period_s: float | None
) -> None:
    """Rows at one time, or days apart: the recording can be read again."""
    source = FakeSource(FakeClock(), [])
    source.period_s = period_s
    start(tmp_path / "a.jsonl", head(hot_job, source, START, settings={})).log.close()
    assert Recording(tmp_path / "a.jsonl").head.period_s is None


def test_a_head_that_no_reader_would_take_is_refused_before_any_heat(
    hot_job: Job, tmp_path: Path
) -> None:
    """What could not be read after a session must not begin one; nothing is left behind."""
    opened = head_of(hot_job, period_s=0.0)
    with pytest.raises(RecordingError, match=r"a\.jsonl: .*period_s 0, expected 0\.001 to 1e\+06$"):
        start(tmp_path / "a.jsonl", opened)
    assert list(tmp_path.iterdir()) == []
