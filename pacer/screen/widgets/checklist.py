"""The list of the preparation, on as few pages as the panel has room for.

Where all of it fits it is one page; else each part has pages of its own. A line is wrapped,
never cut: what is confirmed can be read whole.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable, Sequence
from itertools import chain
from typing import NamedTuple

from rich.cells import cell_len

from pacer.screen.parts.preparation import Preparation
from pacer.screen.parts.temperature import DASHES
from pacer.screen.view import View
from pacer.screen.widgets.panel import (
    ALERT,
    PLAIN,
    QUIET,
    STRONG,
    Panel,
    Row,
    beside,
    fitted,
    wrapped,
)

LEAST_COLUMN = 38
"Cells below which most lines take three rows. Judgement."

LEAST_HEIGHT = 6
"Rows below which pages would be turned more than read. Judgement."

_BEFORE = 4
"Cells before a line: margin, choice, mark and a blank; the next column begins with two blanks."

Parts = tuple[tuple[str, tuple[str, ...]], ...]


class Block(NamedTuple):
    """A line or a heading of the list, wrapped."""

    number: int | None
    "Of the line; None: a heading."
    rows: tuple[str, ...]


class Page(NamedTuple):
    """What is seen at once."""

    heading: str
    "Across the page; empty where the columns hold their own."
    columns: tuple[tuple[Block, ...], ...]

    @property
    def lines(self) -> tuple[int, ...]:
        """The numbers of its lines."""
        return tuple(
            number for column in self.columns for number, _ in column if number is not None
        )


class Checklist(Panel):
    """The page of the list that is shown."""

    DEFAULT_CSS = "Checklist { height: 6; }"

    def part(self, view: View) -> object:
        """The list."""
        return view.preparation

    @property
    def pages(self) -> tuple[Page, ...]:
        """All pages for the size that the panel has now."""
        if self.seen is None or self.seen.preparation is None:
            return ()
        return pages(self.seen.preparation.parts, *self.size)

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint the columns of the page."""
        here = view.preparation
        found = pages(here.parts, width, height) if here is not None else ()
        if here is None or not found:
            return []
        at = here.page % len(found)
        page = found[at]
        across = width // len(page.columns)
        rows: list[Row] = []
        for column in reversed(page.columns):
            rows = beside(_column(column, here), rows, across)
        if page.heading:
            said = f"page {at + 1} of {len(found)}  ←→ "
            head = f" {page.heading}"
            rows = [[(head, STRONG), (said.rjust(width - cell_len(head)), QUIET)], *rows]
        return rows[:height]


class NowLine(Panel):
    """The temperature and the sensor in one row, where the list has the rows of the giants."""

    def part(self, view: View) -> object:
        """Both."""
        return view.temp, view.sensor

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint the digits and what they mean; what isn't sure is grey, as in giant digits."""
        temp = view.temp
        digits = temp.digits if temp.digits == DASHES else f"{temp.digits} {temp.unit}"
        look = ALERT if temp.standing in {"below", "over", "unknown"} else PLAIN
        room = width - cell_len(digits) - 4
        means = fitted(" · ".join(part for part in (temp.age, temp.place) if part), room)
        row: Row = [(f" {digits} ", STRONG if temp.sure else QUIET), (f" {means} ", look)]
        room -= cell_len(means) + 2
        return [[*row, (f"  {fitted(view.sensor, room - 1)}" if room > 12 else "", QUIET)]]


def _column(column: Iterable[Block], here: Preparation) -> list[Row]:
    rows: list[Row] = []
    for number, texts in column:
        if number is None:
            rows += [[(f" {text}", STRONG)] for text in texts]
            continue
        lacks, chosen = number in here.missing, number == here.at
        look = ALERT if lacks else STRONG if chosen else PLAIN
        for at, text in enumerate(texts):
            sign = ("×" if lacks else "·") if at == 0 else " "
            choice = " ▸" if chosen and at == 0 else "  "
            rows.append([(choice, STRONG), (f"{sign} {text}", look)])
    return rows


@functools.lru_cache(maxsize=8)
def pages(parts: Parts, width: int, height: int) -> tuple[Page, ...]:
    """Return the parts laid out in columns of `height` rows; nothing where there is no room.

    On one page if that can be, a column a part rather than one after the other, in as few
    columns as that takes.
    """
    if height < LEAST_HEIGHT or width < LEAST_COLUMN:
        return ()
    counts = range(1, width // LEAST_COLUMN + 1)
    numbered = _numbered(parts)
    for apart in (True, False):
        for count in counts:
            laid = [
                _wrapped([(None, heading), *lines], width // count) for heading, lines in numbered
            ]
            columns = _flowed(laid if apart else [[*chain(*laid)]], height)
            if len(columns) <= count:
                return (Page("", columns),)
    return tuple(
        page
        for heading, lines in numbered
        for page in min(
            (
                _paged(heading, _wrapped(lines, width // count), height - 1, count)
                for count in counts
            ),
            key=len,
        )
    )


def page_of(found: Sequence[Page], line: int) -> int:
    """Return the page that a line is on."""
    return next(at for at, page in enumerate(found) if line in page.lines)


def _numbered(parts: Parts) -> list[tuple[str, list[tuple[int | None, str]]]]:
    found: list[tuple[str, list[tuple[int | None, str]]]] = []
    first = 0
    for heading, lines in parts:
        found.append((heading, list(enumerate(lines, first))))
        first += len(lines)
    return found


def _wrapped(lines: Iterable[tuple[int | None, str]], width: int) -> list[Block]:
    return [Block(number, tuple(wrapped(text, width - _BEFORE, 3))) for number, text in lines]


def _paged(heading: str, blocks: list[Block], height: int, count: int) -> tuple[Page, ...]:
    columns = _flowed([blocks], height)
    return tuple(Page(heading, columns[at : at + count]) for at in range(0, len(columns), count))


def _flowed(parts: Iterable[list[Block]], height: int) -> tuple[tuple[Block, ...], ...]:
    """Return the blocks in columns, each part beginning a new one; none ends with a heading."""
    columns: list[list[Block]] = []
    for part in parts:
        columns.append([])
        used = 0
        for at, block in enumerate(part):
            after = part[at + 1].rows if block.number is None and at + 1 < len(part) else ()
            if used and used + len(block.rows) + len(after) > height:
                columns.append([])
                used = 0
            columns[-1].append(block)
            used += len(block.rows)
    return tuple(map(tuple, columns))
