"""The fields of a line without names: where it is cut, and where a comma is in doubt.

`;`, a tab or `,` set fields apart, the first of them that the line holds. Blanks do only
where each field has a decimal point or its unit: `1 000` is one number to some.
Fields in double quotes are RFC 4180's. A field that is a unit and no more marks the one
before it: `300.5,C`.

**Is `3,5` one value or two?** Unsigned whole numbers with bare commas are refused, and so
is `1,234.5`, until something has shown that many channels; `lines.py` knows that.
"""

from __future__ import annotations

import csv
import re
from typing import NamedTuple

from pacer.sensor.text.marks import split_unit, unit_of
from pacer.sensor.text.names import UNIT_NAMES, Cell, Column
from pacer.sensor.text.times import is_when
from pacer.sensor.text.values import Refused, fault, number
from pacer.text import clean

_WHOLE = re.compile(r"[0-9]+")
# Grouped thousands within our span: no channel of ours reads 1 to 3 degrees beside hot iron.
_GROUPED = re.compile(r"[1-3],[0-9]{3}\.[0-9]+")


class Fields(NamedTuple):
    """A line cut up."""

    texts: list[str]
    by_comma: bool = False
    "True where commas set them apart."
    quoted: bool = False


def cut(text: str, *, comma: bool = False) -> Fields:
    """Return a line's fields; with `comma` that is the decimal sign and no separator."""
    for separator in ";\t" if comma else ";\t,":
        if separator not in text:
            continue
        if '"' in text:
            return Fields(_quoted(text, separator), separator == ",", quoted=True)
        texts = [field.strip() for field in text.split(separator)]
        if not texts[-1]:
            texts.pop()  # a separator at the line's end
        return Fields(texts or [""], separator == ",")
    if '"' in text:
        return Fields(_quoted(text, ";"), quoted=True)
    whole = text.replace(",", ".") if comma else text
    if " " in text and fault(text) is None and split_unit(whole) is None:
        return Fields(_by_blanks(text, "," if comma else "."))
    return Fields([text])


def _quoted(text: str, separator: str) -> list[str]:
    try:
        (row,) = csv.reader([text], delimiter=separator, strict=True, skipinitialspace=True)
    except (csv.Error, ValueError):
        raise Refused("quotes that do not close, expected fields of RFC 4180") from None
    return [field.strip() for field in row]


def _by_blanks(text: str, point: str) -> list[str]:
    words = text.split()
    units = [bool(unit_of(word)) for word in words]
    sound = all(
        unit
        or fault(word) is not None
        or (number(word.replace(point, ".")) is not None and (point in word or unit_next))
        for word, unit, unit_next in zip(words, units, [*units[1:], False], strict=True)
    )
    return words if sound and not units[0] else [text]


def pointed(text: str) -> str:
    """Return a field with its decimal comma as a point.

    Raises Refused for a point in a number: it may set thousands apart.
    """
    point = text.replace(",", ".")
    if number(point) is None and split_unit(point) is None:
        return text
    if "." in text and not text.endswith("."):
        raise Refused(f'found "{clean(text, 40)}", expected a decimal comma such as 300,5')
    return point


def refuse_doubtful(text: str, fields: Fields) -> None:
    """Raise Refused where a comma may be a decimal or a thousands comma."""
    if not fields.by_comma or fields.quoted or ", " in text:
        return
    # A unit changes nothing: 3,5 C is three and a half degrees to some.
    marked = (split_unit(field) for field in fields.texts)
    numbers = [
        field if with_unit is None else with_unit.text
        for field, with_unit in zip(fields.texts, marked, strict=True)
        if not unit_of(field)
    ]
    if len(numbers) < 2:
        return
    grouped = len(numbers) == 2 and _GROUPED.fullmatch(",".join(numbers))
    whole = "." not in numbers[0] and all(_WHOLE.fullmatch(field) for field in numbers[1:])
    if grouped or whole:
        raise Refused(
            f'"{clean(text, 40)}" may be one value or several: expected a decimal point, '
            "or dialect=csv or decimal=comma in the sensor's URL"
        )


def cells(texts: list[str]) -> list[Cell]:
    """Return fields without a header as values named t1, t2, …: no times, units with theirs."""
    if len(texts) == 1:
        return [Cell("t1", texts[0])]
    found: list[Cell] = []
    for text in texts:
        plain = number(text) is not None
        if not plain and found and (unit := unit_of(text)) and _has_no_unit(found[-1]):
            found[-1] = found[-1]._replace(unit=unit)
        elif plain or not is_when(text):
            found.append(Cell(f"t{len(found) + 1}", text))
    return found


def under(header: tuple[Column, ...], texts: list[str]) -> list[Cell]:
    """Return fields under their header, as many as it has, without the columns left out."""
    unit = ""
    found: list[Cell] = []
    for column, text in zip(header, texts, strict=True):
        if is_when(text):
            continue
        if not column.left_out or fault(text) is not None:
            found.append(Cell(column.name, text, column.unit))
        elif column.name.lower() in UNIT_NAMES:
            unit = unit_of(text)
    return [cell if cell.unit else cell._replace(unit=unit) for cell in found] if unit else found


def _has_no_unit(cell: Cell) -> bool:
    return not cell.unit and (number(cell.text) is not None or fault(cell.text) is not None)
