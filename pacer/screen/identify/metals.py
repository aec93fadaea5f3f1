"""How the metals stand: a row each, and what one of them has for and against it."""

from __future__ import annotations

from rich.cells import cell_len

from pacer.screen.identify.rows import MARK, NO_MARK, SIGN, STATE_LOOK, heading, paragraph
from pacer.screen.identify.view import IdentifyView, MetalRow
from pacer.screen.widgets.panel import PLAIN, QUIET, STRONG, Row, fitted

MOVED = "←"
_METAL, _STATE = len("malleable iron"), len("ruled out")
_IN_WORDS = 60
"""Columns from which the counts are told in words, and the tests by name."""
_NEWS = 3


def metal_rows(view: IdentifyView, width: int, *, marked: bool = False) -> list[Row]:
    """Return what the last press did, and a row a metal; `marked`: with the mark of one."""
    news = paragraph(view.news, width, QUIET)
    if width < _IN_WORDS:
        # Always as high, so that the metals stay where they are.
        news = [*news, [], []][:_NEWS]
    else:
        news = [[(f" {fitted(view.news, width - 2)}", QUIET)]]
    return [*news, *(_metal(row, width, marked and row.marked) for row in view.metals)]


def _metal(row: MetalRow, width: int, marked: bool) -> Row:
    look = STATE_LOOK[row.state]
    head: Row = [
        (MARK if marked else NO_MARK, STRONG),
        (f"{SIGN[row.state]} {row.metal:<{_METAL}} ", look),
        (f"{row.state:<{_STATE}} ", look),
        (f"{MOVED if row.moved else ' '} ", STRONG),
    ]
    pro, contra = len(row.tests_for), len(row.tests_against)
    if width < _IN_WORDS:
        return [*head, (f"+{pro} -{contra}", PLAIN)]
    names = "".join(
        [*(f" +{name}" for name in row.tests_for), *(f" -{name}" for name in row.tests_against)]
    )
    head.append((f"for {pro} against {contra}", PLAIN))
    room = width - sum(cell_len(text) for text, _ in head) - 1
    return [*head, (f" {fitted(names, room)}", QUIET)]


def evidence_rows(view: IdentifyView, width: int) -> list[Row]:
    """Return what the marked metal has for and against it, with sources and how far seen."""
    metal = next(row for row in view.metals if row.marked)
    rows = [heading(f"{SIGN[metal.state]} {metal.metal}: {metal.state}", width)]
    if not metal.evidence:
        return [*rows, *paragraph("Nothing for it, nothing against it yet.", width)]
    for sign, word, speaks_for in (("+", "for it", True), ("-", "against it", False)):
        found = [row for row in metal.evidence if row.speaks_for == speaks_for]
        if not found:
            continue
        rows.append([(f" {word}:", PLAIN)])
        for row in found:
            rows += paragraph(row.said, width, STRONG, f" {sign} ")
            rows += paragraph(row.source, width, QUIET, "   ")
    return rows
