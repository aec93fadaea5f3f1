"""Memory of the commands that read a recording: bounded, however long it is (issue 6)."""

from __future__ import annotations

import tracemalloc
from pathlib import Path

import pytest
from hostile import COMMANDS, said
from written import head_of, lines_of

from pacer.job.job import Job
from pacer.session.events import Reading


def _long_session(job: Job, command: str, readings: int, path: Path) -> Path:
    """Write readings of four channels, one a second; for `cool` as a cool-down. Invented."""
    head = head_of(job, start_phase="cool-down" if command == "cool" else "prepare")
    step_ms = 5_000 if command == "cool" else 1_000
    events = (
        Reading(
            t_ms=step_ms * i,
            raw=tuple(60.0 - i / readings + k for k in range(4)),
            status="ok",
            names=("t1", "t2", "t3", "t4"),
        )
        for i in range(readings)
    )
    with path.open("wb") as file:
        file.writelines(lines_of(head, events))
    return path


def _peak_kb(command: tuple[str, ...], path: Path) -> float:
    """Return how much more was held at once while a command ran, without what it printed."""
    said(command, path)
    tracemalloc.start()
    try:
        done = said(command, path)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert done.code in {0, 1}, done.err
    # The output is kept by this test: as a buffer of four bytes a character, and as text.
    return (peak - 5 * len(done.out)) / 1000


_PAGE = ("review", "REC", "--html", "-")
"Its curve is bounded, and not yet full after an hour of these readings."
_STREAMED = [c for c in COMMANDS if c[0] != "recover" and c not in {("review", "REC"), _PAGE}]
_QUICK = [c for c in _STREAMED if c[0] != "cool" and c != ("forecast", "REC")]
"Without the fits of a cool-down, which take seconds while memory is traced."


@pytest.mark.slow
@pytest.mark.parametrize("command", _QUICK, ids=" ".join)
def test_memory_does_not_grow_with_the_length(
    command: tuple[str, ...], hot_job: Job, tmp_path: Path
) -> None:
    """Reading and folding hold what they show, not the recording: 4 times as long, as much."""
    short, long = (
        _peak_kb(command, _long_session(hot_job, command[0], count, tmp_path / f"{count}.jsonl"))
        for count in (250, 1000)
    )
    # The events of the longer one would be 500 kB more, its lines 90 kB more.
    assert long - short < 80.0, (short, long)


@pytest.mark.full
def test_the_curve_of_a_page_is_full_at_some_time(hot_job: Job, tmp_path: Path) -> None:
    """Four times as long, as much."""
    short, long = (
        _peak_kb(_PAGE, _long_session(hot_job, "review", count, tmp_path / f"{count}.jsonl"))
        for count in (10_000, 40_000)
    )
    assert long - short < 200.0, (short, long)


@pytest.mark.full
@pytest.mark.parametrize("command", _STREAMED, ids=" ".join)
def test_memory_of_a_day_is_that_of_an_hour(
    command: tuple[str, ...], hot_job: Job, tmp_path: Path
) -> None:
    """16 times as long, as much."""
    short, long = (
        _peak_kb(command, _long_session(hot_job, command[0], count, tmp_path / f"{count}.jsonl"))
        for count in (1000, 16_000)
    )
    assert long - short < 200.0, (short, long)
