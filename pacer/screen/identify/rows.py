"""Rows of text for the pages of the shop tests."""

from __future__ import annotations

import textwrap

from pacer.screen.widgets.giants import word_blocks
from pacer.screen.widgets.panel import ALERT, BADGE, PLAIN, STRONG, Row, fitted

DOUBT = "doubt"
"""Look of a metal that is doubted, beside its sign and word."""

STOP = "DO NOT WELD"
STOP_ROWS = 5
"""The least height of block letters."""

CONTRADICTION = "▲ CONTRADICTION: these answers can't all be right"

MARK, NO_MARK = "▸", " "

SIGN = {"open": "■", "doubted": "?", "ruled out": "×"}
STATE_LOOK = {"open": STRONG, "doubted": DOUBT, "ruled out": "quiet"}


def paragraph(text: str, width: int, look: str = PLAIN, first: str = " ") -> list[Row]:
    """Return text in as many rows as it needs; `first` stands before the first one."""
    lines = textwrap.wrap(text, max(8, width - len(first) - 1), break_on_hyphens=False) or [""]
    return [
        [(first if at == 0 else " " * len(first), look), (line, look)]
        for at, line in enumerate(lines)
    ]


def heading(text: str, width: int) -> Row:
    """Return the head of a part of a page."""
    return [(f" {fitted(text, width - 2)}", STRONG)]


def across(text: str, width: int, look: str) -> Row:
    """Return a band over the whole width, the text in its middle."""
    return [(fitted(text, width - 2).center(width), look)]


def stop_band(why: str, width: int, height: int) -> list[Row]:
    """Return DO NOT WELD as large as fits, and why; at least one row."""
    if height < STOP_ROWS + 1:
        return [across(f"▞▞ {STOP}: {why} ▞▞", width, ALERT)]
    drawn = word_blocks(STOP, width - 2, STOP_ROWS)
    wide = max(map(len, drawn))
    letters: list[Row] = [[(line.ljust(wide).center(width), STRONG)] for line in drawn]
    return [*letters, across(f"▞▞ {why} ▞▞", width, ALERT)]


def button(key: str, word: str) -> Row:
    """Return a key and what it does."""
    return [(f" {key} ", BADGE), (f" {word}", PLAIN)]
