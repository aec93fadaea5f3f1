"""Live ports: `serial://PORT?baud=…`, `socket://HOST:PORT`, `loop://`.

One thread opens, reads, closes and opens again; it touches neither screen nor log.

1. After every opening the first line is thrown away, since it may be a part of one, and
   a serial port settles for 2 s, because a board may restart when its port is opened
   (ecosystem.md, section 2). `settle=` in seconds overrides that; 0 s for the others. No board
   hangs on a pseudo-terminal: nothing settles there, and its first line is whole.
   What is thrown away is still decoded: a header printed at the start names the channels.
2. Readings pass the limiter (`limit.py`) and are stamped on arrival.
3. A loss is told once with its cause, then tried again after 0.5, 1, 2, 5, 5, … s;
   a changed cause is told again. Silence is no loss here: the fold judges it by its clock.

A name that stays the same when the adapter is plugged in again (`/dev/serial/by-id/…`)
is opened again wherever it comes back.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Callable
from contextlib import suppress

from pacer.clock import Clock
from pacer.errors import SensorError
from pacer.sensor.source import LiveSource
from pacer.sensor.text.limit import Limiter
from pacer.sensor.text.lines import Decoder
from pacer.sensor.url import TEXT_PARAMETERS, SensorUrl, span
from pacer.sensor.wires import SerialWire, SocketWire, Wire, cause
from pacer.session.events import SensorChanged, Trouble

BACK_OFF_S = (0.5, 1.0, 2.0, 5.0)
"Waits before opening again; the last one repeats."

SETTLE_S = 2.0
DEFAULT_BAUD = 9600
_LINES = ("RTS", "DTR")
_JOIN_S = 6.0
"A port that is just being opened may take as long; then the thread is left to end by itself."

Opener = Callable[[], Wire]
Wait = Callable[[float], bool]
"Wait so many seconds or until closing; True when closing."


class PortSource(LiveSource):
    """Readings from one port, for as long as it takes."""

    def __init__(
        self,
        url: SensorUrl,
        clock: Clock,
        opener: Opener,
        *,
        settle_s: float = 0.0,
        from_its_start: bool = False,
        fail_fast: bool = False,
        wait: Wait | None = None,
    ) -> None:
        """Start the reader thread; with `fail_fast` raise SensorError if it can't open."""
        super().__init__(url.text, url.channel(), clock)
        self._name = url.target or url.text
        self._opener = opener
        self._settle_s = settle_s
        self._from_its_start = from_its_start
        self._opened_before = False
        self._decoder = Decoder(span(self.channel), url.dialect())
        self._closing = threading.Event()
        self._wait: Wait = wait or self._closing.wait
        self._lock = threading.Lock()
        self._wire: Wire | None = None
        self._lines: dict[str, bool] = {}
        self._told = self._line_told = ""
        self._tries = 0
        self._first_try = threading.Event()
        self._refused = ""
        self._thread = threading.Thread(target=self._run, name="port reader", daemon=True)
        self._thread.start()
        if fail_fast:
            self._first_try.wait()
            if self._refused:
                self.close()
                raise SensorError(f"sensor {self.url}: {self._refused}")

    def _run(self) -> None:
        while not self._closing.is_set():
            # Anything that goes wrong with a port is its loss: a thread that dies unseen
            # would leave the last number standing.
            try:
                self._open()
            except Exception as exc:
                self._lost(exc)
                if not self._first_try.is_set():
                    self._refused = self._told
                    self._first_try.set()
            else:
                self._first_try.set()
                self._listen_and_close()
            pause_s = BACK_OFF_S[min(self._tries, len(BACK_OFF_S) - 1)]
            self._tries += 1
            if self._closing.is_set() or self._wait(pause_s):
                return

    def _open(self) -> None:
        wire = self._opener()
        with self._lock:
            self._wire = wire
            for name, on in self._lines.items():
                with suppress(OSError):
                    wire.set_line(name, on)
        self._told = ""
        self.post(SensorChanged(t_ms=0, state="opened", why=self._name))

    def _listen_and_close(self) -> None:
        wire = self._wire
        assert wire is not None
        limiter = Limiter()
        try:
            self._listen(wire, limiter)
        except Exception as exc:
            for reading in limiter.flush():
                self.post(reading)
            if not self._closing.is_set():
                self._lost(exc)
        finally:
            with self._lock:
                self._wire = None
                with suppress(OSError):
                    wire.close()

    def _listen(self, wire: Wire, limiter: Limiter) -> None:
        # A pseudo-terminal opened for the first time has not begun in the middle of a line.
        if self._opened_before or not self._from_its_start:
            self._decoder.restart()
        self._opened_before = True
        settled_s = self._clock.now_s() + self._settle_s
        while not self._closing.is_set():
            chunk = wire.read()
            now_s = self._clock.now_s()
            readings = self._decoder.feed(chunk)
            if chunk:
                self._tries = 0
            if now_s < settled_s:
                continue
            for reading in limiter.take(readings, now_s):
                self.post(reading)

    def _lost(self, exc: Exception) -> None:
        why = cause(exc, self._name)
        if why != self._told:
            self._told = why
            self.post(SensorChanged(t_ms=0, state="lost", why=why))

    def set_line(self, name: str, on: bool) -> None:
        """Set RTS or DTR now and after every opening; a port without them is told as trouble."""
        if name not in _LINES:
            raise ValueError(f"found line {name!r}, expected RTS or DTR")
        with self._lock:
            self._lines[name] = on
            try:
                if self._wire is not None:
                    self._wire.set_line(name, on)
            except OSError as exc:
                # A lamp blinks for minutes; its line fails once.
                if (why := cause(exc, self._name)) != self._line_told:
                    self._line_told = why
                    self.post(Trouble(t_ms=0, what=name, why=why))

    def close(self) -> None:
        """Stop the thread, which gives the port back, and wait for it."""
        self._closing.set()
        with self._lock, suppress(OSError):
            if self._wire is not None:
                self._wire.cancel()
        self._thread.join(timeout=_JOIN_S)


