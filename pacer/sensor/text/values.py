"""One field of a line: a number inside the span, a fault word, or nothing we accept.

Never `float()` on foreign text: it takes `nan`, `inf`, `1_000` and Arabic digits.

Which code a field gets:

- `open`: OPEN, OPEN CIRCUIT, OC, OL, O.L., OVER, BURNOUT, NC, N/C, NAN, NULL, dashes, an
  empty field, -9999, and 9.9E37 or more.
  9.9E37 and 9.91E37 are SCPI-99's infinity and not-a-number (from memory);
  -9999 and the words are common practice, no source: an input without a wire runs out of
  its range, so "over range" is told as an open circuit and never as heat.
  NAN, a blank and 9.9E37 as "sensor open" are reliability.md, section 4.
- `short`: SHORT, SHORT CIRCUIT, SC, SHORT TO GND, SHORT TO VCC (common practice, no source;
  the two last are fault bits of a thermocouple front end, reliability.md, section 5).
- `unparsable`: all else. ERR, ERROR and FAULT among it: the meter says that something is
  wrong but not what, and an open circuit would be a guess. Numbers below absolute zero or
  above 2000 °C too: 2000 °C lies above the type C and B wires anybody uses here (JUDG), and
  below 2047.75, the rail of a 14-bit converter with 0.25 °C steps. Voltages beyond 100 mV
  too: no wire type of IEC 60584 gives more than 77 mV (type E at 1000 °C, its NIST table).

An exact 0.00 is a number here: that an open input can read so is judged by the fold.
"""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from pacer.session.celsius import MARKS, VOLTS
from pacer.session.events import Status

ABSOLUTE_ZERO_C = -273.15
HIGHEST_C = 2000.0
HIGHEST_MV = 100.0

_SHOWN = {"degC": "°C", "degF": "°F", "other": "another unit"}

NUMBER = r"[+-]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?"

_NUMBER = re.compile(NUMBER)
_DASHES = re.compile(r"-{2,}|-+\.-+")
_OPEN_WORDS = frozenset(
    {
        *("OPEN", "OPEN CIRCUIT", "OC", "OL", "O.L", "O.L.", "OVER", "BURNOUT"),
        *("NC", "N/C", "NAN", "NULL"),
    }
)
_SHORT_WORDS = frozenset({"SHORT", "SHORT CIRCUIT", "SC", "SHORT TO GND", "SHORT TO VCC"})
_ERROR_WORDS = frozenset({"ERR", "ERROR", "FAULT"})
_NO_VALUE = -9999.0
_SCPI_INFINITY = 9.9e37


class Refused(Exception):
    """Why a line is no reading; the text is cleaned."""


class Value(NamedTuple):
    """One field, judged by its look and its span only."""

    raw: float | str | None
    "The number; the text where the status isn't ok; None where the field was empty."
    status: Status
    why: str
    "Empty unless the status is unparsable."


class Span(NamedTuple):
    """How a source's numbers become °C, to know which of them can't be."""

    scale: float = 1.0
    "°C = scale * value + offset_c; of voltages: mV = scale * value."
    offset_c: float = 0.0
    free: str = ""
    "A channel that is no temperature: the arc's."
    volts: bool = False
    "True: the numbers are thermocouple voltages."
    cj: str = ""
    "Then the channel that reads the cold junction, in °C; empty: none does."


def shown_unit(unit: str) -> str:
    """Return how a unit is told that a line marks."""
    return _SHOWN.get(unit, unit)


def number(text: str) -> float | None:
    """Return the finite number that all of `text` is, in plain ASCII; else None."""
    if _NUMBER.fullmatch(text) is None:
        return None
    value = float(text)
    return value if math.isfinite(value) else None


def fault(text: str) -> Status | None:
    """Return the code of a fault word, or None where `text` is none."""
    word = text.upper()
    if word in _OPEN_WORDS or _DASHES.fullmatch(text):
        return "open"
    if word in _SHORT_WORDS:
        return "short"
    return "unparsable" if word in _ERROR_WORDS else None


def read_value(
    text: str, value: float | None, span: Span, name: str = "", mark: str = ""
) -> Value | None:
    """Return what one field of channel `name` says; None: neither a number nor a fault word.

    `value` is `number(text)`.
    `mark` is the unit that the line itself gives, of `MARKS` or `VOLTS`.
    """
    if not text:
        return Value(None, "open", "")
    if value is None:
        code = fault(text)
        why = "the meter reports an error" if code == "unparsable" else ""
        return None if code is None else Value(text, code, why)
    if value == _NO_VALUE or abs(value) >= _SCPI_INFINITY:
        return Value(text, "open", "")
    if name and name == span.free:
        return Value(value, "ok", "")
    why = _outside(value, span, name, mark)
    if why:
        return Value(text, "unparsable", f"{text}{mark and f' {shown_unit(mark)}'} {why}")
    return Value(value, "ok", "")


def _outside(value: float, span: Span, name: str, mark: str) -> str:
    """Return why no part can have sent this value; empty where one can."""
    if mark in VOLTS or (span.volts and not mark and name != span.cj):
        mv = VOLTS.get(mark, span.scale) * value
        return "" if abs(mv) <= HIGHEST_MV else f"is beyond {HIGHEST_MV:g} mV"
    if mark:
        scale, offset_c = MARKS[mark]
    else:
        scale, offset_c = (1.0, 0.0) if span.volts else (span.scale, span.offset_c)
    value_c = scale * value + offset_c
    if value_c < ABSOLUTE_ZERO_C - 1e-9:
        return "is below absolute zero"
    return f"is above {HIGHEST_C:g} °C" if value_c > HIGHEST_C else ""
