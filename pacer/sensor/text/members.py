"""A JSON object or array a line: `{"t1": 300.5, "unit": "C"}`, `[300.5, 290]` (RFC 8259).

1. Objects may hold objects, one level (`{"a": {"b": 1}}` is a.b), and arrays of values
   (`{"t": [1.5, 2.5]}` is t1, t2); what is deeper is refused.
2. `null` is an open sensor; a string may be a number, a fault word, either with a unit.
   `true`, `false` and other strings are no values: they are left out beside numbers.
3. A member `unit`, `units` or `u` marks the values of its object.
4. A name that comes twice, NaN and Infinity are refused. A number is kept as it is written,
   so that 1e400 and 5,000 digits meet the same check as on a bare line.

The standard library's reader: the faster one keeps the last of two equal names without a
word (reliability.md, section 0) and turns numbers into floats before they are looked at.
"""

from __future__ import annotations

import json
from typing import Any, NoReturn

from pacer.sensor.text.marks import OTHER, split_unit, unit_of
from pacer.sensor.text.names import UNIT_NAMES, Cell, checked_name
from pacer.sensor.text.values import Refused, fault, number
from pacer.text import clean


class _Number(str):
    """A JSON number as it is written."""

    __slots__ = ()


class _Members(list[tuple[str, Any]]):
    """A JSON object's members in their order."""


def _no_number(word: str) -> NoReturn:
    raise Refused(f"found {word}, expected a number or null")


_READER = json.JSONDecoder(
    object_pairs_hook=_Members,
    parse_float=_Number,
    parse_int=_Number,
    parse_constant=_no_number,
)


def cells(text: str) -> list[Cell]:
    """Return the values of one line, names all different; an array's have none.

    Raises Refused for what is no JSON, or JSON of another shape.
    """
    try:
        found = _READER.decode(text)
    except json.JSONDecodeError as exc:
        raise Refused(f"no JSON: {exc.msg[:1].lower()}{exc.msg[1:]} at {exc.pos + 1}") from None
    except RecursionError:
        raise Refused("JSON nested too deeply") from None
    if not isinstance(found, _Members):
        return [_cell("", value) for value in found]
    made = _object("", found)
    if len({cell.name for cell in made}) != len(made):
        names = [cell.name for cell in made]
        twice = next(name for name in names if names.count(name) > 1)
        raise Refused(f'the name "{twice}" comes twice')
    return made


def _object(lead: str, members: _Members) -> list[Cell]:
    unit = ""
    made: list[Cell] = []
    for key, value in members:
        if key.lower() in UNIT_NAMES and isinstance(value, str):
            if unit:
                raise Refused(f'the name "{lead}{clean(key, 20)}" comes twice')
            unit = unit_of(value) or OTHER
        elif isinstance(value, _Members):
            if lead:
                raise Refused("JSON nested too deeply, expected one level")
            made += _object(f"{key}.", value)
        elif isinstance(value, list):
            made += [_named(f"{lead}{key}{i}", part) for i, part in enumerate(value, 1)]
        else:
            made.append(_named(lead + key, value))
    return [cell if cell.unit else cell._replace(unit=unit) for cell in made] if unit else made


def _named(key: str, value: Any) -> Cell:
    cell = _cell(key, value)
    if cell.free:
        # Words need no name that could be a channel's.
        return cell._replace(name=clean(key, 40))
    name, unit = checked_name(key)
    return cell._replace(name=name, unit=unit)


def _cell(name: str, value: Any) -> Cell:
    if value is None:
        return Cell(name, "null")
    if isinstance(value, _Number):
        return Cell(name, str(value))  # what is recorded is plain text
    if isinstance(value, str):
        text = value.strip()
        said = number(text) is not None or fault(text) or split_unit(text)
        return Cell(name, text, free=not said)
    if isinstance(value, bool):
        return Cell(name, str(value).lower(), free=True)
    raise Refused("JSON nested too deeply, expected one level")
