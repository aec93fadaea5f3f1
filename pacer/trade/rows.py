"""Trade facts: rows of the TOML files beside this module, each with source and status.

A row is a published or customary value, never a rule of the program. Numbers carry
their unit in the name. The status says how far the source was seen; a value from memory
or of common practice is never shown as if a standard said so.
"""

from __future__ import annotations

import functools
import tomllib
from importlib.resources import files
from typing import Any, Literal

import msgspec

Status = Literal[
    "seen in the primary text",
    "seen in a secondary page",
    "calculated",
    "from memory",
    "common practice",
]
TABLES = (
    "covers",
    "fillers",
    "processes",
    "preheat",
    "beads",
    "stress_relief",
    "cautions",
    "limits",
)


class Row(msgspec.Struct, frozen=True):
    """One fact."""

    id: str
    "Unique within its table; letters and number as in the project's list of facts."
    about: str
    "What it says, in our words."
    source: str
    "Where it is from; for common practice, what it rests on."
    status: Status
    values: dict[str, Any]
    "The numbers and words of the row, names ending in their unit."

    @property
    def told(self) -> str:
        """Fact, source and status in one line."""
        return f"{self.about} ({self.source}; {self.status})"


@functools.cache
def load(name: str) -> tuple[Row, ...]:
    """Return the rows of one table of `TABLES`, in the order of the file.

    >>> load("processes")[0].id
    '111'
    """
    text = files("pacer.trade").joinpath(f"{name}.toml").read_text("utf-8")
    rows = []
    for raw in tomllib.loads(text)["row"]:
        head = {field: raw.pop(field) for field in ("id", "about", "source", "status")}
        rows.append(msgspec.convert({**head, "values": raw}, Row))
    return tuple(rows)


def row(name: str, row_id: str) -> Row:
    """Return one row; KeyError names the table if there is no such row."""
    for found in load(name):
        if found.id == row_id:
            return found
    raise KeyError(f"no row {row_id} in {name}")
