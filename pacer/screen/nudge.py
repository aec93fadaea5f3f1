"""When to look at the desk: at once after a change, but seldom enough to cost little.

A driver nudges from its own thread as often as it likes; nudges that come while a look is
due already are the same look.
"""

from __future__ import annotations

import asyncio
import contextvars
from collections.abc import Callable

LEAST_S = 0.05
"""At most so often: twenty looks a second show a 10 Hz sensor (judgement)."""

COST = 4.0
"""A look that took long waits so many times as long for the next: at most a quarter of
the processor, where a practice runs a thousand times as fast."""


class Nudge:
    """Looks soon after a nudge, and at every tick without one."""

    def __init__(self, loop: asyncio.AbstractEventLoop, look: Callable[[], None]) -> None:
        """Made in the loop's own thread, in the context in which `look` shall run."""
        self._loop, self._look = loop, look
        self._context = contextvars.copy_context()
        self._due = False
        self._looked_s = self._free_s = loop.time()

    def nudge(self) -> None:
        """Ask for a look; from any thread, without waiting."""
        if self._due or self._loop.is_closed():
            return
        self._due = True
        try:
            self._loop.call_soon_threadsafe(self._soon, context=self._context)
        except RuntimeError:
            # Closed in this very moment: there is nobody left to look.
            return

    def tick(self, every_s: float) -> None:
        """Look, unless a nudge had that done a moment ago; called each `every_s`."""
        if self._loop.time() - self._looked_s >= every_s / 2:
            self._now()

    def _soon(self) -> None:
        wait_s = self._free_s - self._loop.time()
        if wait_s <= 0:
            self._now()
        else:
            self._loop.call_later(wait_s, self._now, context=self._context)

    def _now(self) -> None:
        # Before the look: what changes while it is taken asks for the next one.
        self._due = False
        begun_s = self._looked_s = self._loop.time()
        self._look()
        took_s = self._loop.time() - begun_s
        self._free_s = begun_s + max(LEAST_S, COST * took_s)
