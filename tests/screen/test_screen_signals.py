"""A real terminal is left as it was, and the session stopped, when the system ends it."""

from __future__ import annotations

import os
import pty
import select
import signal
import subprocess
import sys
from pathlib import Path

import pytest

FOLDER = Path(__file__).parent
PROGRAM = """
import sys; sys.path.insert(0, {folder!r})
import fake_desk as fd
from pacer.screen.app import PacerApp
from pacer.units import Shown
desk = fd.desk(fd.waiting())
PacerApp(desk, Shown()).run(mouse=False)
open({marker!r}, "w").write(str(desk.stops))
"""
ALTERNATE_ON, ALTERNATE_OFF, CURSOR_ON = b"\x1b[?1049h", b"\x1b[?1049l", b"\x1b[?25h"


def heard(fd: int, until: bytes, limit_s: float = 20.0) -> bytes:
    """Read the terminal until some bytes come, or it is closed."""
    out = b""
    while until not in out and select.select([fd], [], [], limit_s)[0]:
        try:
            chunk = os.read(fd, 65536)
        except OSError:
            break
        if not chunk:
            break
        out += chunk
    return out


@pytest.mark.slow
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_leaves_a_clean_terminal_and_stops_the_session(
    number: signal.Signals, tmp_path: Path
) -> None:
    """reliability.md T-40; ecosystem.md section 0, finding 2."""
    marker = tmp_path / "stops"
    code = PROGRAM.format(folder=str(FOLDER), marker=str(marker))
    ours, theirs = pty.openpty()
    child = subprocess.Popen(
        [sys.executable, "-c", code],
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        cwd=FOLDER.parents[1],
        env={**os.environ, "TERM": "xterm-256color", "COLUMNS": "80", "LINES": "24"},
    )
    os.close(theirs)
    try:
        # The key bar is painted last: then the application is up.
        before = heard(ours, b"close")
        assert ALTERNATE_ON in before
        child.send_signal(number)
        after = heard(ours, b"never said")
        assert child.wait(timeout=20) == 0
    finally:
        child.kill()
        os.close(ours)
    assert ALTERNATE_OFF in after
    assert CURSOR_ON in after
    assert b"\x1b[?1000h" not in before
    assert marker.read_text() == "1"
