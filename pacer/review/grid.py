"""`Grid`: a small table of texts, and how it fits a terminal of 80 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from itertools import zip_longest
from typing import NamedTuple

from pacer.job.columns import WIDTH

_ACROSS = 3
"Recordings side by side; of more the table goes on below."
_LABEL = 26
_GAP = 2
_GLUE = "\x1f"


class Grid(NamedTuple):
    """Rows of a label and a cell a recording; for a terminal, or for a page."""

    title: str
    letters: tuple[str, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]


def grid_lines(grid: Grid) -> Iterator[str]:
    """Yield the table, line by line, three recordings at a time."""
    for first in range(0, len(grid.letters), _ACROSS):
        part = slice(first, first + _ACROSS)
        rows = [(label, cells[part]) for label, cells in grid.rows]
        yield from _block(grid.title, grid.letters[part], rows)
        yield ""


def _block(
    title: str, letters: tuple[str, ...], rows: list[tuple[str, tuple[str, ...]]]
) -> Iterator[str]:
    label = min(_LABEL, max(len(text) for text in (title, *(label for label, _ in rows))))
    cell = (WIDTH - label - _GAP * len(letters)) // len(letters)
    widths = (label, *([cell] * len(letters)))
    yield from _row((title, *letters), widths)
    for name, cells in rows:
        yield from _row((name, *cells), widths)


def _row(texts: tuple[str, ...], widths: tuple[int, ...]) -> Iterator[str]:
    columns = [_wrapped(text, width) for text, width in zip(texts, widths, strict=True)]
    for parts in zip_longest(*columns, fillvalue=""):
        padded = (f"{part:<{width}}" for part, width in zip(parts, widths, strict=True))
        yield (" " * _GAP).join(padded).rstrip()


def _wrapped(text: str, width: int) -> list[str]:
    # A number stays with its unit; a word longer than its column is broken, not run over.
    glued = text.replace(" °", f"{_GLUE}°")
    return [line.replace(_GLUE, " ") for line in textwrap.wrap(glued, width)]
