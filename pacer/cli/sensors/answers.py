"""What somebody answers while a source is being listened to: lines of standard input."""

from __future__ import annotations

import queue
import sys
import threading
from collections.abc import Callable

from pacer.errors import UserInputError
from pacer.sensor.source import Source
from pacer.session.events import AnyEvent

_LOOK_S = 0.2
"How often the source is emptied while an answer is waited for."


class NoAnswer(UserInputError):
    """Standard input ended before the question was answered."""


class Answers:
    """Lines of standard input, read in a thread of its own so that a source can be watched."""

    def __init__(self) -> None:
        self._lines: queue.SimpleQueue[str | None] = queue.SimpleQueue()
        self._thread: threading.Thread | None = None

    def ask(
        self,
        question: str,
        source: Source | None = None,
        watch: Callable[[float, AnyEvent], object] | None = None,
    ) -> str:
        """Ask, and return the answer; meanwhile empty a live source, so that nothing is stale.

        A source with a time of its own stands still while it isn't read. Raises NoAnswer
        where standard input has ended.
        """
        # A value that is watched is written over and over in the line below.
        print(question, end=" " if watch is None else "\n", flush=True)
        self._start()
        live = source is not None and source.clk != "source"
        while True:
            try:
                line = self._lines.get(timeout=0.0 if live else None, block=not live)
            except queue.Empty:
                assert source is not None
                for heard in source.read(source.clock() + _LOOK_S):
                    if watch is not None:
                        watch(heard.t_s, heard.event)
                continue
            if line is None:
                self._lines.put(None)
                print(flush=True)
                raise NoAnswer(
                    "sensors --check: standard input ended, expected an answer; --yes asks nothing"
                )
            if watch is None and not sys.stdin.isatty():
                print(flush=True)
            return line.strip()

    def _start(self) -> None:
        if self._thread is None:
            self._thread = threading.Thread(target=self._read, name="answers", daemon=True)
            self._thread.start()

    def _read(self) -> None:
        for line in sys.stdin:
            self._lines.put(line)
        self._lines.put(None)
