"""How much of the bench card's sheet its lines leave for the map, roughly.

What font a printer has is not known. Letters are taken as wide as those of a wide sans-serif
face: the map comes out rather small than on a second sheet.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from typing import NamedTuple

_HIGH_MM, _WIDE_MM = 279.4 - 2 * 12.0, 186.0
"Within the page's margins; Letter is the shorter of the two papers."
_POINT_MM = 25.4 / 72.0
_PLAIN, _BOLD = 0.54, 0.63
"Mean width of a letter by its height."
_FIGURES_MM = 34.0
"The frame with the band in figures, and what is round it."
_ROUND_IT_MM = 5.0
_LEAST_MM = 26.0
"A map smaller than that is read by nobody."
_BESIDE_MM = _WIDE_MM - 6.0 - 70.0
"A map so wide has its words beside it, by the page's style; a wider one below it."


class Row(NamedTuple):
    """A line of the card's table."""

    label: str
    value: str
    source: str


def map_mm(left_mm: float, words: Iterable[str], wide_to_high: float) -> float:
    """Return how high the map may be, mm, where the card's lines leave so much of the sheet.

    The map's words lie beside it where it is narrow, below it where it is wide.
    """
    below_mm = left_mm - sum(1.6 + _lines_mm(text, 9.5) for text in words)
    return max(_LEAST_MM, below_mm, min(left_mm, _BESIDE_MM / wide_to_high))


def left_mm(title: str, texts: Iterable[str], framed: str, rows: Iterable[Row]) -> float:
    """Return how much of the sheet's height is left, mm; sizes are those of the page's style."""
    high_mm = _FIGURES_MM + min(2 * 20.0 * _POINT_MM, _lines_mm(title, 20.0, bold=True, line=1.1))
    high_mm += sum(1.6 + _lines_mm(text, 9.5) for text in texts)
    if framed:
        high_mm += 5.6 + _lines_mm(framed, 14.0, _WIDE_MM - 6.0, bold=True)
    for row in rows:
        high_mm += 1.0 + max(
            _lines_mm(row.label, 14.0, 0.19 * _WIDE_MM - 1.5, line=1.15),
            _lines_mm(row.value, 16.0, 0.44 * _WIDE_MM - 1.5, bold=True, line=1.15),
            _lines_mm(row.source, 8.5, 0.37 * _WIDE_MM - 1.5, line=1.15),
        )
    return _HIGH_MM - _ROUND_IT_MM - high_mm


def _lines_mm(
    text: str, size_pt: float, wide_mm: float = _WIDE_MM, *, bold: bool = False, line: float = 1.3
) -> float:
    """Return how high a text comes out, broken at its blanks."""
    size_mm = size_pt * _POINT_MM
    across = max(1, int(wide_mm / (size_mm * (_BOLD if bold else _PLAIN))))
    return max(1, len(textwrap.wrap(text, across))) * size_mm * line
