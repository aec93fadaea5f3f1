"""However it ends: the terminal is as it was, and the recording is closed (T-40)."""

from __future__ import annotations

import os
import pty
import signal
import termios
import tty
from collections.abc import Callable
from pathlib import Path

import pytest
from real_terminal import Terminal

from pacer.recording.reader import Recording
from pacer.screen.mend import mend_terminal
from pacer.session.events import Ended

MAIN = """
import sys
from pacer.cli.main import main
sys.exit(main(sys.argv[1:]))
"""
BROKEN = """
from pacer.screen.live import Live
def broken(self, event):
    raise RuntimeError("a fault made for the test")
Live.on_key = broken
"""


def sends(number: signal.Signals) -> Callable[[Terminal], None]:
    """Return what sends a signal."""
    return lambda terminal: terminal.signal(number)


@pytest.mark.slow
def test_after_a_kill_the_next_start_restores_the_terminal(tmp_path: Path) -> None:
    """SIGKILL leaves raw mode, alternate screen and no cursor; the next session mends it."""
    first, second = tmp_path / "a.jsonl", tmp_path / "b.jsonl"
    with Terminal(MAIN, "practice", "--speed", "4", "--out", first) as terminal:
        terminal.until_text("Q  close")
        terminal.signal(signal.SIGKILL)
        assert terminal.ended() == -signal.SIGKILL
        assert not terminal.as_before()
        assert {b"1049", b"25"} <= terminal.left_on()
        killed_at = len(terminal.raw)
        terminal.start(MAIN, "practice", "--speed", "4", "--out", second)
        terminal.until(lambda: b"close" in terminal.raw[killed_at:])
        terminal.signal(signal.SIGTERM)
        assert terminal.ended() == 0
        assert terminal.left_on() == set()
        assert terminal.as_before()
    assert not any(isinstance(event, Ended) for event in Recording(first).events())


@pytest.mark.slow
@pytest.mark.parametrize(
    ("ends", "before", "code", "why"),
    [
        (sends(signal.SIGTERM), "", 0, "ended by the system (SIGTERM)"),
        (sends(signal.SIGHUP), "", 0, "ended by the system (SIGHUP)"),
        (sends(signal.SIGINT), "", 0, "closed by the welder"),
        (lambda terminal: terminal.close("\x03"), "", 0, "closed by the welder"),
        (lambda terminal: terminal.type("z"), BROKEN, 1, "the screen failed"),
    ],
    ids=["SIGTERM", "SIGHUP", "SIGINT", "keys", "exception"],
)
def test_the_terminal_is_left_as_it_was(
    ends: Callable[[Terminal], None], before: str, code: int, why: str, tmp_path: Path
) -> None:
    """Cursor, alternate screen, mouse, pasting and lines; `end` with its reason on disk."""
    out = tmp_path / "a.jsonl"
    with Terminal(before + MAIN, "practice", "--speed", "4", "--out", out) as terminal:
        # The key bar is painted last: then the application is up.
        terminal.until_text("Q  close")
        on = terminal.left_on()
        assert {b"1049", b"25"} <= on
        assert not {b"1000", b"1002", b"1003"} & on, "no mouse is asked for"
        assert not terminal.as_before()
        ends(terminal)
        assert terminal.ended() == code
        assert terminal.left_on() == set()
        assert terminal.raw.rindex(b"\x1b[?1049l") > terminal.raw.rindex(b"\x1b[?1049h")
        assert terminal.as_before()
        assert any("recorded in" in row for row in terminal.rows)
    events = list(Recording(out).events())
    assert isinstance(events[-1], Ended)
    assert events[-1].why == why


def test_a_terminal_that_is_as_it_should_be_is_left_alone() -> None:
    """Only one without echo and lines is touched; a closed one is no matter."""
    ours, theirs = pty.openpty()
    try:
        before = termios.tcgetattr(theirs)
        assert not mend_terminal(theirs)
        assert termios.tcgetattr(theirs) == before
        tty.setraw(theirs)
        assert mend_terminal(theirs)
        wanted = termios.ICANON | termios.ECHO | termios.ISIG
        assert termios.tcgetattr(theirs)[3] & wanted == wanted
    finally:
        os.close(ours)
        os.close(theirs)
    assert not mend_terminal(theirs)
