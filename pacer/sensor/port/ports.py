"""Live ports: `serial://PORT?baud=…`, `socket://HOST:PORT`, `loop://`.

One thread opens, reads, closes and opens again; it touches neither screen nor log.

1. After every opening the first line is thrown away, since it may be a part of one, and
   a serial port settles for 2 s, because a board may restart when its port is opened
   (ecosystem.md, section 2). `settle=` in seconds overrides that; 0 s for the others. No board
   hangs on a pseudo-terminal: nothing settles there, and its first line is whole.
   What is thrown away is still decoded: a header printed at the start names the channels.
2. Readings pass the limiter (`limit.py`) and are stamped on arrival.
   Text that a board prints after settling, before its first reading, is left out (`boot.py`).
3. A loss is told once with its cause (`causes.py`), then tried again after 0.5, 1, 2, 5,
   5, … s; a changed cause is told again. A port that is away is looked for every half
   second meanwhile and opened at once when it is back, under another name too
   (`identity.py`). Silence is no loss here: the fold judges it by its clock.
4. What waited in the port while the machine slept is older than the sleep: it is thrown away
   and counted, since stamped now it would pass for the part's temperature now.
5. How readings are got out of an opened port is the `Ear`'s (`ears.py`): lines that come by
   themselves, or after a question (`asking.py`).
"""

from __future__ import annotations

import os
import threading
from collections.abc import Callable
from contextlib import suppress
from typing import Protocol

import msgspec

from pacer.clock import Clock
from pacer.errors import SensorError
from pacer.sensor.port import asking
from pacer.sensor.port.boot import BootText
from pacer.sensor.port.causes import PORTS_NOW, System, cause
from pacer.sensor.port.ears import Ear, TextEar
from pacer.sensor.port.identity import Listing, ports
from pacer.sensor.port.openers import SERIAL, Opener, adapter_of, opener_of, serial_opener
from pacer.sensor.port.wires import Wire
from pacer.sensor.source import LiveSource
from pacer.sensor.text.limit import Limiter
from pacer.sensor.text.lines import Decoder
from pacer.sensor.url import TEXT_PARAMETERS, SensorUrl, span
from pacer.session.events import Channel, SensorChanged, Trouble
from pacer.text import clean

replace = msgspec.structs.replace

BACK_OFF_S = (0.5, 1.0, 2.0, 5.0)
"Waits before opening again; the last one repeats."

LOOK_S = 0.5
"A port that is away is looked for so often: back within 3 s means settling 2 s (reliability.md T-30)."

SETTLE_S = 2.0
ASLEEP_S = 5.0
"""Back from an ear so much later than its own rest, the thread was asleep (our choice)."""
_LINES = ("RTS", "DTR")
_JOIN_S = 6.0
"A port that is just being opened may take as long; then the thread is left to end by itself."

Wait = Callable[[float], bool]
"Wait so many seconds or until closing; True when closing."


class Place(Protocol):
    """Where the port is to be found; asked by the reader thread only."""

    @property
    def name(self) -> str:
        """What to call the port in news about it."""

    def there(self) -> bool:
        """True where opening is worth a try; cheap, and never raises."""


