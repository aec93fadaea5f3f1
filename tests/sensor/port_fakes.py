"""Ports for tests: real pseudo-terminals, a scripted wire, and pauses that the test ends."""

from __future__ import annotations

import os
import queue
import threading
import tty
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from pacer.clock import BootClock
from pacer.sensor.port.ports import PortSource, Wait, open_port
from pacer.sensor.source import Source
from pacer.sensor.url import parse_url
from pacer.session.events import AnyEvent, Reading, SensorChanged

DEADLINE_S = 10.0
"Only a hung test waits so long."


class SetClock:
    """A clock that the test sets."""

    name = "boottime"

    def __init__(self) -> None:
        self.t_s = 0.0

    def now_s(self) -> float:
        """Return what the test set."""
        return self.t_s

    def wall(self) -> datetime:
        """Return a fixed wall time."""
        return datetime(2026, 1, 1, tzinfo=UTC)

    def skip(self, by_s: float) -> None:
        """Move on."""
        self.t_s += by_s


class ScriptedWire:
    """A port that says given bytes at given times, then nothing."""

    def __init__(self, clock: SetClock, script: list[tuple[float, bytes]]) -> None:
        self._clock = clock
        self._script = script
        self._cancelled = threading.Event()
        self.closed = False

    def read(self) -> bytes:
        """Set the clock and return the next bytes."""
        if not self._script:
            self._cancelled.wait(DEADLINE_S)
            return b""
        self._clock.t_s, chunk = self._script.pop(0)
        return chunk

    def send(self, data: bytes) -> None:
        """Nobody listens."""

    def discard(self) -> None:
        """Nothing is held."""

    def cancel(self) -> None:
        """Wake the read."""
        self._cancelled.set()

    def set_line(self, name: str, on: bool) -> None:
        """No lines."""

    def close(self) -> None:
        """Say that it was closed."""
        self.closed = True


class Pauses:
    """The back-off waits: recorded, and over when the test says so."""

    def __init__(self) -> None:
        self.asked: queue.SimpleQueue[float] = queue.SimpleQueue()
        self._over: queue.SimpleQueue[bool] = queue.SimpleQueue()

    def __call__(self, pause_s: float) -> bool:
        """Wait for the test; True: closing."""
        self.asked.put(pause_s)
        return self._over.get(timeout=DEADLINE_S)

    def end_unasked(self, *, closing: bool = False) -> None:
        """Let the thread go on from a pause already taken from `asked`."""
        self._over.put(closing)

    def end_one(self, *, closing: bool = False) -> float:
        """Let the thread go on; return what it asked for."""
        pause_s = self.asked.get(timeout=DEADLINE_S)
        self._over.put(closing)
        return pause_s


def until(source: Source, enough: Callable[[AnyEvent], bool]) -> list[AnyEvent]:
    """Read until an event is enough, or fail at the deadline."""
    events: list[AnyEvent] = []
    for _ in range(1000):
        heard = source.read(source.clock() + DEADLINE_S)
        assert heard, f"nothing more came after {events}"
        events += [item.event for item in heard]
        if any(enough(event) for event in events):
            return events
    raise AssertionError(f"not found in {events}")


def read_as(*raw: float | str) -> Callable[[AnyEvent], bool]:
    """Match a reading by its raw values."""
    return lambda event: isinstance(event, Reading) and event.raw == raw


def in_state(state: str) -> Callable[[AnyEvent], bool]:
    """Match news of the port."""
    return lambda event: isinstance(event, SensorChanged) and event.state == state


def readings(events: list[AnyEvent]) -> list[tuple[float | str | None, ...]]:
    """Return the raw values of what was read."""
    return [event.raw for event in events if isinstance(event, Reading)]


def serial_source(
    path: object, query: str = "", wait: Wait | None = None, *, fail_fast: bool = True
) -> PortSource:
    """Return a serial source that needs no settling."""
    url = parse_url(f"serial://{path}?settle=0{query}")
    return open_port(url, BootClock(), fail_fast=fail_fast, wait=wait)


@contextmanager
def terminal() -> Iterator[tuple[int, str]]:
    """A pseudo-terminal: the instrument's end, and the port's name."""
    instrument, port = os.openpty()
    tty.setraw(port)
    try:
        yield instrument, os.ttyname(port)
    finally:
        os.close(port)
        os.close(instrument)


def plug_in(link: Path) -> int:
    """A new adapter under a name that stays the same; return the instrument's end."""
    instrument, port = os.openpty()
    tty.setraw(port)
    link.unlink(missing_ok=True)
    link.symlink_to(os.ttyname(port))
    os.close(port)
    return instrument
