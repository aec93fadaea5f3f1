"""What the lines of a `file:` source mean: readings, the welder's doings, and their times.

1. Every line that isn't blank counts, garbage and `!` lines too: with a period it takes
   its slot, the first at 0 s.
2. With times in the first column (set apart by `,` `;` a tab or spaces), a time that goes
   back, is missing or is no number is recorded as unparsable at the time reached so far.
   A line that begins with `!` has no time of its own and happens then too.
   A first line of names only is the header.
3. A line (or second column) that begins with `!` is the welder's doing (`deeds.py`).
4. Whatever is recorded as unparsable says its line number.

Pure: bytes in, items out; `file.py` reads and waits.
"""

from __future__ import annotations

import re
from typing import NamedTuple

import msgspec

from pacer.sensor.text.deeds import DeedError, parse_deed
from pacer.sensor.text.lines import Decoder, unparsable
from pacer.sensor.text.marks import spell_out
from pacer.sensor.text.split import Line, Splitter
from pacer.sensor.text.values import Refused, number
from pacer.session.events import LATEST_S, Act, Reading
from pacer.text import clean_bytes

_BOM = b"\xef\xbb\xbf"
_FIRST_COLUMN = re.compile(rb"[ \t]*([^,; \t]+)(?:[ \t]*[,;]|[ \t]+|\Z)(.*)", re.DOTALL)
_FIRST_COLUMN_COMMA = re.compile(rb"[ \t]*([^; \t]+)(?:[ \t]*;|[ \t]+|\Z)(.*)", re.DOTALL)
"Where a comma is the decimal sign it doesn't separate."


class Timing(NamedTuple):
    """Where a line's time comes from; neither: it is stamped on arrival."""

    period_s: float | None = None
    first_column: bool = False


class Item(NamedTuple):
    """What one line says."""

    t_s: float
    "Session time, s; always 0 where lines are stamped on arrival."
    event: Reading | Act


class Script:
    """State between chunks: the unfinished line, slots taken, the time reached."""

    def __init__(self, decoder: Decoder, timing: Timing | None = None) -> None:
        self._decoder = decoder
        self._timing = timing or Timing()
        self._splitter = Splitter()
        self._slot = 0
        self._t_s = 0.0

    @property
    def held(self) -> int:
        """Bytes of an unfinished line now held."""
        return self._splitter.held

    def feed(self, chunk: bytes) -> list[Item]:
        """Return what the lines finished by `chunk` say, in order, times never falling."""
        return self._items(self._splitter.feed(chunk))

    def finish(self) -> list[Item]:
        """Return what a last line without a line end says."""
        return self._items(self._splitter.finish())

    def _items(self, lines: list[Line]) -> list[Item]:
        items: list[Item] = []
        for line in lines:
            if line.number == 1:
                line = line._replace(raw=line.raw.removeprefix(_BOM))
            if not line.raw.strip():
                continue
            event = self._timed(line)
            if event is not None:
                items.append(Item(self._t_s, event))
        return items

    def _timed(self, line: Line) -> Reading | Act | None:
        """Move the time reached, then return what the line says."""
        slot, self._slot = self._slot, self._slot + 1
        if self._timing.period_s is not None:
            self._t_s = slot * self._timing.period_s
        if not self._timing.first_column or line.raw.lstrip().startswith(b"!"):
            return self._event(line, line.raw)
        comma = self._decoder.comma
        found = (_FIRST_COLUMN_COMMA if comma else _FIRST_COLUMN).fullmatch(line.raw)
        first, rest = found.groups() if found else (line.raw, b"")
        shown_s = first.decode("ascii", "replace")
        t_s = number(shown_s.replace(",", ".") if comma else shown_s)
        if t_s is None and slot == 0 and self._header(line.raw):
            return None
        if t_s is None or not 0.0 <= t_s <= LATEST_S:
            shown = clean_bytes(first, 40)
            return _refused(line, f'found time "{shown}", expected s from 0 to {LATEST_S:.0f}')
        if t_s < self._t_s:
            return _refused(line, f"time {t_s:g} s goes back from {self._t_s:g} s")
        self._t_s = t_s
        if not rest.strip():
            return _refused(line, "no value after the time")
        return self._event(line, rest)

    def _header(self, raw: bytes) -> bool:
        """Take the first line for the header, the time's column apart."""
        try:
            return self._decoder.header(spell_out(raw).decode("ascii", "replace"), skip=1)
        except Refused:
            return False

    def _event(self, line: Line, raw: bytes) -> Reading | Act | None:
        if line.too_long:
            return _numbered(line, self._decoder.overlong(raw))
        if not raw.lstrip().startswith(b"!"):
            reading = self._decoder.decode(raw)
            return _numbered(line, reading) if reading is not None and reading.why else reading
        try:
            return parse_deed(raw.decode("utf-8", "replace"))
        except DeedError as exc:
            return _refused(line, str(exc))


def _refused(line: Line, why: str) -> Reading:
    return _numbered(line, unparsable(line.raw, why))


def _numbered(line: Line, reading: Reading) -> Reading:
    return msgspec.structs.replace(reading, why=f"line {line.number}: {reading.why}")
