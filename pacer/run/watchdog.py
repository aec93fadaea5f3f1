"""Notices that the screen has stopped looking, writes it down and rings.

A screen that stands still shows an old word and counts no more: the welder must hear of
it, and not through the screen's own thread. The record goes on all the while, since the
driver has a thread of its own (reliability.md T-39).
"""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress

from pacer.clock import Clock
from pacer.run.driver import Driver

STALLED_S = 1.5
"""Six looks missed. With a beat it is noticed within 2 s (reliability.md T-39)."""

BEAT_S = 0.25
LATE_S = 1.0
"""A watchdog that woke so much later than its beat was asleep itself, with the machine."""


class Watchdog:
    """Judges by an injected clock; `looked` and `check` are called from different threads."""

    def __init__(self, now_s: Callable[[], float], told: Callable[[float], None]) -> None:
        """`told` is called once a stall, with how long it has lasted so far, in s."""
        self._now_s, self._told = now_s, told
        self._looked_s: float | None = None
        self._checked_s: float | None = None
        self._barked = False

    def looked(self) -> None:
        """The screen has just looked."""
        self._looked_s = self._now_s()

    def check(self) -> None:
        """Look whether the screen still looks; called each `BEAT_S`."""
        now_s, before_s, looked_s = self._now_s(), self._checked_s, self._looked_s
        self._checked_s = now_s
        if looked_s is None:
            # No screen yet.
            return
        if before_s is not None and now_s - before_s > BEAT_S + LATE_S:
            # A suspended laptop: the screen gets its time anew.
            self._looked_s = max(looked_s, now_s)
            return
        if now_s - looked_s < STALLED_S:
            self._barked = False
        elif not self._barked:
            self._barked = True
            self._told(now_s - looked_s)


@contextmanager
def watched(
    driver: Driver, clock: Clock, ring: Callable[[], None] | None = None
) -> Iterator[Watchdog]:
    """Watch a driver's screen from a thread while it is up."""
    sound = ring or ring_terminal

    def told(for_s: float) -> None:
        # The record first: a terminal can take its time.
        driver.note_trouble("screen", f"stalled for {for_s:.1f} s")
        with suppress(OSError, ValueError):
            sound()

    dog = Watchdog(clock.now_s, told)
    over = threading.Event()
    thread = threading.Thread(target=_watch, args=(dog, over), name="watchdog", daemon=True)
    driver.on_look(dog.looked)
    thread.start()
    try:
        yield dog
    finally:
        over.set()
        thread.join(timeout=2 * BEAT_S)


def _watch(dog: Watchdog, over: threading.Event) -> None:
    while not over.wait(BEAT_S):
        dog.check()


def ring_terminal() -> None:
    """Ring the bell of the terminal the screen draws on, past whoever draws."""
    if sys.__stderr__ is not None:
        os.write(sys.__stderr__.fileno(), b"\a")
