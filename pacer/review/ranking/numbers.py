"""What the ISO 6520-1 number of an imperfection says: whether it is a crack, and where."""

from __future__ import annotations

from typing import Literal, NamedTuple

from pacer.session.events import FoundAt, FoundWhere

Runs = Literal["along", "across"]
"""Which way a crack runs, seen along the weld."""

_PLACED = ("101", "102", "103", "105", "106")
"""Families of cracks of which a fourth digit says the place (of the last two: from memory)."""

_WHERE: dict[str, FoundWhere] = {
    "1": "weld",
    "2": "boundary",
    "3": "heat-affected zone",
    "4": "iron away from the weld",
}
_RUNS: dict[str, Runs] = {"101": "along", "102": "across", "1045": "along", "1046": "across"}


class Numbered(NamedTuple):
    """What a crack's number says of it; None is what it doesn't say."""

    where: FoundWhere | None = None
    at: FoundAt | None = None
    runs: Runs | None = None


def crack_of(number: int) -> Numbered | None:
    """Return what a number says of a crack; None: it names no crack.

    Cracks are group 1 of the standard. Pipes and cavities of a crater, 2024 and 2025, are none.

    >>> crack_of(1012)
    Numbered(where='boundary', at=None, runs='along')
    """
    digits = str(number)
    if not digits.startswith("1") or len(digits) not in {3, 4}:
        return None
    family = digits[:3]
    if family == "104":
        return Numbered("weld", "crater", _RUNS.get(digits))
    where = _WHERE.get(digits[3:]) if family in _PLACED else None
    return Numbered(where, None, _RUNS.get(family))
