"""`Judge`: the cells of one line become numbers, fault words and units, or the line is refused.

One dialect or the other has cut the line; from here on all are the same.
"""

from __future__ import annotations

import re
from typing import NamedTuple, NoReturn

from pacer.sensor.text.marks import OTHER, split_unit, unit_of
from pacer.sensor.text.names import MAX_CHANNELS, Cell, no_heat, of_fault
from pacer.sensor.text.times import is_when
from pacer.sensor.text.told import Told
from pacer.sensor.text.units_seen import UnitsSeen
from pacer.sensor.text.values import (
    HIGHEST_MV,
    Refused,
    Span,
    Value,
    fault,
    number,
    read_value,
    shown_unit,
)
from pacer.session.celsius import VOLTS
from pacer.session.events import Reading, Status
from pacer.text import clean

_UNIT_LETTERS = frozenset({"C", "F", "K"})

_NO_FAULT = frozenset({"", "0", "0x0", "0x00", "false", "no", "none", "null", "ok"})
"What a member `fault`, `error` or `OC` says while nothing is wrong. Common practice, no source."

_STATUS = re.compile(r"(?i)[_.-]?status$")

_SIGNIFICANT = 4
"Characters of a number with a decimal point that noise doesn't make: 20.5."


class Aside(Refused):
    """A sound line without any temperature: `Humidity: 45 %`."""


class Taken(NamedTuple):
    """One channel of a line."""

    name: str
    value: Value
    unit: str
    """What the line itself says, of `MARKS` or `VOLTS`; "" where it says none."""
    text: str
    "The number or word, without its unit."


class Judge:
    """What one source's cells mean; remembers their units."""

    def __init__(self, span: Span, told: Told) -> None:
        self._span = span
        self._told = told
        self._units = UnitsSeen("" if span.volts else told.unit, told.unit or "degC")

    def named(self, cells: list[Cell]) -> list[Taken]:
        """Return the channels of a line that names them, without what is no temperature.

        Raises Refused where the line reports a fault of the whole meter, or one value can't
        be read; Aside where none is left.
        """
        for cell in cells:
            told = of_fault(cell.name) and cell.text.lower() not in _NO_FAULT
            if told and "." not in cell.name:
                raise Refused(f'found "{clean(cell.name, 40)}": the meter reports a fault')
        if _UNIT_LETTERS.issuperset([cell.name.upper() for cell in cells]):
            # F = 572.9 C = 300.5: where all names are units they are the units.
            cells = [cell._replace(unit=unit_of(cell.name.upper())) for cell in cells]
        taken = self.numbered([cell for cell in cells if not self._left_out(cell)])
        if taken:
            return taken
        if len(cells) == 1 and (cells[0].free or cells[0].name in self._told.asked):
            _refuse(cells[0].text)
        found = ", ".join(f'"{clean(cell.name, 20)}"' for cell in cells[:4])
        raise Aside(f"found only {found or 'nothing'}, expected a temperature such as T1=300.5")

    def numbered(self, cells: list[Cell]) -> list[Taken]:
        """Return the channels of a line, without those that have a unit of something else."""
        alone = len(cells) == 1
        taken = [made for cell in cells if (made := self._value(cell, alone)) is not None]
        if len(taken) > MAX_CHANNELS:
            raise Refused(f"found {len(taken)} values, expected at most {MAX_CHANNELS}")
        units = [made.unit for made in taken]
        if any(units) and not self._span.volts:
            self._refuse_half_marked(taken)
        return _as_the_status_says(taken, self._span.free)

    def _refuse_half_marked(self, taken: list[Taken]) -> None:
        """Raise Refused where a value without a unit stands beside one in no unit of the source."""
        usual = self._told.unit or "degC"
        strange = [made.unit for made in taken if made.unit not in {"", usual}]
        bare = [
            made.name
            for made in taken
            if not made.unit and made.value.status == "ok" and made.name != self._span.free
        ]
        if strange and bare and not self._told.unit:
            raise Refused(
                f'no unit for "{bare[0]}" but {shown_unit(strange[0])} for another: '
                "expected one, or unit= in the sensor's URL"
            )

    def _left_out(self, cell: Cell) -> bool:
        if cell.name in self._told.asked:
            return False
        if cell.free:
            return not self._units.knows(cell.name)
        if no_heat(cell.name) or of_fault(cell.name):
            # A board's state is no temperature, but that it is a fault is told.
            return cell.text.lower() in _NO_FAULT or not fault(cell.text)
        return is_when(cell.text)

    def _value(self, cell: Cell, alone: bool) -> Taken | None:
        """Return what one cell says; None: it has a unit of something else beside others."""
        name, text, unit = cell.name, cell.text, cell.unit
        doubtful = False
        value = number(text)
        if value is None and (marked := split_unit(text)) is not None:
            if unit and unit != marked.unit:
                raise Refused(
                    f'found "{clean(text, 40)}", expected {shown_unit(unit)} as {name} has it'
                )
            text, unit, doubtful = marked
            value = number(text)
        if name == self._span.free:
            unit = ""
        elif unit == OTHER or (unit in VOLTS and not self._span.volts):
            if alone or name in self._told.asked or _of_a_thermocouple(value, unit):
                _refuse_unit(cell.text, unit)
            return None
        judged = read_value(text, value, self._span, name, unit)
        if judged is None:
            _refuse(cell.text)
        if value is not None and judged.status == "ok" and name != self._span.free:
            if doubtful and not self._units.may_be_glued(unit):
                raise Refused(
                    f'"{clean(cell.text, 40)}" may be a hexadecimal number: expected a decimal '
                    f"point or a blank, or unit={unit} in the sensor's URL"
                )
            own = "degC" if self._span.volts and name == self._span.cj else ""
            self._units.take(name, unit, default=own, doubtful=doubtful)
        return Taken(name, judged, unit, text)


