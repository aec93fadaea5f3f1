"""A command on a pseudo-terminal of its own: what it draws, what is typed, how it leaves it."""

from __future__ import annotations

import os
import pty
import re
import select
import signal
import subprocess
import sys
import termios
import tty
from collections.abc import Callable
from pathlib import Path
from types import TracebackType

import pyte
import pytest

from pacer.screen.widgets.blocks import HEIGHTS, blocks

ROOT = Path(__file__).parents[2]
TURN_S = 0.03
TURNS = 1000
"""Half a minute without output; a test that waits so long has failed."""

SPARE = 8
"""Terminals opened before ours and left alone. The lowest free number is given out first, and
a session in another test, whose pseudo-serial port of that number was unplugged, tries again
and again to open it and set its baud rate."""

_OURS = """
import fcntl, termios
fcntl.ioctl(0, termios.TIOCSCTTY, 0)
"""
"""Makes it the session's own terminal: when it goes, its program hears SIGHUP."""

_MODES = re.compile(rb"\x1b\[\?([0-9;]+)([hl])")
_USUALLY_ON = (b"25", b"7")
"Cursor, and lines that wrap."


class Terminal:
    """Runs Python code on a terminal; a context manager, after which the program is gone."""

    def __init__(self, code: str, *args: str | Path, size: tuple[int, int] = (80, 24)) -> None:
        """`code` finds `args` in `sys.argv[1:]`."""
        columns, rows = size
        self._spare = [end for _ in range(SPARE) for end in pty.openpty()]
        self._ours, self._theirs = pty.openpty()
        termios.tcsetwinsize(self._theirs, (rows, columns))
        self.before = termios.tcgetattr(self._theirs)
        self.raw = b""
        self._screen = pyte.Screen(columns, rows)
        self._stream = pyte.ByteStream(self._screen)
        self.turn: Callable[[], None] = lambda: None
        "Called again and again while output is waited for."
        self._size = size
        self.start(code, *args)

    def start(self, code: str, *args: str | Path) -> None:
        """Run a program here, the one before it being gone."""
        columns, rows = self._size
        self.child = subprocess.Popen(
            [sys.executable, "-c", _OURS + code, *map(str, args)],
            stdin=self._theirs,
            stdout=self._theirs,
            stderr=self._theirs,
            start_new_session=True,
            env={
                **os.environ,
                "PYTHONPATH": str(ROOT),
                "TERM": "xterm-256color",
                "COLUMNS": str(columns),
                "LINES": str(rows),
            },
        )

    def __enter__(self) -> Terminal:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.child.kill()
        self.child.wait()
        for end in (self._ours, self._theirs, *self._spare):
            os.close(end)

    @property
    def rows(self) -> list[str]:
        """The screen as text."""
        return list(self._screen.display)

    def type(self, keys: str) -> None:
        """Press keys."""
        os.write(self._ours, keys.encode())

    def until(self, seen: Callable[[], bool]) -> None:
        """Take in output until something is seen; fails when none comes any more."""
        for _ in range(TURNS):
            if seen():
                return
            self.turn()
            if not self._take(TURN_S):
                assert self.child.poll() is None, "\n".join(["it ended", *self.rows])
        pytest.fail("\n".join(["it never came", *self.rows]))

    def until_text(self, text: str) -> None:
        """Take in output until some text stands on the screen."""
        self.until(lambda: any(text in row for row in self.rows))

    def until_later(self) -> None:
        """Take in output until more than a second has passed on the screen's own clock."""
        for _ in range(3):
            top = self.rows[0]
            self.until(lambda top=top: self.rows[0] != top)  # type: ignore[misc]

    def close(self, key: str) -> None:
        """Press a key that asks whether to close, and answer yes."""
        self.type(key)
        self.until_text("Y closes")
        # At once after the question it would be a sleeve along the row.
        self.until_later()
        self.type("y")

    def _take(self, wait_s: float) -> bool:
        if not select.select([self._ours], [], [], wait_s)[0]:
            return False
        chunk = os.read(self._ours, 65536)
        self.raw += chunk
        self._stream.feed(chunk)
        return True

    def signal(self, number: signal.Signals) -> None:
        """Send the program a signal."""
        self.child.send_signal(number)

    def ended(self) -> int:
        """Take in output until the program has ended; return its exit code."""
        for _ in range(TURNS):
            if self.child.poll() is not None:
                break
            self._take(TURN_S)
        while self._take(0.0):
            pass
        return self.child.wait(timeout=1.0)

    def left_on(self) -> set[bytes]:
        """Return the terminal's modes that are not as a shop's shell needs them.

        Private modes (`CSI ? n h` and `l`) that were set and not reset, and the cursor
        where it is hidden.
        """
        on: set[bytes] = set()
        for names, what in _MODES.findall(self.raw):
            for name in names.split(b";"):
                if (what == b"h") != (name in _USUALLY_ON):
                    on.add(name)
                else:
                    on.discard(name)
        return on

    def as_before(self) -> bool:
        """True if echo, lines and signals of the terminal are as they were."""
        return termios.tcgetattr(self._theirs) == self.before

    def word(self, words: tuple[str, ...]) -> str:
        """Return which of the words stands on the screen in block letters, or nothing."""
        rows = self.rows
        for word in words:
            for height in HEIGHTS:
                drawn = blocks(word, len(rows[0]), height)
                if len(drawn) == height and _stands(drawn, rows):
                    return word
        return ""


def _stands(drawn: tuple[str, ...], rows: list[str]) -> bool:
    """True if a drawing stands on the screen with nothing beside it."""
    wide = max(len(line) for line in drawn)
    for top in range(len(rows) - len(drawn) + 1):
        left = rows[top].find(drawn[0].rstrip())
        if left < 0:
            continue
        cut = [row[left : left + wide].rstrip() for row in rows[top : top + len(drawn)]]
        if cut == [line.rstrip() for line in drawn]:
            return True
    return False


class Wire:
    """The instrument's end of a pseudo-terminal that a session opens as a serial port."""

    def __init__(self) -> None:
        self._ours, self._theirs = pty.openpty()
        tty.setraw(self._theirs)
        self.url = f"serial://{os.ttyname(self._theirs)}?settle=0"

    def say(self, temp_c: float) -> None:
        """Send a reading."""
        os.write(self._ours, f"{temp_c:.1f}\r\n".encode())

    def close(self) -> None:
        """Unplug."""
        os.close(self._ours)
        os.close(self._theirs)
