"""Both curves on one axis: A as a thin line of braille dots, B as a bar of half blocks.

They differ in shape, not only in colour. Where both are in one cell the bar hides the
line: they part where the line comes out of the bar.
"""

from __future__ import annotations

from pacer.screen.pair.desk import Points
from pacer.screen.pair.lane import signs
from pacer.screen.pair.view import Axis, LaneView, Plot
from pacer.screen.parts.scale import Mark
from pacer.screen.widgets.panel import BADGE, PLAIN, QUIET, STRONG, Row
from pacer.screen.widgets.trend import DOTS, Dot, path, spaced_c

OTHER = "other"
"""The look of what is B's."""

LINE, BAR = "⠒⠒⠒", "▀▀▀"
"""A's and B's curve, for the legend."""

GUTTER = 15
"""For the longest name of a limit: B preheat 1100."""

_STEPS_S = (60, 120, 300, 600, 1200, 1800, 3600, 7200, 14400, 21600, 43200, 86400, 604800)
_APART = 10
"""Columns between two times on the axis at least."""

_HALVES = {1: "▀", 2: "▄", 3: "█"}


def plot_rows(plot: Plot, width: int, height: int) -> list[Row]:
    """Return rows of the limits' names and both curves; too narrow a plot has none."""
    columns = width - GUTTER
    if columns < _APART or height < 1:
        return []
    axis = plot.axis
    temps = [temp_c for points in plot.curves for _, temp_c in points if temp_c is not None]
    bounds_c = spaced_c([*temps, *(mark.temp_c for mark in plot.limits)])
    names, lines = _limits(plot.limits, bounds_c, columns, height)
    for x, y in _dots(plot.curves[0], axis, bounds_c, (columns * 2, height * 4)):
        lines[1][y // 4][x // 2] |= DOTS[x % 2][y % 4]
    bars = [[0] * columns for _ in range(height)]
    for x, y in _dots(plot.curves[1], axis, bounds_c, (columns, height * 2)):
        bars[y // 2][x] |= 1 << (y % 2)
    at = column_of(axis, columns)
    return [
        [(f"{names[y]:>{GUTTER - 1}} ", PLAIN)]
        + [_cell(lines[0][y][x], lines[1][y][x], bars[y][x], x == at) for x in range(columns)]
        for y in range(height)
    ]


def column_of(axis: Axis, columns: int) -> int:
    """Return the column of the present moment."""
    share = (axis.now_s - axis.from_s) / max(axis.to_s - axis.from_s, 1.0)
    return min(columns - 1, max(0, round(share * (columns - 1))))


def _limits(
    limits: tuple[Mark, ...], bounds_c: tuple[float, float], columns: int, height: int
) -> tuple[list[str], tuple[list[list[int]], list[list[int]]]]:
    """Return a name for each row, the limits' dots, and room for the line's."""
    names = [""] * height
    dotted, line = ([[0] * columns for _ in range(height)] for _ in range(2))
    for mark in limits:
        y = _row(mark.temp_c, bounds_c, height * 4)
        names[y // 4] = f"{mark.name} {mark.shown.split(' ')[0]}"
        for x in range(0, columns * 2, 3):
            dotted[y // 4][x // 2] |= DOTS[x % 2][y % 4]
    return names, (dotted, line)


def _row(temp_c: float, bounds_c: tuple[float, float], dots_y: int) -> int:
    low_c, high_c = bounds_c
    return round((high_c - temp_c) / (high_c - low_c) * (dots_y - 1))


def _dots(
    points: Points, axis: Axis, bounds_c: tuple[float, float], dots: tuple[int, int]
) -> list[Dot]:
    """Return a curve's dots on the plot; points beside it only lead the curve to its edge."""
    dots_x, dots_y = dots
    span_s = max(axis.to_s - axis.from_s, 1.0)

    def place(t_s: float, temp_c: float) -> Dot:
        return (
            round((t_s - axis.from_s) / span_s * (dots_x - 1)),
            _row(temp_c, bounds_c, dots_y),
        )

    return [(x, y) for x, y in path(points, place) if 0 <= x < dots_x]


def _cell(limit: int, line: int, bar: int, present: bool) -> tuple[str, str]:
    if bar:
        return _HALVES[bar], OTHER
    if line:
        return chr(0x2800 + (limit | line)), STRONG
    if present:
        return "│", PLAIN
    return chr(0x2800 + limit), QUIET


def axis_row(axis: Axis, width: int) -> Row:
    """Return the times under the plot, in hours and minutes from the aligned moment."""
    columns = width - GUTTER
    if columns < _APART:
        return []
    span_s = max(axis.to_s - axis.from_s, 1.0)
    step_s = next((s for s in _STEPS_S if s * columns / span_s >= _APART), _STEPS_S[-1])
    row = [" "] * columns
    for number in range(int(axis.from_s // step_s), int(axis.to_s // step_s) + 1):
        text = _hours(number * step_s)
        # The sign or the first digit stands under its moment.
        at = round((number * step_s - axis.from_s) / span_s * (columns - 1))
        if 0 <= at <= columns - len(text):
            row[at : at + len(text)] = text
    return [(f"{'h:min':>{GUTTER - 1}} ", QUIET), ("".join(row), QUIET)]


def _hours(t_s: int) -> str:
    minutes = abs(t_s) // 60
    sign = "" if t_s == 0 else "-" if t_s < 0 else "+"
    return f"{sign}{minutes // 60}:{minutes % 60:02d}"


def lane_row(lane: LaneView, axis: Axis, width: int) -> Row:
    """Return a recording's signs, the present moment's column inverted."""
    columns = width - GUTTER
    if columns < _APART:
        return []
    row = signs(lane.stretches, lane.zero_s, axis.from_s, axis.to_s, columns)
    at = column_of(axis, columns)
    look = OTHER if lane.letter == "B" else STRONG
    name = (f"{lane.letter:>{GUTTER - 1}} ", look)
    return [name, (row[:at], look), (row[at], BADGE), (row[at + 1 :], look)]
