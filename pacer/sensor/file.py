"""`file:PATH` and `file:-`: lines from a file or standard input as a source.

Without parameters the lines are stamped on arrival, by a reader thread.
With `period=` or `time=first` the source has its own time and is read as fast as the
driver asks. Either way the input is streamed: 16 kB at most are held.
`file:` has no settling and no limiter.
"""

from __future__ import annotations

import errno
import os
import stat
import threading
from collections import deque
from typing import NoReturn

from pacer.clock import Clock
from pacer.errors import SensorError
from pacer.sensor.source import Heard, LiveSource, Source
from pacer.sensor.text.lines import Decoder
from pacer.sensor.text.script import Item, Script, Timing
from pacer.sensor.url import TEXT_PARAMETERS, SensorUrl, span
from pacer.session.cues import Cue
from pacer.session.events import AnyEvent, Channel, SensorChanged
from pacer.text import clean

_CHUNK = 16384
_AT_ONCE = 256
"Items a timed source hands out in one call."
_MAX_WAITING = 1000
"Items a live file may be ahead of the driver."
_LOOK_AGAIN_S = 0.005


class Stream:
    """Bytes of one file, pipe or standard input; descriptors, because a thread that waits
    in a buffered object can't be left behind when the interpreter ends."""

    def __init__(self, path: str, name: str) -> None:
        """Open a file at once; a pipe at the first read, since that may wait.

        Raises SensorError where there is nothing that can be read.
        """
        self._path = path
        self._name = name
        self._fd: int | None = None
        try:
            if path == "-":
                os.fstat(0)
                self._fd = 0
            elif stat.S_ISDIR(mode := os.stat(path).st_mode):
                raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
            elif stat.S_ISREG(mode):
                self._open()
        except OSError as exc:
            self._cannot(exc)

    def _open(self) -> int:
        flags = os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
        self._fd = os.open(self._path, flags)
        return self._fd

    def _cannot(self, exc: OSError) -> NoReturn:
        why = clean(exc.strerror or str(exc)).lower()
        raise SensorError(f"sensor {self._name}: cannot be read: {why}") from None

    def chunk(self) -> bytes:
        """Wait for some bytes and return them; empty at the end.

        Raises SensorError where reading fails.
        """
        try:
            return os.read(self._open() if self._fd is None else self._fd, _CHUNK)
        except OSError as exc:
            self._cannot(exc)

    def close(self) -> None:
        """Give the descriptor back; standard input stays."""
        if self._fd:
            os.close(self._fd)
        self._fd = None


class LiveFile(LiveSource):
    """Lines stamped on arrival."""

    def __init__(
        self, url: str, channel: Channel, clock: Clock, stream: Stream, script: Script
    ) -> None:
        super().__init__(url, channel, clock)
        self._stream = stream
        self._script = script
        self._closing = threading.Event()
        self._end = Heard(0.0, SensorChanged(t_ms=0, state="closed"))
        # A read of a terminal or a pipe can't be called off: the thread may be left behind.
        self._thread = threading.Thread(target=self._run, name="file reader", daemon=True)
        self._thread.start()

    def _run(self) -> None:
        try:
            while (chunk := self._stream.chunk()) and not self._closing.is_set():
                self._hand_over(self._script.feed(chunk))
            self._hand_over(self._script.finish())
        except SensorError as exc:
            self.post(SensorChanged(t_ms=0, state="lost", why=str(exc)))
        finally:
            self._stream.close()
            self._finished = True
            self._inbox.put(self._end)  # wakes `read`; never handed out

    def _hand_over(self, items: list[Item]) -> None:
        for item in items:
            while self._inbox.qsize() >= _MAX_WAITING and not self._closing.wait(_LOOK_AGAIN_S):
                pass
            self.post(item.event)

    def read(self, until_s: float | None) -> list[Heard]:
        """As `LiveSource.read`; also wakes at the input's end."""
        return [heard for heard in super().read(until_s) if heard is not self._end]

    def close(self) -> None:
        """Stop reading; a thread that waits for a pipe ends with the program."""
        self._closing.set()
        self._thread.join(timeout=0.2)


class TimedFile:
    """Lines with their own times: the clock is the time of the last line delivered."""

    hand = False
    clk = "source"
    invented = ""

    def __init__(
        self, url: str, channel: Channel, stream: Stream, script: Script, period_s: float | None
    ) -> None:
        self.url = url
        self.channel = channel
        self.period_s = period_s
        self._stream = stream
        self._script = script
        self._now_s = 0.0
        self._ready: deque[Heard] = deque()
        self._posted: deque[AnyEvent] = deque()
        self._ended = False

    def clock(self) -> float:
        """Return session time now, s."""
        return self._now_s

    @property
    def finished(self) -> bool:
        """True when the input has ended and all of it was delivered."""
        return self._ended and not self._ready and not self._posted

    def read(self, until_s: float | None) -> list[Heard]:
        """Return the next lines up to `until_s`, without waiting where some are at hand.

        The clock moves on to `until_s` only if a later line is known; at the end it stays.
        """
        if self._posted:
            return [Heard(self._now_s, self._posted.popleft()) for _ in range(len(self._posted))]
        if not self._ready:
            self._fill()
        heard: list[Heard] = []
        while self._ready and len(heard) < _AT_ONCE:
            if until_s is not None and self._ready[0].t_s > until_s:
                break
            heard.append(self._ready.popleft())
        if heard:
            self._now_s = heard[-1].t_s
        elif self._ready and until_s is not None:
            self._now_s = max(self._now_s, until_s)
        return heard

    def _fill(self) -> None:
        """Read until some line is at hand or the input ends."""
        while not self._ready and not self._ended:
            try:
                chunk = self._stream.chunk()
            except SensorError as exc:
                lost = SensorChanged(t_ms=0, state="lost", why=str(exc))
                self._ready.append(Heard(self._now_s, lost))
                self._ended = True
                return
            items = self._script.feed(chunk) if chunk else self._script.finish()
            self._ended = not chunk
            self._ready.extend(Heard(t_s, event) for t_s, event in items)

    def hear(self, cue: Cue) -> None:
        """A file doesn't listen."""

    def post(self, event: AnyEvent) -> None:
        """Put an event in at the current time."""
        self._posted.append(event)

    def set_line(self, name: str, on: bool) -> None:
        """A file has no output lines."""

    def close(self) -> None:
        """Give the file back."""
        self._stream.close()


def open_file(url: SensorUrl, clock: Clock) -> Source:
    """Return a live or a timed source of lines.

    Raises UserInputError for a wrong parameter, SensorError where nothing can be read.
    """
    url.allow(*TEXT_PARAMETERS, "period", "time")
    if not url.target:
        url.wrong("no path", "file:PATH, or file:- for standard input")
    timing = _timing(url)
    channel = url.channel()
    script = Script(Decoder(span(channel), url.told()), timing)
    stream = Stream(url.target, url.text)
    if timing == Timing():
        return LiveFile(url.text, channel, clock, stream, script)
    return TimedFile(url.text, channel, stream, script, timing.period_s)


def _timing(url: SensorUrl) -> Timing:
    first = url.params.get("time")
    if first not in (None, "first"):
        url.wrong(f'time="{first}"', "time=first")
    period_s = url.number("period", 0.001, 86400.0)
    if period_s is not None and first:
        url.wrong("period= and time=first", "one of them")
    return Timing(period_s, first is not None)
