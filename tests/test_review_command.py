"""`pacer review` of several recordings, one of them unreadable, or being written just now."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from fakes import QuietDisk
from written import head_of, lines_of, some_events, write_lines

from pacer.cli.main import main
from pacer.job.job import Job
from pacer.recording.writing.writer import Log


@pytest.mark.parametrize("json", [(), ("--json",)])
def test_one_that_cannot_be_read_hides_no_other(
    json: tuple[str, ...], hot_job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A and C in the order given, what is wrong with the others in a line each, exit 2."""
    for name in ("a", "c"):
        write_lines(tmp_path / f"{name}.jsonl", lines_of(head_of(hot_job), some_events()))
    (tmp_path / "bad.jsonl").write_bytes(b"t_s,temp_c\n0,20\n")
    names = ["a.jsonl", "bad.jsonl", "none.jsonl", "c.jsonl"]
    assert main(["review", *(str(tmp_path / name) for name in names), *json]) == 2
    said = capsys.readouterr()
    assert 0 <= said.out.index("a.jsonl") < said.out.index("c.jsonl")
    wrong = [line.removeprefix(f"pacer: {tmp_path}/") for line in said.err.splitlines()]
    assert wrong == [
        'pacer: bad.jsonl: line 1: found "t_s,temp_c", expected the head of a pacer recording',
        "none.jsonl: cannot be opened: No such file or directory",
    ]
    assert main(["review", *(str(tmp_path / name) for name in ("a.jsonl", "c.jsonl"))]) == 0


@pytest.mark.skipif(not Path("/proc/locks").exists(), reason="no list of locks here")
def test_one_that_is_being_written_is_not_called_interrupted(
    hot_job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Closed without an end it is; while somebody writes it, it says who, and disturbs nobody."""
    path = tmp_path / "a.jsonl"
    log = Log(path, head_of(hot_job), disk=QuietDisk())
    log.append_all(some_events()[:-1], 0.0)
    main(["review", str(path)])
    assert f"last phase prepare; being written (process {os.getpid()})\n" in capsys.readouterr().out
    log.close()
    main(["review", str(path)])
    assert "last phase prepare; interrupted, not closed\n" in capsys.readouterr().out
