"""A bead from PREPARE to the next READY, in a real terminal with a real serial line.

The giant word is read off the terminal's cells. Session time runs four times as fast as
the machine's, so that a bead of six seconds is soon over.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from real_terminal import Terminal, Wire

from pacer.recording.reader import Recording
from pacer.session.events import Act, CueTold, Ended

FAST = """
import sys
from pacer.clock import BootClock
steady_s = BootClock._steady_s
BootClock._steady_s = staticmethod(lambda: 4.0 * steady_s())
from pacer.cli.main import main
sys.exit(main(sys.argv[1:]))
"""
JOB = """
[job]
title = "Test bracket, hot"
method = "hot"
[part]
metal = "grey iron"
mass = "3.2 kg"
size = ["260 mm", "180 mm", "40 mm"]
[joint]
crack_length = "75 mm"
[band]
preheat = "260 degC"
floor = "200 degC"
ceiling = "300 degC"
soak = "3 s"
[bead]
length = "10 mm"
travel = "100 mm/min"
peen = "2 s"
"""
WORDS = ("PREPARE", "PREHEAT", "SOAK", "READY", "WELD", "FINISH", "STOP", "PEEN", "LOOK", "WAIT")
FIRST = "Why it broke is known, and what will be changed"
BEAD = ("WELD", "FINISH", "STOP", "PEEN")


@pytest.mark.slow
def test_a_whole_bead_is_seen_on_the_terminal(tmp_path: Path) -> None:
    """The list, PREPARE, PREHEAT, SOAK, READY; Space; WELD, FINISH, STOP; Space; PEEN, READY."""
    job, out, wire = tmp_path / "job.toml", tmp_path / "a.jsonl", Wire()
    job.write_text(JOB)
    seen: list[str] = []

    def look() -> bool:
        word = terminal.word(WORDS)
        if word and word != (seen[-1] if seen else ""):
            seen.append(word)
        return bool(seen)

    def until(word: str) -> None:
        terminal.until(lambda: look() and seen[-1] == word)

    args = ("run", job, "--sensor", wire.url, "--sound", "off", "--out", out)
    with Terminal(FAST, *args, size=(100, 30)) as terminal:
        terminal.turn = lambda: wire.say(20.0)
        until("PREPARE")
        terminal.type("\x1b[B")  # down
        terminal.until_text(f"▸· {FIRST}")
        terminal.type("m")
        terminal.until_text(f"▸× {FIRST}")
        # At once it would be a glove on both keys.
        terminal.until_later()
        terminal.type(" ")
        until("PREHEAT")
        terminal.turn = lambda: wire.say(262.0)
        until("READY")
        # At once it would be a late answer to the soak.
        terminal.until_later()
        terminal.type(" ")
        until("STOP")
        terminal.type(" ")
        until("PEEN")
        until("READY")
        terminal.until_later()
        terminal.type("\x1b[19~")  # F8, a pedal
        until("WELD")
        # At once after the pedal it would be the same bump.
        until("FINISH")
        terminal.close("q")
        assert terminal.ended() == 0
    wire.close()
    assert seen == ["PREPARE", "PREHEAT", "SOAK", "READY", *BEAD, "READY", "WELD", "FINISH"]
    events = list(Recording(out).events())
    told = [e.kind for e in events if isinstance(e, CueTold)]
    assert told[:4] == ["PREPARE", "PREHEAT", "SOAK", "READY"]
    assert told[4:8] == ["FINISH", "STOP", "PEEN", "READY"]
    presses = [e for e in events if isinstance(e, Act)]
    assert [e.deed for e in presses] == ["prepared", *["next"] * 4]
    assert presses[0].text == FIRST
    assert isinstance(events[-1], Ended)