class PortSource(LiveSource):
    """Readings from one port, for as long as it takes."""

    def __init__(
        self,
        url: SensorUrl,
        clock: Clock,
        opener: Opener,
        *,
        ear: Ear | None = None,
        place: Place | None = None,
        system: System | None = None,
        channel: Channel | None = None,
        period_s: float | None = None,
        settle_s: float = 0.0,
        fail_fast: bool = False,
        wait: Wait | None = None,
    ) -> None:
        """Start the reader thread; with `fail_fast` raise SensorError if it can't open.

        `ear` gets the readings out of what `opener` opened (default: lines of text);
        `place` says whether a port that is away has come back; `system` is what causes are
        told by; `period_s` is the time between readings, where the source has its own;
        `channel` how its values become °C, where the URL's words for that are its own too.
        """
        super().__init__(url.text, url.channel() if channel is None else channel, clock)
        self.period_s = period_s
        self._target = url.target or url.text
        self._opener = opener
        self._ear = ear or TextEar(decoder(url))
        self._place = place
        self._system = system
        self._settle_s = settle_s
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
                    self._refused = cause(exc, self._name, self._system)
                    self._first_try.set()
            else:
                self._first_try.set()
                self._listen_and_close()
            pause_s = BACK_OFF_S[min(self._tries, len(BACK_OFF_S) - 1)]
            self._tries += 1
            if self._closing.is_set() or self._pause(pause_s):
                return

    def _pause(self, pause_s: float) -> bool:
        """Wait before the next try, or until a port that is away is back; True: closing."""
        if self._place is None or self._place.there():
            return self._wait(pause_s)
        waited_s = 0.0
        while waited_s < pause_s:
            if self._wait(LOOK_S):
                return True
            waited_s += LOOK_S
            if self._place.there():
                self._tries = 0
                return False
        return False

    @property
    def _name(self) -> str:
        return self._place.name if self._place is not None else self._target

    def _open(self) -> None:
        wire = self._opener()
        with self._lock:
            self._wire = wire
            for name, on in self._lines.items():
                with suppress(OSError):
                    wire.set_line(name, on)
        self._told = ""
        settle_s = self._settle_s or None
        self.post(SensorChanged(t_ms=0, state="opened", why=clean(self._name), settle_s=settle_s))

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
        settled_s = self._clock.now_s() + self._settle_s
        # Where no board hangs on the port (nothing settles), or where it was asked, text is
        # the source's own.
        boots = self._settle_s > 0 and isinstance(self._ear, TextEar)
        boot = BootText(settled_s) if boots else None
        self._ear.begin(wire, self._settle_s)
        awake_s, old = self._clock.now_s(), 0
        while not self._closing.is_set():
            readings = self._ear.hear(wire, self._closing.wait)
            now_s = self._clock.now_s()
            if readings:
                self._tries = 0
            awake_s, slept_s = now_s, now_s - awake_s
            if slept_s > ASLEEP_S + (self.period_s or 0.0):
                old += len(readings) + wire.read().count(b"\n")
                wire.discard()
                self._ear.begin(wire, 0.0)
                continue
            if now_s < settled_s:
                continue
            passing = limiter.take(readings, now_s)
            for reading in boot.leave_out(passing, now_s) if boot else passing:
                self.post(replace(reading, dropped=reading.dropped + old) if old else reading)
                old = 0

    def _lost(self, exc: Exception) -> None:
        why = cause(exc, self._name, self._system)
        # Ports that come and go meanwhile are no other cause.
        if (same := why.partition(PORTS_NOW)[0]) != self._told:
            self._told = same
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
                if (why := cause(exc, self._name, self._system)) != self._line_told:
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
    url: SensorUrl,
    clock: Clock,
    *,
    fail_fast: bool,
    wait: Wait | None = None,
    listing: Listing = ports,
) -> PortSource:
    """Return the source of a live port; `listing` says which ports there are.

    Raises UserInputError for a wrong URL; SensorError, with `fail_fast`, for a port that
    can't be opened now.
    """
    serial = url.scheme == "serial"
    url.allow(*TEXT_PARAMETERS, "settle", *asking.PARAMETERS, *(SERIAL if serial else ()))
    pseudo = serial and os.path.realpath(url.target).startswith("/dev/pts/")
    settle_s = url.number("settle", 0.0, 600.0)
    if settle_s is None:
        settle_s = SETTLE_S if serial and not pseudo else 0.0
    question = asking.question_of(url)
    lines = decoder(url)
    adapter = adapter_of(url, listing) if serial else None
    return PortSource(
        url,
        clock,
        opener_of(url) if adapter is None else serial_opener(url, adapter),
        ear=TextEar(lines, whole_first=pseudo)
        if question is None
        else asking.AskingEar(question, lines, clock),
        place=adapter,
        system=System(names=lambda: [port.name for port in listing()]),
        period_s=None if question is None else question.every_s,
        settle_s=settle_s,
        fail_fast=fail_fast,
        wait=wait,
    )


def decoder(url: SensorUrl) -> Decoder:
    """Return the decoder of a text source's lines; raises UserInputError."""
    return Decoder(span(url.channel()), url.told())
