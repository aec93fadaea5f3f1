"""What a welder types for a key, as a job file has it, and the program's values in his units.

His own text goes into the file; only the unit is added where a bare number left it out.
"""

from __future__ import annotations

import re
from typing import Any, NamedTuple

from pacer import units
from pacer.job.file.keys import Key
from pacer.job.file.values import convert
from pacer.text import clean

Given = str | int | tuple[str, ...]
"A value as a job file writes it: a text, a count, or three lengths."

_TYPED_CHARS = 400
_BARE = re.compile(r"[+-]?(?:[0-9]+(?:-|\s+))?[0-9]+/[0-9]+|[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)")
# A comma parts sizes only where a space follows it: alone it may be a decimal comma.
_BETWEEN_SIZES = re.compile(r"\s*(?:[x×;]|,\s|\bby\b)\s*", re.IGNORECASE)

# kind: the unit that a value of the program has, metric and US unit, as `units.py` spells them.
_UNITS = {
    "temperature": ("degC", "degC", "degF"),
    "temperature_difference": ("K", "delta_degC", "delta_degF"),
    "rate_c_h": ("K/h", "delta_degC/hour", "delta_degF/hour"),
    "length": ("m", "mm", "in"),
    "sizes": ("m", "mm", "in"),
    "mass": ("kg", "kg", "lb"),
    "time": ("s", "min", "min"),
    "volume": ("m3", "l", "gal"),
    "speed": ("m/s", "mm/min", "in/min"),
    "current": ("A", "A", "A"),
    "voltage": ("V", "V", "V"),
    "angle": ("deg", "deg", "deg"),
    "gas_flow": ("m3/s", "l/min", "cfh"),
}
_SHORT_S = 120.0
"Below it a time is written in seconds."


class Typed(NamedTuple):
    """An answer that can stand in the file."""

    value: Given
    said: str = ""
    "How it was understood, where something had to be added."


def usual_unit(key: Key, system: units.System) -> str:
    """Return the unit that a bare number is taken in; empty where the key has none.

    >>> from pacer.job.file.keys import keys
    >>> usual_unit(keys()["part.wall"], "us"), usual_unit(keys()["job.title"], "us")
    ('in', '')
    """
    found = _UNITS.get(key.kind)
    return "" if found is None else found[2 if system == "us" else 1]


def with_usual_unit(text: str, kind: units.Kind, system: units.System) -> str:
    """Return a bare number with the unit it is taken in; anything else, and a load, as it is.

    Of a load a bare number stays bare: a weight that hung there and a force are both usual.

    >>> with_usual_unit("40", "length", "metric"), with_usual_unit("2", "force", "metric")
    ('40 mm', '2')
    """
    found, text = _UNITS.get(kind), text.strip()
    if found is None or not _BARE.fullmatch(text):
        return text
    return f"{text} {found[2 if system == 'us' else 1]}"


def typed(key: Key, text: str, system: units.System = "metric") -> Typed:
    """Return a typed answer as the file will have it.

    Raises ValueFault, whose message follows what was found.

    >>> from pacer.job.file.keys import keys
    >>> typed(keys()["part.wall"], " 1/2 ", "us")
    Typed(value='1/2 in', said='taken as 1/2 in')
    >>> typed(keys()["part.size"], "14 x 10 x 1 in").value
    ('14 in', '10 in', '1 in')
    """
    text = clean(text, _TYPED_CHARS)
    if key.kind == "count":
        number: Given = int(text) if text.isascii() and text.isdigit() and len(text) < 10 else text
        convert(key, number)
        return Typed(number)
    unit = usual_unit(key, system)
    if key.kind == "sizes":
        return _sizes(key, text, unit)
    given = f"{text} {unit}" if unit and _BARE.fullmatch(text) else text
    checked = convert(key, given)
    if key.kind == "choice":
        # Another word for it is no other spelling: it is said what is kept.
        same = " ".join(text.split()).casefold() == str(checked).casefold()
        return Typed(str(checked), "" if same else f"taken as {checked}")
    if key.kind in ("text", "url"):
        # In the spelling of the file, and with nothing that a terminal obeys.
        return Typed(str(checked))
    return Typed(given, f"taken as {given}" if given != text else "")


def _sizes(key: Key, text: str, unit: str) -> Typed:
    parts = [part for part in _BETWEEN_SIZES.split(text) if part]
    # "260 x 180 x 40 mm": one unit at the end is the unit of all.
    last = re.search(r"[^\d\s./-].*$", parts[-1]) if parts else None
    of_all = last[0] if last and all(_BARE.fullmatch(part) for part in parts[:-1]) else unit
    given = [f"{part} {of_all}" if _BARE.fullmatch(part) else part for part in parts]
    convert(key, given)
    bare = last is None
    return Typed(tuple(given), f"taken as {' x '.join(given)}" if bare else "")


def written(key: Key, value: Any, system: units.System = "metric") -> Given:
    """Return a value of the program (SI, °C, a word) as a job file would have it, rounded.

    >>> from pacer.job.file.keys import keys
    >>> [written(keys()["band.floor"], 200.0, system) for system in ("metric", "us")]
    ['200 degC', '392 degF']
    >>> [written(keys()["bead.peen"], time_s) for time_s in (15.0, 60.0, 120.0, 130.0)]
    ['15 s', '60 s', '2 min', '130 s']
    """
    if key.kind == "count":
        return int(value)
    if key.kind == "sizes":
        return tuple(_quantity(key, item, system) for item in value)
    return _quantity(key, value, system) if key.kind in _UNITS else str(value)


def _quantity(key: Key, value: float, system: units.System) -> str:
    base, unit = _UNITS[key.kind][0], usual_unit(key, system)
    if key.kind == "time" and (value < _SHORT_S or value % 60.0):
        unit = "s"
    scale, offset = units.affine(base, unit)
    return f"{scale * value + offset:.{4 if system == 'us' else 6}g} {unit}"


def in_file(value: Given) -> str:
    """Return the value as TOML.

    >>> in_file(("14 in", '10"')), in_file(3)
    ('["14 in", "10\\\\""]', '3')
    """
    import tomlkit

    if isinstance(value, tuple):
        return f"[{', '.join(in_file(item) for item in value)}]"
    return tomlkit.item(value).as_string()


def in_words(value: Given) -> str:
    """Return the value as a person would write it.

    >>> in_words(("14 in", "10 in", "1 in"))
    '14 in x 10 in x 1 in'
    """
    return " x ".join(value) if isinstance(value, tuple) else str(value)