def _as_the_status_says(taken: list[Taken], free: str) -> list[Taken]:
    """Return the channels, none of them sound beside its own status of a fault; `free` stays.

    Boards go on sending the last good number: it would stand in the band for ever.
    `T1_status` is T1's own, any other status that of all beside it.
    """
    for told in taken:
        if told.value.status == "ok" or not (_STATUS.search(told.name) or of_fault(told.name)):
            continue
        own, lead = _STATUS.sub("", told.name), told.name.rpartition(".")[0]
        one = any(made.name == own for made in taken)
        taken = [
            made._replace(value=told.value._replace(raw=made.text))
            if made.value.status == "ok"
            and made.name != free
            and (made.name == own if one else made.name.rpartition(".")[0] == lead)
            else made
            for made in taken
        ]
    return taken


def _of_a_thermocouple(value: float | None, unit: str) -> bool:
    """True for a voltage so small that its cold junction, beside it, must not decide."""
    return value is not None and unit in {"mV", "uV"} and abs(value * VOLTS[unit]) <= HIGHEST_MV


def significant(taken: list[Taken]) -> bool:
    """True where some value is too long to be an accident of noise."""
    return any(len(made.text) >= _SIGNIFICANT and "." in made.text for made in taken)


def reading(taken: list[Taken], *, named: bool) -> Reading:
    """Return one line's record; raises Refused where every value is missing."""
    # Lists, not generators: this runs for each line of a flood.
    raw = [made.value.raw for made in taken]
    if raw.count(None) == len(raw):
        _refuse("")
    words: list[Status] = [made.value.status for made in taken]
    units = [made.unit for made in taken]
    wrong = [made.value.why for made in taken if made.value.why]
    return Reading(
        t_ms=0,
        raw=tuple(raw),
        status=words[0] if words.count(words[0]) == len(words) else tuple(words),
        names=tuple([made.name for made in taken]) if named else None,
        why="; ".join(wrong) or None,
        units=tuple(units) if any(units) else None,
    )


def _refuse(found: str) -> NoReturn:
    raise Refused(f'found "{clean(found, 40)}", expected a number such as 300.5')


def _refuse_unit(found: str, unit: str) -> NoReturn:
    expected = "a temperature such as 300.5 C"
    if unit in VOLTS:
        expected += "; of a thermocouple's voltage unit=, type= and cj= in the sensor's URL"
    raise Refused(f'found "{clean(found, 40)}", expected {expected}')
