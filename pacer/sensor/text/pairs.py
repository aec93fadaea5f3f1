"""`T1=300.5;T2=290`, `Temp: 300.5 C`: names and values, apart by `;` `,` tabs or blanks.

With a decimal comma a comma doesn't separate. A name of two words (`Probe 1`) can only
follow the line's start or one of `;` `,` and tabs. `unit=F` marks the line's other values.
Pure text; what a value says is judged in `lines.py`.
"""

from __future__ import annotations

import re

from pacer.sensor.text.marks import unit_of
from pacer.sensor.text.names import UNIT_NAMES, Cell, checked_name, like_heat
from pacer.sensor.text.times import WHEN
from pacer.sensor.text.values import Refused
from pacer.text import clean

_WORD = r"[A-Za-z_][A-Za-z0-9_.\-()\[\]/%*]*+"
_MORE = r"(?:[ ](?:\(|\[)?[A-Za-z0-9_.\-/%*]++[)\]]?){0,2}"


def _pair(separators: str) -> re.Pattern[str]:
    inside = rf"[^ \t=:{separators}]"
    value = rf"{WHEN}(?=[ \t{separators}]|$)|{inside}*+(?:[ ]++{inside}++(?![ \t]*+[=:]))*"
    return re.compile(
        rf"({_WORD}{_MORE})[ \t]*+[=:][ \t]*+({value})[ \t]*+([{separators}]?)[ \t{separators}]*+"
    )


_PAIR = _pair(";,\t")
_PAIR_COMMA = _pair(";\t")
_START = re.compile(rf"{_WORD}{_MORE}[ \t]*[=:]")


def looks_so(text: str) -> bool:
    """True where a line begins like a pair."""
    return _START.match(text) is not None


def cells(text: str, *, comma: bool = False) -> list[Cell]:
    """Return the pairs of a line, names all different, a `unit=` of it taken off.

    Raises Refused where some of the line is no pair.
    """
    pattern = _PAIR_COMMA if comma else _PAIR
    found: dict[str, Cell] = {}
    line_unit, at, apart = "", 0, True
    text = text.lstrip(";, \t")
    while at < len(text):
        pair = pattern.match(text, at)
        if pair is None or (" " in pair[1] and not apart):
            raise Refused(
                f'found "{clean(text[at:], 40)}", expected a name and a value such as T1=300.5'
            )
        name, unit = checked_name(pair[1])
        if name in found:
            raise Refused(f'the name "{name}" comes twice')
        at, apart = pair.end(), bool(pair[3])
        found[name] = Cell(name, pair[2].rstrip(), unit)
        if name.lower() in UNIT_NAMES:
            line_unit = unit_of(pair[2])
    if "=" not in text and not any(map(_like_reading, found.values())):
        # Boards print such lines about anything: "baud: 9600".
        raise Refused(
            f'found "{clean(text, 40)}", expected a decimal point, a unit, or "=" for a colon'
        )
    if not line_unit:
        return list(found.values())
    return [
        cell if cell.unit else cell._replace(unit=line_unit)
        for cell in found.values()
        if cell.name.lower() not in UNIT_NAMES
    ]


def _like_reading(cell: Cell) -> bool:
    number_or_word = "." in cell.text or " " in cell.text or not cell.text.isdigit()
    return like_heat(cell.name) or bool(cell.unit) or number_or_word
