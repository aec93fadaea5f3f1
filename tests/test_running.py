"""What follows a session at its terminal: the looks are offered where the repair is over."""

from __future__ import annotations

import argparse
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import msgspec
import pytest
from fakes import FakeClock, FakeSource
from written import head_of, lines_of, welded, write_lines

from pacer.cli import running
from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.run.refold import refold
from pacer.session.work import Phase, Work
from pacer.settings import Settings


@pytest.fixture
def begun(hot_job: Job, tmp_path: Path) -> Work:
    """A repair with one bead of several."""
    path = write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), welded()))
    work = refold(head_of(hot_job), Recording(path).events()).state.work
    assert work.beads
    return work


@pytest.mark.parametrize("phase", Phase)
def test_a_repair_is_over_when_it_was_finished_and_has_cooled(begun: Work, phase: Phase) -> None:
    """Half done it goes on another day; a cool-down alone, such as an import, has no beads."""
    there = msgspec.structs.replace(begun, phase=phase)
    cooled = phase is Phase.DONE

    assert not running.repair_over(there)
    assert running.repair_over(msgspec.structs.replace(there, finished=True)) is cooled
    assert running.repair_over(msgspec.structs.replace(there, beads=())) is cooled


@pytest.mark.parametrize(
    ("kind", "over", "no_screen", "offered"),
    [
        ("live", True, False, True),
        ("practice", True, False, False),
        ("live", False, False, False),
        ("live", True, True, False),
    ],
)
def test_the_looks_are_offered_after_a_live_repair_on_a_screen_only(
    kind: Any,
    over: bool,
    no_screen: bool,
    offered: bool,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A simulated part has nothing to look at; where lines are printed a program reads them."""
    path, seen = tmp_path / "a.jsonl", list[Path]()
    hands = SimpleNamespace(give_up=lambda: None, close=lambda: None)
    monkeypatch.setattr(running, "at_the_table", lambda _args, settings, _source: settings)
    monkeypatch.setattr(running, "open_hands", lambda *_, **__: hands)
    monkeypatch.setattr(running, "_drive", lambda *_, **__: (0, over))
    monkeypatch.setattr(
        "pacer.cli.inspection.command.offer", lambda path, _shown: seen.append(path)
    )
    clock = FakeClock()
    started: Any = SimpleNamespace(log=SimpleNamespace(path=path))
    code = running.run_session(
        argparse.Namespace(no_screen=no_screen),
        lambda _settings: started,
        FakeSource(clock, []),
        clock,
        Settings(recordings=tmp_path),
        kind=kind,
    )

    assert code == 0
    assert seen == ([path] if offered else [])
