"""The rate of a port that nobody described: tried one after the other on the open port.

1. The port is opened once; rates are tried by changing the open port's, since opening it
   again may restart a board. Nothing is ever sent.
2. A wrong rate gives bytes that are no text, the right one gives lines: the first rate that
   gives readings, or plain text, is taken. A port that gives nothing at all is silent at
   every rate, so no other is tried.
3. The rates go round at least twice, and for as long as one of them may take: what a board
   says while it starts may be in another rate.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

from pacer.sensor.port.ports import decoder
from pacer.sensor.port.wires import SerialWire
from pacer.sensor.text.times import in_equal_steps
from pacer.sensor.url import parse_url
from pacer.session.events import Reading

RATES = (9600, 115200, 19200, 38400, 57600, 4800)
"Those that meters and boards have, the usual first. Common practice, no source."

LISTEN_S = 4.0
"A meter that sends once a second has then said three whole lines."

ENOUGH = 3
"Good lines that need no more waiting."

MOSTLY = 0.5
"Share of readable lines from which a rate and a form are believed. JUDG."

NOISE_BYTES = 12
_NOISE_SHARE = 0.3
"So many bytes, so many of them no text: the rate is wrong. A degree sign is 2 bytes of 9."

_TEXT_SHARE = 0.95
_KEPT_BYTES = 8192

_NO_TEXT = re.compile(rb"[^\t\r\n\x1b -~\xb0\xc2\xf8]")


class Tuned(Protocol):
    """An opened port whose rate can be changed."""

    def read(self) -> bytes:
        """Return what there is, after a short silence nothing; raises OSError when it is gone."""

    def tune(self, baud: int) -> None:
        """Change the rate and forget what came in the old one."""

    def close(self) -> None:
        """Give the port back."""


class SerialTuned:
    """A serial port by pyserial."""

    def __init__(self, port: str) -> None:
        """Open it at the first rate; raises OSError."""
        self._wire = SerialWire(port, RATES[0])

    def read(self) -> bytes:
        """Return what there is."""
        return self._wire.read()

    def tune(self, baud: int) -> None:
        """Set the rate of the open port."""
        self._wire.port.baudrate = baud
        self._wire.port.reset_input_buffer()

    def close(self) -> None:
        """Close the port."""
        self._wire.close()


@dataclass
class Trial:
    """What one rate gave."""

    baud: int
    query: str = ""
    "What the URL must say besides the rate, such as `dialect=csv`."
    raw: bytearray = field(default_factory=bytearray)
    "The newest bytes."
    good: int = 0
    bad: int = 0
    headers: int = 0
    last: Reading | None = None
    "The newest good one."
    seconds: float = 0.0
    firsts: list[float] = field(default_factory=list)
    "The first numbers of lines with several that have no names."

    @property
    def rising(self) -> bool:
        """True where the first number rises by equal steps, two at least."""
        return in_equal_steps(self.firsts)

    @property
    def share(self) -> float:
        """Share of readable lines."""
        return self.good / max(1, self.good + self.bad)

    @property
    def noise(self) -> float:
        """Share of bytes that are no text."""
        return len(_NO_TEXT.findall(self.raw)) / max(1, len(self.raw))

    @property
    def is_noise(self) -> bool:
        """True where the rate must be wrong."""
        return len(self.raw) >= NOISE_BYTES and self.noise > _NOISE_SHARE

    @property
    def is_text(self) -> bool:
        """True where the rate must be right, readable or not."""
        lines = self.raw.count(b"\n") + self.raw.count(b"\r")
        return lines > 0 and self.noise <= 1.0 - _TEXT_SHARE

    @property
    def is_endless(self) -> bool:
        """True where it is text that no line end comes into."""
        long = len(self.raw) >= NOISE_BYTES
        return long and not self.is_text and self.noise <= 1.0 - _TEXT_SHARE

    @property
    def believed(self) -> bool:
        """True where it is readable."""
        return self.good > 0 and self.share >= MOSTLY


def trials(wire: Tuned, now_s: Callable[[], float], seconds: float) -> list[Trial]:
    """Return what each rate gave; the last is the one that was taken, if one was."""
    began_s = now_s()
    tried: list[Trial] = []
    for at in itertools.count():
        if at >= 2 * len(RATES) and now_s() - began_s >= seconds:
            break
        trial = Trial(RATES[at % len(RATES)])
        if tried:
            wire.tune(trial.baud)
        tried.append(_try(wire, trial, now_s, seconds))
        heard = any(other.raw for other in tried)
        if trial.believed or trial.is_text or not heard:
            break
    return tried


def _try(wire: Tuned, trial: Trial, now_s: Callable[[], float], seconds: float) -> Trial:
    began_s = now_s()
    lines = decoder(parse_url("loop://"))
    first = True
    while now_s() - began_s < seconds:
        chunk = wire.read()
        trial.raw += chunk
        del trial.raw[:-_KEPT_BYTES]
        readings = lines.feed(chunk)
        if readings and first:
            first = False
            if readings[0].status == "unparsable":
                del readings[0]  # it may have begun in the middle of a line
        count(trial, readings)
        if trial.is_noise or (trial.good >= ENOUGH and trial.share >= MOSTLY):
            break
    trial.headers = lines.headers
    trial.seconds = now_s() - began_s
    return trial


def count(trial: Trial, readings: list[Reading]) -> None:
    """Add what the lines of one rate came to."""
    for reading in readings:
        if reading.status == "unparsable":
            trial.bad += 1
            continue
        trial.good += 1
        trial.last = reading
        if reading.names is None and len(reading.raw) > 1 and isinstance(reading.raw[0], float):
            trial.firsts.append(reading.raw[0])
