"""`Decoder`: bytes of a text source in any chunking become readings; no port, no clock.

What a line may be:

- a bare number: `300.5`;
- names and values: `T1=300.5;T2=290`, set apart by `;` `,` or spaces;
- bare numbers set apart by `;` `,` or tabs, channels t1, t2, …; also by spaces
  where each of them has a decimal point;
- two or more names set apart by `;` `,` or tabs: they name the channels of the lines
  that follow, are counted, and are no record.

Anything else is one unparsable record with its cleaned text and why; blank lines are nothing.
Complete terminal escape sequences are taken for blanks. Units are set by the user, so
`300F` is refused and nothing is ever guessed from a number.

**Is `3,5` one value or two?** A line of unsigned whole numbers with bare commas is refused,
and so is `1,234.5`, until a header, or an earlier line that could not be misread,
has shown that many channels; `dialect=csv` in the URL says it once and for all.

A line with fewer values than before, or another number of values than the header has names,
is refused (a cut line would put one channel's value in another's place); when it comes
three times in a row, the source has changed and is believed.

Random bytes hold a lone digit between two line ends now and then (24 times a minute at
1 Mbaud, measured): after bytes that are no text, the first bare value that is short or has
no decimal point is refused.
"""

from __future__ import annotations

import re
from typing import Literal, NoReturn

from pacer.sensor.text.split import MAX_LINE, Splitter
from pacer.sensor.text.values import Span, Value, fault, read_value
from pacer.session.events import Reading, Status
from pacer.text import clean, clean_bytes

Dialect = Literal["auto", "csv"]

_MAX_CHANNELS = 16
_MAX_TEXT = 200
_BELIEVED_AFTER = 3
_SHORT = 4

_BLANK = b" \t\v\f"
_ESCAPE = re.compile(rb"\x1b(?:\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)|[@-Z\\^_])")
_NO_TEXT = re.compile(rb"[^\t\v\f -~]")
_NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_.-]{0,31}")
_WHOLE = re.compile(r"[0-9]+")
# Grouped thousands within our span: no channel of ours reads 1 to 3 degrees beside hot iron.
_GROUPED = re.compile(r"[1-3],[0-9]{3}\.[0-9]+")
_AROUND_EQUALS = re.compile(r"[ \t]*=[ \t]*")
_BETWEEN_PAIRS = re.compile(r"[;, \t]+")


class _Garbled(Exception):
    """Why a line is refused."""


def unparsable(raw: bytes, why: str) -> Reading:
    """Return the record of a line that could not be read."""
    text = clean_bytes(raw, _MAX_TEXT)
    return Reading(t_ms=0, raw=(text,), status="unparsable", why=why)


