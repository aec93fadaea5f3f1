"""The trend: temperature over time in braille dots, limits dotted in, gaps left empty.

Braille cells hold 2 x 4 dots; bit values are Unicode's (block U+2800).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable

from pacer.screen.parts.scale import Trend
from pacer.screen.view import View
from pacer.screen.widgets.panel import PLAIN, QUIET, STRONG, Panel, Row, fitted

DOTS = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))
_LEAST_SPAN_C = 20.0
GUTTER = 12

Dot = tuple[int, int]
"""Column and row of dots, from the top left."""


class TrendPlot(Panel):
    """The last minutes, with floor and ceiling."""

    def part(self, view: View) -> object:
        """Points, limits and how it moves."""
        return view.trend, view.rate

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint the plot and, where there is room, its caption below."""
        said = (view.trend.span, view.rate)
        caption = ", ".join(part for part in (said[::-1] if view.trend.ahead else said) if part)
        rows = plot(view.trend, width, max(1, height - 1))
        return [*rows, [(fitted(caption, width).rjust(width), QUIET)]][:height]


def bounds_c(trend: Trend) -> tuple[float, float]:
    """Return the lowest and highest temperature drawn, °C."""
    temps = [c for _, c in trend.points if c is not None] + [m.temp_c for m in trend.lines]
    return spaced_c(temps)


def spaced_c(temps: Iterable[float]) -> tuple[float, float]:
    """Return the lowest and highest of all, °C, with some room around them."""
    temps = list(temps)
    low, high = min(temps, default=0.0), max(temps, default=0.0)
    spare = max(_LEAST_SPAN_C - (high - low), 0.06 * (high - low)) / 2
    return low - spare, high + spare


def plot(trend: Trend, width: int, height: int) -> list[Row]:
    """Return rows of a gutter with the limits' names and braille cells."""
    columns = width - GUTTER
    if columns < 4:
        return []
    dots_x, dots_y = columns * 2, height * 4
    low_c, high_c = bounds_c(trend)

    def row_of(temp_c: float) -> int:
        return round((high_c - temp_c) / (high_c - low_c) * (dots_y - 1))

    def place(t_s: float, temp_c: float) -> Dot:
        return _column(trend, t_s, dots_x), row_of(temp_c)

    limits = [[0] * columns for _ in range(height)]
    names = [""] * height
    for mark in trend.lines:
        y = row_of(mark.temp_c)
        names[y // 4] = f"{mark.name} {mark.shown.split(' ')[0]}"
        for x in range(0, dots_x, 3):
            limits[y // 4][x // 2] |= DOTS[x % 2][y % 4]
    curve = [[0] * columns for _ in range(height)]
    for x, y in path(trend.points, place):
        curve[y // 4][x // 2] |= DOTS[x % 2][y % 4]
    for t_s, temp_c in trend.ahead:
        x, y = _column(trend, t_s, dots_x), min(max(row_of(temp_c), 0), dots_y - 1)
        curve[y // 4][x // 2] |= DOTS[x % 2][y % 4]
    return [
        [(f"{name:>{GUTTER - 1}} ", PLAIN), *_cells(limits[at], curve[at])]
        for at, name in enumerate(names)
    ]


def path(
    points: Iterable[tuple[float, float | None]], place: Callable[[float, float], Dot]
) -> list[Dot]:
    """Return the dots of a curve, joined where nothing is missing between two points.

    `place` says which dot a time, s, and a temperature, °C, are.
    """
    dots: list[Dot] = []
    last: Dot | None = None
    for t_s, temp_c in points:
        if temp_c is None or not math.isfinite(temp_c):
            last = None
            continue
        here = place(t_s, temp_c)
        if last is not None:
            dots += _between(last, here)
        dots.append(here)
        last = here
    return dots


def _column(trend: Trend, t_s: float, dots_x: int) -> int:
    """Return the column of dots of a time."""
    share = (t_s - trend.from_s) / max(trend.to_s - trend.from_s, 1.0)
    return min(dots_x - 1, max(0, int(share * (dots_x - 1))))


def _between(a: Dot, b: Dot) -> list[Dot]:
    steps = max(abs(b[0] - a[0]), abs(b[1] - a[1]))
    return [
        (
            a[0] + round((b[0] - a[0]) * step / steps),
            a[1] + round((b[1] - a[1]) * step / steps),
        )
        for step in range(1, steps)
    ]


def _cells(limits: list[int], curve: list[int]) -> Row:
    """Return one row's braille; neighbours of one look are one piece, which draws faster."""
    row: Row = []
    for limit, dots in zip(limits, curve, strict=True):
        cell, look = chr(0x2800 + (limit | dots)), STRONG if dots else QUIET
        if row and row[-1][1] == look:
            row[-1] = (row[-1][0] + cell, look)
        else:
            row.append((cell, look))
    return row
