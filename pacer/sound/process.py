"""The player process from the program's side: started, told, watched, ended."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
import time
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

import pacer
from pacer.text import clean

COMMAND = (sys.executable, "-P", "-m", "pacer.sound.child")
DEAF_S = 2.0
"""An answer that took so long will not come: the card, or the process, hangs."""

END_S = 0.5
"""How long it is given to end, before and after it is killed."""


def environment() -> dict[str, str]:
    """Return the environment in which a child finds this very pacer, not the folder it is run in."""
    root = str(Path(pacer.__file__).parents[1])
    paths = [root, *filter(None, [os.environ.get("PYTHONPATH")])]
    return {**os.environ, "PYTHONPATH": os.pathsep.join(paths)}


class Process:
    """One player process; what it says is heard by a thread, nothing here waits but `ready`."""

    def __init__(self, command: Sequence[str] = COMMAND) -> None:
        """Start it; raises `OSError`."""
        self._child = subprocess.Popen(
            command,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env=environment(),
            # A Ctrl-C in the terminal is the program's business, not the player's.
            start_new_session=True,
        )
        assert self._child.stdin is not None
        self._stdin = self._child.stdin
        with suppress(OSError, AttributeError):
            # Not on every system; there a full pipe would take 64 kB of commands never read.
            os.set_blocking(self._stdin.fileno(), False)
        self._answered = threading.Event()
        self._off = ""
        self._asked = self._heard = 0
        self._since_s = 0.0
        self._ears = threading.Thread(target=self._listen, name="player", daemon=True)
        self._ears.start()

    @property
    def pid(self) -> int:
        """The process's number."""
        return self._child.pid

    def ready(self, timeout_s: float) -> bool:
        """Wait for its first word or its end; False if neither came."""
        return self._answered.wait(timeout_s)

    @property
    def ended(self) -> bool:
        """True when the process is over; cheap."""
        return self._child.poll() is not None

    def why(self) -> str:
        """Return why it ended, or an empty text while it lives."""
        if self._off:
            return self._off
        code = self._child.poll()
        if code is None:
            return ""
        # Its last words may still be on their way.
        self._ears.join(END_S)
        return self._off or f"the player ended (code {code})"

    @property
    def gave_up(self) -> bool:
        """True when it said itself why nothing can be heard, at its start or later."""
        return bool(self._off)

    @property
    def deaf(self) -> bool:
        """True where it left a command unanswered for long; it answers each within some ms."""
        return self._asked > self._heard and time.monotonic() - self._since_s > DEAF_S

    def tell(self, command: str) -> None:
        """Write one command without waiting; raises `OSError` when it does not take it."""
        if self._asked == self._heard:
            self._since_s = time.monotonic()
        self._asked += 1
        # One write of a short line is whole or fails; the buffer of the pipe object would wait.
        os.write(self._stdin.fileno(), f"{command}\n".encode("ascii"))

    def close(self, *, kindly: bool = True) -> None:
        """End it; returns within some `END_S` (at once, if not kindly) and leaves nothing behind."""
        if kindly:
            with suppress(OSError):
                self.tell("quit")
        else:
            self._child.kill()
        with suppress(OSError):
            self._stdin.close()
        try:
            self._child.wait(END_S)
        except subprocess.TimeoutExpired:
            self._child.kill()
            with suppress(subprocess.TimeoutExpired):
                self._child.wait(END_S)
        self._ears.join(END_S)
        if self._child.stdout is not None and not self._ears.is_alive():
            self._child.stdout.close()

    def _listen(self) -> None:
        assert self._child.stdout is not None
        with suppress(OSError, ValueError):
            for raw in self._child.stdout:
                word = clean(raw.decode("utf-8", errors="replace"), 120)
                if word.startswith("off "):
                    self._off = word.removeprefix("off ")
                # The first word says that it is ready and answers nothing.
                self._heard += self._answered.is_set()
                self._answered.set()
        self._answered.set()
