"""`pacer replay` before its screen: where it begins, what it prints, how far it has read."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from written import head_of, lines_of, write_lines

from pacer.cli import replays
from pacer.cli.main import main
from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.session.events import Act, AnyEvent, Ended, Reading


def recording(path: Path, job: Job, count: int) -> Path:
    """Write a press at 1 s and readings half a second apart."""
    events: list[AnyEvent] = [Act(t_ms=1000, deed="next")]
    events += [Reading(t_ms=1500 + 500 * i, raw=(20.0,), status="ok") for i in range(count)]
    events.append(Ended(t_ms=2000 + 500 * count, why="closed"))
    return write_lines(path, lines_of(head_of(job), events))


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        """Return True."""
        return True


def test_beginning_after_the_end_is_told_in_one_line(
    hot_job: Job,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """In session time, with where it ends; on the screen and without one."""
    path = recording(tmp_path / "a.jsonl", hot_job, 20)
    monkeypatch.setattr(replays, "need_terminal", lambda: None)
    for more in ((), ("--no-screen",)):
        assert main(["replay", str(path), "--at", "20min", *more]) == 2
        said = capsys.readouterr()
        assert said.err == "pacer: --at 0:20:00: a.jsonl ends at 0:00:12\n"
        assert said.out == ""


def test_the_cues_from_a_time_on_are_printed(
    hot_job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """PREPARE is told at 0 s, PREHEAT at the press at 1 s."""
    path = recording(tmp_path / "a.jsonl", hot_job, 4)
    for at, kinds in (((), ["PREPARE", "PREHEAT"]), (("--at", "1s"), ["PREHEAT"])):
        assert main(["replay", str(path), "--no-screen", *at]) == 0
        out = capsys.readouterr().out
        assert [line.split("\t")[1] for line in out.splitlines()] == kinds


def test_how_far_a_long_one_is_read_is_said_on_a_terminal_only(
    hot_job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On one line, erased at the end: it stays neither above the screen nor in a file."""
    long = Recording(recording(tmp_path / "a.jsonl", hot_job, 1100))
    said = Terminal()
    monkeypatch.setattr("sys.stderr", said)
    replays.film_of(long)
    assert said.getvalue().startswith("\rreading a.jsonl 4")
    assert said.getvalue().endswith(" %\r\x1b[K")
    assert "\n" not in said.getvalue()
    plain = io.StringIO()
    monkeypatch.setattr("sys.stderr", plain)
    replays.film_of(long)
    assert plain.getvalue() == ""
