"""`Source`: where events come from and when; what every port, file and practice part offers.

Two kinds of time: a *live* source has the boot clock and stamps on arrival;
a *timed* source (`file:` with times, `practice:`) has a clock of its own and moves it.
The driver asks, it is never called back, and it alone folds.
"""

from __future__ import annotations

import queue
from dataclasses import dataclass
from typing import Protocol

from pacer.clock import Clock
from pacer.session.cues import Cue
from pacer.session.events import AnyEvent, Channel


@dataclass(frozen=True, slots=True)
class Heard:
    """An event not yet stamped by the driver, and when it was heard on the source's clock."""

    t_s: float
    "Session time in s."
    event: AnyEvent
    "With `t_ms=0`: the driver stamps it."


class Source(Protocol):
    """Where readings, presses and port news come from."""

    url: str
    "As the user gave it, cleaned."
    channel: Channel
    "How raw values become °C."
    period_s: float | None
    "Seconds between readings, where known beforehand."
    hand: bool
    "True where there is no instrument."
    clk: str
    "boottime, monotonic or source: what session time comes from."
    invented: str
    "Not empty: simulated, and how."

    def clock(self) -> float:
        """Return session time now, s."""

    def read(self, until_s: float | None) -> list[Heard]:
        """Return what was heard, waiting until session time `until_s` (None: until something comes).

        An empty list means that `until_s` was reached, or that `finished` is now true.
        Items are in order and none is later than `until_s`.
        """

    @property
    def finished(self) -> bool:
        """True when nothing more can ever come."""

    def hear(self, cue: Cue) -> None:
        """Take a cue; only the practice part listens."""

    def post(self, event: AnyEvent) -> None:
        """Put an event in from another thread (a key, a pedal) and wake `read`."""

    def set_line(self, name: str, on: bool) -> None:
        """Set an output line (RTS, DTR) where the port has one."""

    def close(self) -> None:
        """Give the port back; `read` may not be called again."""


class LiveSource:
    """Base of sources that stamp on arrival: one queue, fed by any thread."""

    period_s: float | None = None
    hand = False
    invented = ""

    def __init__(self, url: str, channel: Channel, clock: Clock) -> None:
        self.url = url
        self.channel = channel
        self.clk = clock.name
        self._clock = clock
        self._inbox: queue.SimpleQueue[Heard] = queue.SimpleQueue()
        self._finished = False

    def clock(self) -> float:
        """Return session time now, s."""
        return self._clock.now_s()

    @property
    def finished(self) -> bool:
        """True when nothing more can ever come."""
        return self._finished and self._inbox.empty()

    def post(self, event: AnyEvent) -> None:
        """Put an event in from any thread, stamped now."""
        self._inbox.put(Heard(self._clock.now_s(), event))

    def read(self, until_s: float | None) -> list[Heard]:
        """Wait for the first item, then take all there are."""
        items: list[Heard] = []
        try:
            if until_s is None:
                items.append(self._inbox.get())
            else:
                wait_s = until_s - self._clock.now_s()
                items.append(
                    self._inbox.get(timeout=wait_s) if wait_s > 0 else self._inbox.get_nowait()
                )
            while True:
                items.append(self._inbox.get_nowait())
        except queue.Empty:
            return items

    def hear(self, cue: Cue) -> None:
        """Live sources don't listen."""

    def set_line(self, name: str, on: bool) -> None:
        """No output lines unless the port has them."""

    def close(self) -> None:
        """Nothing to give back."""
