"""One field of a line: a number inside the span, a fault word, or nothing we accept.

Never `float()` on foreign text: it takes `nan`, `inf`, `1_000` and Arabic digits.

Which code a field gets:

- `open`: OPEN, OL, NAN, dashes, an empty field, -9999, and 9.9E37 or more.
  9.9E37 and 9.91E37 are SCPI-99's infinity and not-a-number (from memory);
  -9999, OL and dashes are common practice, no source.
  NAN, a blank and 9.9E37 as "sensor open" are reliability.md, section 4.
- `short`: SHORT.
- `unparsable`: all else, numbers below absolute zero or above 2000 °C included.
  2000 °C lies above the type C and B wires anybody uses here (JUDG), and below 2047.75,
  the rail of a 14-bit converter with 0.25 °C steps.

An exact 0.00 is a number here: that an open input can read so is judged by the fold.
"""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from pacer.session.events import Status

ABSOLUTE_ZERO_C = -273.15
HIGHEST_C = 2000.0

_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
_DASHES = re.compile(r"-{2,}|-+\.-+")
_OPEN_WORDS = frozenset({"OPEN", "OPEN CIRCUIT", "OL", "NAN"})
_SHORT_WORDS = frozenset({"SHORT", "SHORT CIRCUIT"})
_NO_VALUE = -9999.0
_SCPI_INFINITY = 9.9e37


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
    offset_c: float = 0.0
    free: str = ""
    "A channel that is no temperature: the arc's."


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
    return "short" if word in _SHORT_WORDS else None


def read_value(text: str, span: Span, name: str = "") -> Value | None:
    """Return what one field of channel `name` says; None: neither a number nor a fault word."""
    if not text:
        return Value(None, "open", "")
    code = fault(text)
    if code is not None:
        return Value(text, code, "")
    value = number(text)
    if value is None:
        return None
    if value == _NO_VALUE or abs(value) >= _SCPI_INFINITY:
        return Value(text, "open", "")
    if name and name == span.free:
        return Value(value, "ok", "")
    value_c = span.scale * value + span.offset_c
    if value_c < ABSOLUTE_ZERO_C - 1e-9:
        return Value(text, "unparsable", f"{text} is below absolute zero")
    if value_c > HIGHEST_C:
        return Value(text, "unparsable", f"{text} is above {HIGHEST_C:g} °C")
    return Value(value, "ok", "")
