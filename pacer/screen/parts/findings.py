"""The findings of a replayed recording as a list to choose from: what was measured, no verdict."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pacer.session.finding import Finding
from pacer.text import clean
from pacer.trade.rows import load
from pacer.units import Shown


@dataclass(frozen=True, slots=True)
class Row:
    """One finding, in words."""

    t_s: float
    number: str
    "As on the page of the review; of a note nothing."
    name: str
    note: bool
    evidence: str
    more: tuple[tuple[str, str], ...]
    "(label, words): the limit, how far past it, what it usually leads to, what speaks against it."


@dataclass(frozen=True, slots=True)
class FindingList:
    """The list while it is on the screen."""

    rows: tuple[Row, ...]
    at: int = 0
    "The chosen one."


def begin(findings: Sequence[Finding], t_s: float, shown: Shown) -> FindingList:
    """Return the list of a recording, the most telling first, that one chosen.

    At session time `t_s` the one that has just begun there is chosen instead.
    """
    leads = {fact.id: fact.about for fact in load("findings")}
    rows = tuple(
        _row(found, number, leads.get(found.name, ""), shown)
        for number, found in enumerate(findings, 1)
    )
    here = [at for at, row in enumerate(rows) if 0.0 <= t_s - row.t_s < 1.0]
    return FindingList(rows, here[0] if here else 0)


def moved(listed: FindingList, by: int) -> FindingList:
    """Return the list with another one chosen, none beyond its ends."""
    return replace(listed, at=min(max(listed.at + by, 0), len(listed.rows) - 1))


def _row(found: Finding, number: int, leads: str, shown: Shown) -> Row:
    more = (
        ("limit", found.said_limit(shown)),
        ("how far", found.how_far(shown)),
        ("usually", leads),
        *(("against", text) for text in found.said_against(shown)),
    )
    return Row(
        t_s=found.t_s,
        number="" if found.weight == "note" else f"{number}.",
        name=found.name,
        note=found.weight == "note",
        evidence=clean(found.said(shown)),
        more=tuple((label, clean(text)) for label, text in more if text),
    )
