"""One value of a job file, checked against its row in the table of keys."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from datetime import date, time
from typing import Any, cast

from pacer import units
from pacer.job.file.keys import Key
from pacer.text import clean
from pacer.trade.rows import load

SCHEMES = ("serial", "socket", "loop", "modbus", "practice", "hand", "file")
_MAX_TEXT = 200
_BITS = 128
"A longer whole number is not shown: Python itself refuses to write some of them."


@dataclass(frozen=True)
class Fault:
    """What is wrong with one or several keys, in words that follow the value found."""

    keys: tuple[str, ...]
    "The first one is where it is reported; a fault of several is left out if one is bad."
    text: str
    missing: bool = False
    "The first key should be in the file and isn't."
    stop: bool = False
    "It stops a plan by what the part is (`job/stops.py`), not by how the file is written."


class ValueFault(Exception):
    """A value that can't be used; the message follows `key = found: `."""


def shown(value: object) -> str:
    """Return a foreign value as a job file would spell it, cleaned and short.

    >>> shown(True), shown("a\\x1bb"), shown([1, 2]), shown(date(1979, 5, 27))
    ('true', '"a\N{REPLACEMENT CHARACTER}b"', '[1, 2]', '1979-05-27')
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'"{clean(value, 80)}"'
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, int) and value.bit_length() > _BITS:
        return "a very long number"
    if isinstance(value, list):
        return f"[{', '.join(shown(item) for item in value[:5])}{', …' if value[5:] else ''}]"
    return "a table" if isinstance(value, dict) else clean(repr(value), 40)


def closest(word: str, known: list[str]) -> str | None:
    """Return the known word nearest in spelling, or None.

    >>> closest("Flor", ["floor", "ceiling"])
    'floor'
    """
    folded = {item.casefold(): item for item in known}
    close = difflib.get_close_matches(word[:60].casefold(), list(folded), n=1, cutoff=0.6)
    return folded[close[0]] if close else None


def convert(key: Key, value: object) -> Any:
    """Return the value in SI units or °C, or as checked text; ValueFault says what is wrong."""
    if key.kind == "sizes":
        return _sizes(key, value)
    if key.kind == "count":
        return _count(key, value)
    if not isinstance(value, str):
        raise ValueFault(_wrong_type(key, value))
    if key.kind == "choice":
        return _choice(key, value)
    if key.kind == "process":
        return _process(value)
    if key.kind == "url":
        return _url(value)
    if key.kind == "text":
        text = clean(value, _MAX_TEXT)
        if not text:
            without = "if it is not known" if key.fact else "for the default"
            raise ValueFault(f"empty; leave the line out {without}")
        return text
    quantity = _quantity(key, value)
    # A fact is checked like any quantity and kept as it was written.
    return clean(value, _MAX_TEXT) if key.fact else quantity


def _wrong_type(key: Key, value: object) -> str:
    if key.kind in ("text", "choice", "process", "url"):
        words = f"one of {', '.join(key.choices)}" if key.choices else "a text in quotes"
        return (
            f'expected {words}; write {key.word} = "{clean(str(value), 40)}"'
            if isinstance(value, int | float) and not isinstance(value, bool)
            else f"expected {words}"
        )
    words, example = units.example(cast("units.Kind", key.kind))
    if isinstance(value, int | float) and not isinstance(value, bool):
        unit = example.split(" ", 1)[1]
        return f'number without a unit; write "{value:.10g} {unit}"'
    return f'expected {words} in quotes, such as "{example}"'


def _quantity(key: Key, text: str, kind: str | None = None) -> float:
    kind_ = cast("units.Kind", kind or key.kind)
    try:
        value = units.parse(text, kind_)
    except units.QuantityError as error:
        raise ValueFault(
            f"{error.problem}; write {error.write}" if error.write else error.problem
        ) from None
    if key.range:
        low, high = (units.parse(limit, kind_) for limit in key.range)
        if not low <= value <= high:
            raise ValueFault(f"out of range; write {key.range[0]} to {key.range[1]}")
    return value


def _sizes(key: Key, value: object) -> tuple[float, ...]:
    example = 'three lengths such as ["260 mm", "180 mm", "40 mm"]'
    if not isinstance(value, list) or len(value) != 3:
        raise ValueFault(f"expected {example}")
    sizes = []
    for item in value:
        if not isinstance(item, str):
            raise ValueFault(f"{shown(item)} is no length in quotes; write {example}")
        try:
            sizes.append(_quantity(key, item, "length"))
        except ValueFault as fault:
            raise ValueFault(f"{shown(item)}: {fault}") from None
    return tuple(sizes)


def _count(key: Key, value: object) -> int:
    low, high = (int(limit) for limit in key.range or ("0", "1000"))
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        raise ValueFault(f"expected a whole number without quotes; write {low} to {high}")
    return value


def _choice(key: Key, text: str) -> str:
    folded = " ".join(text.split()).casefold()
    for choice in key.choices:
        if choice.casefold() == folded:
            return choice
    if folded in key.also:
        return key.also[folded]
    close = closest(text, list(key.choices))
    words = f'"{close}"' if close else f"one of: {', '.join(key.choices)}"
    raise ValueFault(f"unknown; write {words}")


def _process(text: str) -> str:
    """Return the ISO 4063 number for a number or a common name such as TIG."""
    names = {row.id: row.id for row in load("processes")}
    for row in load("processes"):
        names.update({str(name).casefold(): row.id for name in row.values["names"]})
    found = names.get(text.strip().casefold())
    if found is None:
        known = ", ".join(f"{row.id} ({row.values['names'][0]})" for row in load("processes"))
        raise ValueFault(f"unknown process; write one of: {known}")
    return found


def _url(text: str) -> str:
    url = clean(text, 400)
    scheme = url.split(":", 1)[0]
    if ":" not in url or scheme not in SCHEMES:
        close = closest(scheme, list(SCHEMES)) if ":" in url else None
        near = f", did you mean {close}:?" if close else ""
        raise ValueFault(
            f'no sensor address{near}; write "serial:///dev/ttyUSB0?baud=115200", "hand:" or "practice:"'
        )
    return url
