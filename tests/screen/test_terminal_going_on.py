"""Next morning at the laptop: `pacer cool`, and on with the repair, on a real terminal and line."""

from __future__ import annotations

from datetime import timedelta
from itertools import count
from pathlib import Path

import pytest
from commands import run_script
from earlier import HELD_AND_COVERED, QUICK, ended_at, one_bead
from real_terminal import Terminal, Wire

from pacer.clock import BootClock
from pacer.recording.reader import Recording
from pacer.session.events import ClockGap, Resumed

MAIN = """
import sys
from pacer.cli.main import main
sys.exit(main(sys.argv[1:]))
"""
WATCHED = [f"{71 + t_s},{261 - t_s / 40}" for t_s in range(10, 600, 10)]
"Ten minutes under the cover. Invented."


@pytest.mark.slow
def test_the_countdown_goes_on_in_the_morning_and_the_repair_after_it(tmp_path: Path) -> None:
    """He held, buried, shut the lid. H goes on with the repair: first of all PREPARE, never READY."""
    job, path, wire = tmp_path / "job.toml", tmp_path / "a.jsonl", Wire()
    job.write_text(QUICK)
    run_script(job, tmp_path / "raw.jsonl", one_bead(*HELD_AND_COVERED, *WATCHED)).fine()
    ended_at(tmp_path / "raw.jsonl", BootClock().wall() - timedelta(hours=9), path)
    with Terminal(MAIN, "cool", path, "--sensor", wire.url) as terminal:
        turns = count()
        terminal.turn = lambda: wire.say(61.0) if next(turns) % 8 == 0 else None
        terminal.until(lambda: terminal.word(("HOT",)) == "HOT")
        # Nine hours that nobody watched, and how they are known.
        terminal.until(lambda: any("9 h" in row and "wall clock" in row for row in terminal.rows))
        terminal.until_text("61 °C")
        terminal.until_later()
        terminal.type("h")
        terminal.until(lambda: terminal.word(("PREPARE", "READY")) == "PREPARE")
        terminal.close("q")
        assert terminal.ended() == 0
    wire.close()
    events = list(Recording(path).events())
    (gap,) = (event for event in events if isinstance(event, ClockGap))
    assert gap.by == "wall"
    assert 9 * 3_600_000 <= gap.to_ms - gap.t_ms < 9 * 3_600_000 + 60_000
    resumed = next(event for event in events if isinstance(event, Resumed))
    assert resumed.source == wire.url
