"""A cool-down that ends at the laptop: uncovered, closed, and the looks written down at once."""

from __future__ import annotations

from datetime import timedelta
from itertools import count
from pathlib import Path

import pytest
from commands import run_script
from earlier import QUICK, ended_at, one_bead
from real_terminal import Terminal, Wire

from pacer.clock import BootClock
from pacer.recording.reader import Recording
from pacer.session.events import Act, Ended, Inspection

MAIN = """
import sys
from pacer.cli.main import main
sys.exit(main(sys.argv[1:]))
"""
LAST_BEAD_LAID = ("60,!finish", "70,261", "71,!covered", "80,260", "90,259")


@pytest.mark.slow
def test_when_the_cold_part_s_session_is_closed_the_looks_are_asked_for(tmp_path: Path) -> None:
    """X at 38 °C, Q, then a look by eye: it stands after the session's end."""
    job, path, wire = tmp_path / "job.toml", tmp_path / "a.jsonl", Wire()
    job.write_text(QUICK)
    run_script(job, tmp_path / "raw.jsonl", one_bead(*LAST_BEAD_LAID)).fine()
    ended_at(tmp_path / "raw.jsonl", BootClock().wall() - timedelta(hours=20), path)
    with Terminal(MAIN, "cool", path, "--sensor", wire.url) as terminal:
        turns = count()
        terminal.turn = lambda: wire.say(38.0) if next(turns) % 8 == 0 else None
        terminal.until_text("38 °C")
        terminal.until_later()
        terminal.type("x")
        terminal.until(lambda: terminal.word(("DONE",)) == "DONE")
        # At once after X the next key would be the same bump.
        terminal.until_later()
        terminal.close("q")
        terminal.until_text("Write down the inspection now?")
        terminal.turn = lambda: None
        terminal.type("y\r")
        terminal.until_text("VISUAL")
        # Nothing found; no words, no photo; no more looks; who looked is not said; yes.
        for keys, then in (
            ("1\r", "Anything else"),
            ("\r", "A photo?"),
            ("\r", "PENETRANT"),
            ("\x04", "Who looked?"),
            ("\r", "Write this into"),
            ("y\r", "recorded, in"),
        ):
            terminal.type(keys)
            terminal.until_text(then)
        assert terminal.ended() == 0
    wire.close()
    recording = Recording(path)
    events = list(recording.events())
    assert recording.damage.sound
    ended = next(at for at, event in enumerate(events) if isinstance(event, Ended))
    (look,) = (event for event in events[ended:] if isinstance(event, Inspection))
    assert (look.look, look.result) == ("visual", "nothing found")
    assert any(isinstance(event, Act) and event.deed == "uncovered" for event in events[:ended])