def open_port(
    url: SensorUrl, clock: Clock, *, fail_fast: bool, wait: Wait | None = None
) -> PortSource:
    """Return the source of a live port.

    Raises UserInputError for a wrong URL; SensorError, with `fail_fast`, for a port that
    can't be opened now.
    """
    baud = ("baud",) if url.scheme == "serial" else ()
    url.allow(*TEXT_PARAMETERS, "settle", *baud)
    settle_s = url.number("settle", 0.0, 600.0)
    pseudo = url.scheme == "serial" and os.path.realpath(url.target).startswith("/dev/pts/")
    if settle_s is None:
        settle_s = SETTLE_S if url.scheme == "serial" and not pseudo else 0.0
    url.dialect()
    opener = _opener(url)
    return PortSource(
        url, clock, opener, settle_s=settle_s, from_its_start=pseudo, fail_fast=fail_fast, wait=wait
    )


def _opener(url: SensorUrl) -> Opener:
    if url.scheme == "socket":
        host, _, port = url.target.rpartition(":")
        if not host or not (port.isascii() and port.isdigit() and 0 < int(port[:6]) < 65536):
            url.wrong(f'"{url.target}"', "HOST:PORT such as 192.168.4.1:5000")
        return lambda: SocketWire(host.strip("[]"), int(port))
    if url.scheme == "loop":
        return lambda: SerialWire("loop://", DEFAULT_BAUD)
    baud = url.number("baud", 50, 4_000_000) or DEFAULT_BAUD
    if not url.target:
        url.wrong("no port", "a port such as serial:///dev/ttyUSB0 or serial://COM3")
    return lambda: SerialWire(url.target, int(baud))
