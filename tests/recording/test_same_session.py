"""Which of a session's files has most of it: after a move there are several."""

from __future__ import annotations

from pathlib import Path

from written import head_of, lines_of, some_events, write_lines

from pacer.job.job import Job
from pacer.recording.same_session import longest

SID = "a" * 16


def _file(path: Path, job: Job, count: int, sid: str = SID) -> Path:
    path.parent.mkdir(exist_ok=True)
    return write_lines(path, lines_of(head_of(job, sid=sid), some_events(count)))


def test_the_longest_is_found_beside_it_and_elsewhere(hot_job: Job, tmp_path: Path) -> None:
    """By the names that a move gives, from any of them, whatever else lies there."""
    home, er = tmp_path / "home", tmp_path / "er"
    part = _file(home / "a-17.jsonl", hot_job, 4)
    assert longest(part, SID, [er]) is part
    second = _file(home / "a-17-2.jsonl", hot_job, 6)
    third = _file(er / "a-17-3.jsonl", hot_job, 8)
    _file(home / "a-17-4.jsonl", hot_job, 12, sid="b" * 16)
    _file(home / "other.jsonl", hot_job, 12)
    (er / "a-17-5.jsonl").write_text("x" * 100_000)
    (er / "a-17-6.jsonl").mkdir()
    for path in (part, second):
        assert longest(path, SID, [er, tmp_path / "missing"]) == third
    assert longest(third, SID, [er]) is third
    assert longest(part, SID, []) == second
