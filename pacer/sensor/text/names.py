"""Names of channels: of a pair, of a member, of a column; which of them are no temperature.

1. A name is kept as it came, save that the unit in brackets is taken off (`T1 (°C)` is T1)
   and a blank becomes `_` (`Probe 1` is Probe_1), so that it can stand in a URL.
2. Columns and pairs that say when a line was made, which number it has, or how the board
   is (`time`, `ms`, `count`, `rssi`, …), that are a temperature but not the part's (`SP`,
   `target`, `CJ`, `ambient`, …), and those with a unit of something else (`Current (A)`),
   are left out: they must not become the channel that decides.
   One that the sensor's URL asks for by name (`channel=`, `arc=`, `cj=`) stays.

The list of such names is common practice, no source.
"""

from __future__ import annotations

import functools
import re
from typing import NamedTuple

from pacer.sensor.text.marks import OTHER, UNKNOWN, split_name
from pacer.sensor.text.values import Refused, fault
from pacer.text import clean

MAX_CHANNELS = 16

UNIT_NAMES = frozenset({"unit", "units", "u"})
"A pair or member of such a name marks the values beside it."

_REMEMBERED = 256
"Names judged once: a source says the same ones for hours, a hostile one any number."

NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_.-]{0,31}")
_COLUMN = re.compile(r"[A-Za-z_][A-Za-z0-9_.-]*(?: [0-9]+)?")
_NOT_A_HEAT = re.compile(
    r"(?i)(?:(?:date|time|utc|local|log|system)[_.-]?){0,2}"
    r"(?:date|time|stamp|epoch|clock|elapsed|uptime|millis|micros|seconds?|minutes?|hours?)"
    r"(?:[_.-]?(?:s|ms|us|sec|secs|min|h|utc))?"
    r"|t_(?:s|ms)|ts|ms|us|s|secs?"
    r"|no|nr|num|number|n|id|idx|index|count|counter|seq|sequence|sample|samples|record|row|line"
    r"|version|ver|fw|firmware|rssi|snr|heap|baud|battery|batt?|vbatt?|rh|humidity|pressure"
    r"|crc|checksum|units?|u|status|state|alarm|mode|event|notes?|comments?|name|device|serial"
    r"|adc|raw|gain|duty|pwm|output"
)
_SET = r"sp|sv|set|set_?point|set_?value|target|limit|min|max"
_OWN = r"cjc?|cold_?junction|internal|ambient|board|chip|die|cpu|mcu"
_NOT_THE_PART = re.compile(
    rf"(?i)(?:{_SET}|{_OWN})(?:[_.-]?(?:t|temp|temperature|deg)){{0,2}}(?:_?[cfk])?"
    rf"|(?:t|temp|temperature)[_.-]?(?:{_SET}|{_OWN})(?:_?[cfk])?"
)
"""What a controller is set to, and what the instrument reads of itself: at 260 °C set, a cold part
would be READY; its own 24 °C would be heated for ever. (SP and SV: common practice, no source.)"""

_LIKE_HEAT = re.compile(
    r"(?i)(?:t|tc|ch|channel|probe|sensor|temp|temperature|thermocouple)[_.-]?[0-9]*"
    r"(?:[_.-]?deg)?(?:[_.-]?[cfk])?"
)


class Column(NamedTuple):
    """What a header says of one column."""

    name: str
    unit: str = ""
    left_out: bool = False


class Cell(NamedTuple):
    """One field of a line, on its way to a value."""

    name: str
    "Empty: channels are numbered."
    text: str
    unit: str = ""
    "The unit its name, column or line gives it."
    free: bool = False
    "Words are left out in silence, they are no value: a member that is a string."


@functools.lru_cache(_REMEMBERED)
def no_heat(name: str) -> bool:
    """True for a name that says time, number of the line, how the board is or what it is set to."""
    last = name.rpartition(".")[2]
    return any(pattern.fullmatch(last) for pattern in (_NOT_A_HEAT, _NOT_THE_PART))


@functools.lru_cache(_REMEMBERED)
def of_fault(name: str) -> bool:
    """True for a name that says what is wrong, such as `fault` or `OC`; its value says if it is."""
    return fault(name.rpartition(".")[2]) is not None


def like_heat(name: str) -> bool:
    """True for a name that a temperature usually has, where its look alone must decide."""
    return _LIKE_HEAT.fullmatch(name) is not None


def _split(head: str) -> tuple[str, str]:
    """Return name and unit; what stands in a unit's place is a remark beside a temperature."""
    name, unit = split_name(head.strip())
    if unit == UNKNOWN:
        unit = "" if like_heat(name.replace(" ", "_")) else OTHER
    return name, unit


def column(head: str, asked: frozenset[str], *, quoted: bool = False) -> Column | None:
    """Return what one field of a header says; None: it is no column's name."""
    name, unit = _split(head)
    if not quoted and _COLUMN.fullmatch(name) is None:
        return None
    words, name = name, "_".join(name.split())
    if NAME.fullmatch(name) is None or fault(words) is not None:
        return None
    other = unit == OTHER
    return Column(name, "" if other else unit, name not in asked and (other or no_heat(name)))


def columns(
    fields: list[str], asked: frozenset[str] = frozenset(), *, quoted: bool = False
) -> tuple[Column, ...] | None:
    """Return the columns of a header line, all named differently; None: it is no header.

    One field alone is a header only where it is called like a temperature, and quoted or
    with its unit: boards greet with all sorts of words.
    """
    found = tuple(column(field, asked, quoted=quoted) for field in fields)
    sound = tuple(made for made in found if made is not None)
    if len(sound) != len(found) or len({made.name for made in sound}) != len(sound):
        return None
    kept = [made for made in sound if not made.left_out]
    if not 1 <= len(kept) <= MAX_CHANNELS:
        return None
    alone = sound[0]
    if len(sound) == 1 and not (like_heat(alone.name) and (alone.unit or quoted)):
        return None
    return sound


@functools.lru_cache(_REMEMBERED)
def checked_name(head: str) -> tuple[str, str]:
    """Return name and unit (or `OTHER`) of a pair or member.

    Raises Refused where it can't name a channel.
    """
    name, unit = _split(head)
    name = "_".join(name.split())
    if NAME.fullmatch(name) is None:
        raise Refused(f'found "{clean(head, 40)}", expected a name and a value such as T1=300.5')
    return name, unit
