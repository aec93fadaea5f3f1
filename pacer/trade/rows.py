"""Trade facts: rows of the TOML files beside this module, each with source and status.

A row is a published or customary value, never a rule of the program. Numbers carry
their unit in the name. The status says how far the source was seen; a value from memory
or of common practice is never shown as if a standard said so. Where sources disagree, and
what nobody saw, is in `gaps.py`.

A file's table `[every]` holds what its rows have in common (source, status); a row's own
word wins.
"""

from __future__ import annotations

import functools
import tomllib
from importlib.resources import files
from typing import Any, Literal, get_args

import msgspec

Status = Literal[
    "seen in the primary text",
    "seen in a secondary page",
    "calculated",
    "from memory",
    "common practice",
]
STATUSES: tuple[Status, ...] = get_args(Status)

TABLES: dict[str, str] = {
    "preheat": "Preheat and interpass temperature",
    "beads": "Beads and peening",
    "stress_relief": "Stress relief and slow cooling",
    "measuring": "Where and when to measure",
    "heat_input": "Heat input and cooling time",
    "processes": "Welding processes",
    "fillers": "Filler metals",
    "grades": "Grades and strengths of grey iron",
    "iron": "Thermal properties of iron",
    "covers": "What a part cools in",
    "repair": "How a repair is prepared, held and finished",
    "penetrant": "Penetrant check",
    "crack_ends": "The ends of a crack",
    "imperfections": "Imperfections by their ISO 6520-1 numbers",
    "findings": "What a finding of the review usually leads to",
    "burns": "Touching bare hot metal",
    "shades": "Filter shades",
    "fume": "Fume and gas",
    "cautions": "Cautions",
    "signals": "Sounds and colours",
    "specification": "What a plan and a record hold",
    "metals": "What a metal means for the repair",
    "shop_tests": "Shop tests",
    "shop_looks": "What each metal looks like in shop tests",
    "disagreements": "Where sources disagree",
}
"Name of a file of rows -> its heading, in the order `pacer sources` shows them."

_HEAD = ("id", "about", "source", "status", "confidence", "as_published")


class Row(msgspec.Struct, frozen=True):
    """One fact."""

    id: str
    "Unique within its table; letters and number as in the project's list of facts."
    about: str
    "What it says, in our words, with every number the program takes from it."
    source: str
    "Where it is from; for common practice, what it rests on."
    status: Status
    values: dict[str, Any]
    "The numbers and words of the row, names ending in their unit."
    confidence: Literal["", "high", "medium", "low"] = ""
    "Of a value from memory: how sure whoever wrote it down was."
    as_published: dict[str, str] = {}
    "Quantity as `about` has it -> as the source printed it, in US units."

    @property
    def seen(self) -> str:
        """The status, with how sure a memory is."""
        return seen(self.status, self.confidence)

    @property
    def told(self) -> str:
        """Fact, source and status in one line."""
        return f"{self.about} ({self.source}; {self.seen})"


def seen(status: Status, confidence: str) -> str:
    """Return a status in words, with how sure a memory is.

    >>> seen("from memory", "low"), seen("common practice", "")
    ('from memory, confidence low', 'common practice')
    """
    return f"{status}, confidence {confidence}" if confidence else status


@functools.cache
def load(name: str) -> tuple[Row, ...]:
    """Return the rows of one table of `TABLES`, in the order of the file.

    >>> load("processes")[0].id
    '111'
    """
    document = tomllib.loads(files("pacer.trade").joinpath(f"{name}.toml").read_text("utf-8"))
    rows = []
    for own in document["row"]:
        raw = {**document.get("every", {}), **own}
        head = {field: raw.pop(field) for field in _HEAD if field in raw}
        rows.append(msgspec.convert({**head, "values": raw}, Row))
    return tuple(rows)


def row(name: str, row_id: str) -> Row:
    """Return one row; KeyError names the table if there is no such row."""
    for found in load(name):
        if found.id == row_id:
            return found
    raise KeyError(f"no row {row_id} in {name}")
