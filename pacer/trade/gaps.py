"""Where the facts end: sources that disagree, and what nobody saw.

The sides of a disagreement are shown as they were found, never their middle.
"""

from __future__ import annotations

import functools
import tomllib
from importlib.resources import files
from typing import Literal

import msgspec

from pacer.trade.rows import Row, Status, seen


class Side(msgspec.Struct, frozen=True):
    """What one source says."""

    says: str
    source: str
    status: Status
    confidence: Literal["", "high", "medium", "low"] = ""
    "Of a memory."

    @property
    def told(self) -> str:
        """What it says, source and status in one line."""
        return f"{self.says} ({self.source}; {self.seen})"

    @property
    def seen(self) -> str:
        """The status, with how sure a memory is."""
        return seen(self.status, self.confidence)


def sides(found: Row) -> tuple[Side, ...]:
    """Return the sides of a row of the table `disagreements`.

    >>> from pacer.trade.rows import row
    >>> [side.says for side in sides(row("disagreements", "D08"))]
    ['1.0', '0.95']
    """
    return msgspec.convert(found.values["sides"], tuple[Side, ...])


def means(found: Row) -> str:
    """Return what follows from a disagreement for whoever decides."""
    return str(found.values["means"])


@functools.cache
def not_seen() -> tuple[str, ...]:
    """Return the documents and figures that nobody saw, each in a phrase."""
    text = files("pacer.trade").joinpath("not_seen.toml").read_text("utf-8")
    return tuple(tomllib.loads(text)["not_seen"])
