"""A comparison as text for a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.review.compare.compared import NO_CAUSE, Compared, Single
from pacer.review.compare.grids import grids
from pacer.review.compare.side import Side
from pacer.review.grid import grid_lines
from pacer.review.hanging import hanging
from pacer.review.moments import clock, local
from pacer.text import clean
from pacer.units import Shown

_MOST = 20
"Findings listed with their evidence, of a list."


def compared_lines(compared: Compared, shown: Shown) -> Iterator[str]:
    """Yield the page, line by line."""
    yield title(compared)
    for start, words in said(compared, shown):
        if not start:
            yield ""
        yield from hanging(start, words)
    yield ""
    for grid in grids(compared, shown):
        yield from grid_lines(grid)
    for words in legend(compared):
        yield from hanging("", words)


def title(compared: Compared) -> str:
    """Return what the page is."""
    return f"{len(compared.sides)} recordings side by side, aligned at {compared.aligned}"


def said(compared: Compared, shown: Shown) -> Iterator[tuple[str, str]]:
    """Yield what is said before the tables: of good and failed ones what only the failed have first.

    A start, such as a letter with a time, and the words behind it; a heading has no start.
    """
    for side in compared.sides:
        yield f"{side.letter:<3}", _head(side)
    yield "", NO_CAUSE
    if compared.good_against_failed:
        cracked = ", ".join(side.letter for side in compared.of("cracked"))
        others = ", ".join(side.letter for side in compared.sides if side.became != "cracked")
        none = "" if compared.only_cracked else ": no finding of a kind that the others don't have"
        yield "", f"Only where a crack was found ({cracked}), not in {others}{none}"
        yield from _singles(compared.only_cracked, shown)
    if compared.only_one:
        yield "", "Findings of a kind that only one has"
        yield from _singles(compared.only_one, shown)


def _singles(singles: tuple[Single, ...], shown: Shown) -> Iterator[tuple[str, str]]:
    for side, finding in singles[:_MOST]:
        note = "note: " if finding.weight == "note" else ""
        words = f"{note}{finding.name}: {clean(finding.said(shown))}"
        yield f"{side.letter:<3}{clock(finding.t_s):<9}", words
    if len(singles) > _MOST:
        yield "   ", f"and {len(singles) - _MOST} more; pacer review of one has them all"


def _head(side: Side) -> str:
    reviewed = side.reviewed
    opened, became = reviewed.opened, side.became
    parts = [
        f"{reviewed.name}: {clean(opened.job.title)}",
        f"opened {local(opened.wall, opened.tz)}",
        {"not said": "nobody has said what became of it"}.get(became, became),
        "" if not opened.invented else f"INVENTED DATA: {clean(opened.invented)}",
        "" if not reviewed.lacking else f"DAMAGED: {reviewed.lacking}; figures may lack them",
        "" if reviewed.writer is None else f"being written (process {reviewed.writer})",
    ]
    return "; ".join(part for part in parts if part)


def legend(compared: Compared) -> Iterator[str]:
    """Yield what the cells of the tables mean."""
    if compared.phases:
        yield (
            f"Phases: when first entered, counted from {compared.aligned}, how long in all and in "
            "how many stays."
        )
    if compared.beads:
        yield (
            "Beads: temperature at the start, arc time, peen. Bead numbers count each recording's "
            "own plan: the same number need not be the same place."
        )
