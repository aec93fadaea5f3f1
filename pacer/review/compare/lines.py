"""A comparison as text for a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.review.compare.compared import NO_CAUSE, Compared, Single
from pacer.review.compare.grids import grids
from pacer.review.compare.side import Side
from pacer.review.grid import Grid, grid_lines
from pacer.review.moments import clock, local
from pacer.review.text.hanging import hanging
from pacer.text import clean
from pacer.units import Shown

_MOST = 20
"Findings listed with their evidence, of a list."

_LEFT_OUT = "Rows that are alike in all recordings are left out here; --html and --json have them."


def compared_lines(compared: Compared, shown: Shown) -> Iterator[str]:
    """Yield the page, line by line."""
    yield title(compared)
    for start, words in said(compared, shown):
        if not start:
            yield ""
        yield from hanging(start, words)
    yield ""
    for grid in grids(compared, shown):
        yield from _apart(grid)
    for words in (*legend(compared), _LEFT_OUT):
        yield from hanging("", words)


def _apart(grid: Grid) -> Iterator[str]:
    """Yield a table without the rows that are alike in all, and how many those are."""
    rows = tuple((label, cells) for label, cells in grid.rows if len(set(cells)) > 1)
    alike = len(grid.rows) - len(rows)
    told = f"{alike} of {len(grid.rows)} alike" if rows else f"all {alike} alike"
    if rows:
        *lines, _ = grid_lines(grid._replace(rows=rows))
        yield from lines
    if alike:
        yield from hanging("", f"({told})" if rows else f"{grid.title}: {told}")
    yield ""


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
        cracked = ", ".join(side.letter for side in compared.cracked)
        others = ", ".join(side.letter for side in compared.others)
        none = "" if compared.only_cracked else ": no finding of a kind that the others don't have"
        later = compared.after_crack
        left = f"; left out: {later} that began after the crack" if later else ""
        yield "", f"Only where a crack was found ({cracked}), not in {others}{none}{left}"
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
    opened = reviewed.opened
    parts = [
        f"{reviewed.name}: {clean(opened.job.title)}",
        f"opened {local(opened.wall, opened.tz)}",
        f"what became of it: {side.became_words}",
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
            "how many stays; coldest to hottest."
        )
    if compared.beads:
        yield (
            "Beads: temperature at the start, arc time, peen. Bead numbers count each recording's "
            "own plan: the same number need not be the same place."
        )
