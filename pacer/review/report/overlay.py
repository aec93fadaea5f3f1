"""Several recordings on one chart and one page, aligned at a moment of each.

For the caller: `several(heading, said, sides, grids, shown, aligned, legend)`. A `Side` is a
recording's letter, its name, its `Series` and the session time at which it is
aligned. `grids` are the tables of a comparison (`review/grid.py`); `overlay` is the
chart alone. Curves differ by their dashes and have their letter by their end.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import NamedTuple

from pacer.job.sheet.forms import frame
from pacer.review.grid import Grid
from pacer.review.report.chart import ink
from pacer.review.report.chart.envelope import Point, extremes
from pacer.review.report.chart.plot import Plot, Size, Window, sized, window
from pacer.review.report.chart.scale import hours
from pacer.review.report.markup import paragraph, safe, section, span, table, timed
from pacer.review.report.page import COMMAND
from pacer.review.report.series import Series
from pacer.review.report.style import STYLE
from pacer.text import clean
from pacer.units import Shown

LOOKS = 6
"So many dashes are told apart; from there on they come again, and the letters tell."

_PARTS = 30
_KEPT = 0.97
"""A cool-down of days would press the welding of another recording into a line: shown is what
holds so much of the rise and fall."""


class Side(NamedTuple):
    """One recording of an overlay."""

    letter: str
    name: str
    series: Series
    zero_s: float
    "Session time that is 0 on the chart."

    def points(self) -> list[Point]:
        """Return its curve in times from the moment it is aligned at."""
        return [p._replace(t_s=p.t_s - self.zero_s) for p in self.series.believed]


def several(
    heading: str,
    said: Iterable[tuple[str, str]],
    sides: Sequence[Side],
    grids: Iterable[Grid],
    shown: Shown,
    aligned: str,
    legend: Iterable[str] = (),
) -> str:
    """Return a page of several recordings: what is said of them, the chart, the tables.

    Of `said` a pair with a start, such as a letter with a time, is a row; words without one are
    a heading where rows follow, else a paragraph. `aligned` is in words what the times count
    from, such as `preheat`; `legend` stands below the tables and says what their cells mean.
    """
    figure = overlay(sides, shown, aligned)
    notes = "".join(paragraph(text, "quiet") for text in legend)
    body = "\n".join(
        [
            f"<header><h1>{safe(heading)}</h1></header>\n<main>",
            *_said(said),
            section("chart", "Side by side", figure),
            section("tables", "In figures", *(_grid(grid) for grid in grids), notes),
            section("chart-table", "The chart as a table", overlay_table(sides, shown, aligned)),
            "</main>",
        ]
    )
    return frame.document(clean(heading), COMMAND, STYLE, body)


def _said(told: Iterable[tuple[str, str]]) -> Iterator[str]:
    blocks = [
        (rows, list(block)) for rows, block in groupby(told, lambda one: bool(one[0].strip()))
    ]
    for at, (rows, block) in enumerate(blocks):
        words = [text for _, text in block]
        if rows:
            yield timed((start.strip(), text) for start, text in block)
        elif at + 1 < len(blocks):
            yield from map(paragraph, words[:-1])
            yield f"<h2>{safe(words[-1])}</h2>"
        else:
            yield from map(paragraph, words)


def overlay(sides: Sequence[Side], shown: Shown, aligned: str) -> str:
    """Return the chart of several recordings as a figure, or nothing without a reading."""
    curves = [side.points() for side in sides]
    if not any(curves):
        return ""
    seen = _window(curves)
    words = f"{len(sides)} recordings, times from {aligned} of each. {_ends(sides, curves, shown)}"

    def drawn(size: Size) -> str:
        plot = Plot(size, seen, shown, top=1.9 * size.letter, high=340.0)
        plot.axes()
        zero = plot.x_of(0.0)
        plot.add(ink.line("at", zero, plot.top, zero, plot.bottom))
        for number, points in enumerate(curves):
            inside = [p for p in points if seen.from_s <= p.t_s <= seen.to_s]
            plot.curve(f"many{number % LOOKS}", inside)
        _letters(plot, sides, curves)
        plot.frame()
        return plot.svg("overlay", "The recordings on one chart", words)

    caption = f"The temperature that decides, in each recording; h:mm from {aligned}. " + "; ".join(
        f"{side.letter}: {side.name}" for side in sides
    )
    drawings = "".join(sized(drawn))
    return f"<figure>{drawings}<figcaption>{safe(caption)}</figcaption></figure>"


def overlay_table(sides: Sequence[Side], shown: Shown, aligned: str) -> str:
    """Return the chart as a table: of each equal part of the time the coldest and the hottest."""
    curves = [side.points() for side in sides]
    if not any(curves):
        return ""
    return table(
        f"Coldest and hottest of each part, times from {aligned}",
        ("from", *(side.letter for side in sides)),
        _rows(curves, _window(curves), shown),
        right=range(len(sides) + 1),
    )


def _rows(
    curves: Sequence[Sequence[Point]], seen: Window, shown: Shown
) -> Iterator[tuple[str, ...]]:
    step_s = (seen.to_s - seen.from_s) / _PARTS
    for part in range(_PARTS):
        from_s, to_s = seen.from_s + part * step_s, seen.from_s + (part + 1) * step_s
        cells = []
        for points in curves:
            found = extremes(p for p in points if from_s <= p.t_s < to_s)
            cells.append("-" if found is None else span(found[0].temp_c, found[1].temp_c, shown))
        yield (hours(round(from_s)), *cells)


def _window(curves: Sequence[Sequence[Point]]) -> Window:
    known = [points for points in curves if points]
    from_s = min(points[0].t_s for points in known)
    to_s = max(map(_told_s, known))
    inside = [[p for p in points if p.t_s <= to_s] for points in known]
    return window(inside, from_s, to_s)


def _told_s(points: Sequence[Point]) -> float:
    """Return until when a curve has something to tell: what follows is the tail of its cooling."""
    found = extremes(points)
    assert found is not None
    low_c, high_c = found[0].temp_c, found[1].temp_c
    edge_c = high_c - _KEPT * (high_c - low_c)
    return max(p.t_s for p in points if p.temp_c >= edge_c)


def _letters(plot: Plot, sides: Sequence[Side], curves: Sequence[Sequence[Point]]) -> None:
    """Write each letter by its curve, as near to its end as there is room on no other curve."""
    for side, points in zip(sides, curves, strict=True):
        seen = [p for p in points if plot.meets(p.t_s, p.t_s)]
        if not plot.word(side.letter, _along(plot, seen, side.letter)) and seen:
            x, y = plot.x_of(seen[-1].t_s), plot.y_of(seen[-1].temp_c)
            plot.add(ink.text("limit", x - 2, y - 0.8 * plot.size.letter, side.letter, "end"))


def _along(plot: Plot, points: Sequence[Point], letter: str) -> Iterator[tuple[float, float]]:
    """Yield places behind a curve's end, then above and below it on the way back."""
    size, last_x = plot.size.letter, math.inf
    wide = ink.wide(letter, size)
    for point in reversed(points):
        x, y = plot.x_of(point.t_s), plot.y_of(point.temp_c)
        if last_x == math.inf:
            yield x + 4, y
        if last_x - x >= 0.5 * size:
            last_x = x
            for off in (-0.85 * size, 0.85 * size):
                yield x - wide / 2.0, y + off


def _ends(sides: Sequence[Side], curves: Sequence[Sequence[Point]], shown: Shown) -> str:
    parts = []
    for side, points in zip(sides, curves, strict=True):
        found = extremes(points)
        if found is not None:
            parts.append(f"{side.letter}: {span(found[0].temp_c, found[1].temp_c, shown)}")
    return "; ".join(parts) + "."


def _grid(grid: Grid) -> str:
    rows = ((label, *cells) for label, cells in grid.rows)
    return f'<div class="even">{table(grid.title, ("what", *grid.letters), rows)}</div>'
