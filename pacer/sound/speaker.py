"""`Speaker`: which words are said when, one program at a time; time is told to it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from pacer.text import clean

STALE_S = 1.0
"""Words that could not begin within so long of their moment are dropped."""

LONGEST_S = 10.0
"""A program that speaks longer than this is stuck."""

_LOOK_S = 0.1


class Running(Protocol):
    """A speech program that was started."""

    def poll(self) -> int | None:
        """Return its exit code, None while it runs."""

    def kill(self) -> None:
        """End it now."""


class Speaker:
    """At most one program runs unkilled; new words cut the old ones."""

    def __init__(
        self,
        command: Callable[[str], list[str]],
        run: Callable[[list[str]], Running],
        stop: tuple[str, ...] = (),
    ) -> None:
        """`command` makes words a command line, `run` starts one, `stop` silences a server."""
        self._command = command
        self._run = run
        self._stop = stop
        self._due: tuple[float, str] | None = None
        self._now: tuple[float, Running] | None = None
        self._ending: list[Running] = []
        self.trouble = ""

    def say(self, words: str, due_s: float) -> None:
        """Say `words` at `due_s`, nothing else from now on."""
        self.hush()
        self._due = (due_s, words)

    def hush(self) -> None:
        """Cut what is being said, forget what was to be said."""
        self._due = None
        if self._now is not None:
            self._cut(self._now[1])
            self._now = None

    def look(self, now_s: float) -> float | None:
        """Start what is due, reap what has ended; return when to look again, None if never."""
        self._ending = [running for running in self._ending if running.poll() is None]
        self._reap(now_s)
        # Not before the old voice is gone: never two at once.
        if self._due is not None and self._due[0] <= now_s and not self._ending:
            due_s, words = self._due
            self._due = None
            if now_s - due_s <= STALE_S:
                self._begin(words, now_s)
        if self._now is not None or self._ending:
            return now_s + _LOOK_S
        return None if self._due is None else self._due[0]

    def _reap(self, now_s: float) -> None:
        if self._now is None:
            return
        since_s, running = self._now
        code = running.poll()
        if code is not None:
            self._now = None
            if code != 0:
                self.trouble = f"its program ended (code {code})"
        elif now_s - since_s > LONGEST_S:
            self._now = None
            self._cut(running)
            self.trouble = "its program does not end"

    def _begin(self, words: str, now_s: float) -> None:
        try:
            self._now = (now_s, self._run(self._command(words)))
        except OSError as error:
            self.trouble = f"its program can't be started ({clean(str(error.strerror), 60)})"

    def _cut(self, running: Running) -> None:
        if running.poll() is None:
            running.kill()
            self._ending.append(running)
            if self._stop:
                try:
                    self._ending.append(self._run(list(self._stop)))
                except OSError as error:
                    self.trouble = f"it can't be stopped ({clean(str(error.strerror), 60)})"