class Decoder:
    """One source's lines: the splitter's buffer, channel names and count, and counters."""

    def __init__(self, span: Span | None = None, dialect: Dialect = "auto") -> None:
        self._span = span or Span()
        self._dialect = dialect
        self._splitter = Splitter()
        self._names: tuple[str, ...] | None = None
        self._count = 0
        self._odd = (0, 0)
        self._noisy = False
        self.headers = 0
        self.too_long = 0

    @property
    def held(self) -> int:
        """Bytes of an unfinished line now held, at most 256."""
        return self._splitter.held

    def restart(self) -> None:
        """After a port was opened: the first line may be a part of one, throw it away."""
        self._splitter.skip_to_end()

    def feed(self, chunk: bytes) -> list[Reading]:
        """Return one reading for each line that `chunk` finished, all with `t_ms=0`."""
        readings: list[Reading] = []
        for line in self._splitter.feed(chunk):
            reading = self.overlong(line.raw) if line.too_long else self.decode(line.raw)
            if reading is not None:
                readings.append(reading)
        return readings

    def overlong(self, raw: bytes) -> Reading:
        """Return the one record of a line that was too long, and count it."""
        self.too_long += 1
        return unparsable(raw, f"longer than {MAX_LINE} bytes")

    def decode(self, raw: bytes) -> Reading | None:
        """Return the reading of one line without its end; None: blank, or a header."""
        if not raw.strip(_BLANK):
            return None
        if len(raw) > MAX_LINE:
            return self.overlong(raw)
        shown = _ESCAPE.sub(b" ", raw).strip(_BLANK)
        if _NO_TEXT.search(shown):
            self._noisy = True
            return unparsable(raw, "holds bytes that are no plain text")
        text = shown.decode("ascii")
        try:
            reading = self._pairs(text) if "=" in text else self._bare(text)
        except _Garbled as exc:
            return unparsable(raw, str(exc))
        self._noisy = False
        return reading

    def header(self, names: tuple[str, ...]) -> None:
        """Name the channels of the lines that follow."""
        self.headers += 1
        self._names = names
        self._count = len(names)
        self._odd = (0, 0)

    def _pairs(self, text: str) -> Reading:
        names: list[str] = []
        values: list[Value] = []
        for pair in _BETWEEN_PAIRS.split(_AROUND_EQUALS.sub("=", text).strip(";, \t")):
            name, equals, field = pair.partition("=")
            if not equals or _NAME.fullmatch(name) is None:
                _refuse(pair, "a name and a value such as T1=300.5")
            if name in names:
                raise _Garbled(f'the name "{name}" comes twice')
            names.append(name)
            values.append(self._value(field, name))
        return _reading(values, tuple(names))

    def _bare(self, text: str) -> Reading | None:
        fields, by_comma = _fields(text)
        if names := column_names(fields):
            self.header(names)
            return None
        known = self._names if self._names and len(self._names) == len(fields) else None
        channels = known or tuple(f"t{i + 1}" for i in range(len(fields)))
        values = [self._value(field, name) for field, name in zip(fields, channels, strict=True)]
        if by_comma and self._dialect != "csv" and len(fields) != self._count:
            _refuse_doubtful(text, fields)
        if self._noisy and (len(text) < _SHORT or "." not in text):
            self._noisy = False
            raise _Garbled("a short number right after noise")
        self._believe(len(fields))
        return _reading(values, self._names)

    def _value(self, field: str, name: str) -> Value:
        value = read_value(field, self._span, name)
        if value is None:
            _refuse(field, "a number such as 300.5")
        return value

    def _believe(self, count: int) -> None:
        """Raise unless this many values fit what was seen before."""
        if count == self._count or (count > self._count and self._names is None):
            self._count, self._odd = count, (0, 0)
            return
        times = self._odd[1] + 1 if self._odd[0] == count else 1
        if times < _BELIEVED_AFTER:
            self._odd = (count, times)
            raise _Garbled(f"found {count} values, expected {self._count} as before")
        self._names, self._count, self._odd = None, count, (0, 0)


def column_names(fields: list[str]) -> tuple[str, ...] | None:
    """Return the names of a header line: two or more, all different, no fault words."""
    if not 2 <= len(fields) <= _MAX_CHANNELS or len(set(fields)) != len(fields):
        return None
    if all(_NAME.fullmatch(field) and fault(field) is None for field in fields):
        return tuple(fields)
    return None


def _fields(text: str) -> tuple[list[str], bool]:
    """Return the fields of a line without names, and whether commas set them apart."""
    for separator in ";\t,":
        if separator in text:
            fields = [field.strip() for field in text.split(separator)]
            if not fields[-1]:
                fields.pop()  # a separator at the line's end
            return fields or [""], separator == ","
    if " " in text and fault(text) is None:
        fields = text.split()
        if all("." in field for field in fields):
            return fields, False
    return [text], False


def _refuse_doubtful(text: str, fields: list[str]) -> None:
    """Raise where a comma may be a decimal or a thousands comma."""
    grouped = len(fields) == 2 and _GROUPED.fullmatch(text)
    whole = len(fields) >= 2 and ", " not in text and all(_WHOLE.fullmatch(f) for f in fields[1:])
    if grouped or (whole and "." not in fields[0]):
        raise _Garbled(
            f'"{clean(text, 40)}" may be one value or several: '
            "expected a decimal point, or dialect=csv in the sensor's URL"
        )


def _refuse(found: str, expected: str) -> NoReturn:
    raise _Garbled(f'found "{clean(found, 40)}", expected {expected}')


def _reading(values: list[Value], names: tuple[str, ...] | None) -> Reading:
    if all(value.raw is None for value in values):
        _refuse("", "a number such as 300.5")
    if len(values) > _MAX_CHANNELS:
        raise _Garbled(f"found {len(values)} values, expected at most {_MAX_CHANNELS}")
    words: tuple[Status, ...] = tuple(value.status for value in values)
    wrong = [value.why for value in values if value.why]
    return Reading(
        t_ms=0,
        raw=tuple(value.raw for value in values),
        status=words[0] if len(set(words)) == 1 else words,
        names=names,
        why="; ".join(wrong) or None,
    )
