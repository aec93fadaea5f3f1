"""Two recordings side by side in a real terminal, and the command's lines and refusals."""

from __future__ import annotations

from pathlib import Path

import pytest
from commands import pacer
from pairs import hot_events, recorded
from real_terminal import Terminal
from test_terminal_left import MAIN

from pacer.job.job import Job


@pytest.fixture
def two(hot_job: Job, tmp_path: Path) -> tuple[Path, Path]:
    """A, and B which is the same five seconds later."""
    return (
        recorded(tmp_path / "a.jsonl", hot_job, hot_events(100)),
        recorded(tmp_path / "b.jsonl", hot_job, hot_events(100, 5), invented="simulated"),
    )


@pytest.mark.slow
def test_two_recordings_are_seen_aligned_and_the_terminal_is_left_as_it_was(
    two: tuple[Path, Path],
) -> None:
    """Paused, aligned anew, closed at once; neither file has changed."""
    before = [path.read_bytes() for path in two]
    with Terminal(MAIN, "replay", *two, "--speed", "1") as terminal:
        terminal.until_text("ALIGNED at preheat, ×1")
        terminal.type("p")
        terminal.until_text("PAUSED")
        assert any("A  a.jsonl" in row and "B  b.jsonl" in row for row in terminal.rows)
        assert sum("INVENTED" in row for row in terminal.rows) == 1
        terminal.type("a")
        terminal.until_text("ALIGNED at soak")
        terminal.type("q")
        assert terminal.ended() == 0
        assert terminal.left_on() == set()
        assert terminal.as_before()
    assert [path.read_bytes() for path in two] == before


@pytest.mark.slow
def test_without_a_screen_the_cues_of_both_are_one_list(two: tuple[Path, Path]) -> None:
    """Letter, seconds from the aligned moment, kind, words; in order."""
    done = pacer("replay", *two, "--no-screen", "--align", "bead").fine()
    rows = [line.split("\t") for line in done.out.splitlines()]
    assert [row[:3] for row in rows[:3]] == [
        ["B", "-79.000", "PREPARE"],
        ["A", "-74.000", "PREPARE"],
        ["A", "-73.000", "PREHEAT"],
    ]
    times = [float(row[1]) for row in rows]
    assert times == sorted(times)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("more", "said"),
    [
        (("--align", "bury"), "--align bury: A (a.jsonl) never entered bury; it has: prepare, "),
        (("--align", "lunch"), '--align "lunch": expected one of prepare, '),
        (("--audit",), "--audit: found two recordings, expected one"),
        (("c.jsonl",), "unrecognized arguments: c.jsonl"),
    ],
)
def test_a_mistake_is_one_line(two: tuple[Path, Path], more: tuple[str, ...], said: str) -> None:
    """And exit code 2."""
    done = pacer("replay", *two, *more, "--no-screen")
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith(f"pacer: {said}")
    assert done.err.count("\n") == 1


@pytest.mark.slow
def test_one_recording_has_nothing_to_be_aligned_with(two: tuple[Path, Path]) -> None:
    """Said, not ignored; and two without a terminal are not drawn."""
    assert (
        "--align: found one recording, expected two"
        in pacer("replay", two[0], "--align", "bead").err
    )
    assert pacer("replay", *two).err.startswith("pacer: no terminal for a screen here")
