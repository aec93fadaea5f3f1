"""The findings' numbers above a chart, each over its moment; those that would meet share a box."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import NamedTuple

from pacer.review.report.chart import ink
from pacer.review.report.chart.plot import Plot, Size, Window, across
from pacer.review.report.chart.room import Box
from pacer.session.finding import Finding

MOST = 60
"""The first so many findings have their numbers on a chart; of more none could be read."""

_ACROSS = 11
"Letters in a line of a box."
_LINES = 4
_LINE = 1.2
"Height of a line of a box, in letters."
_PAD = 0.25
_APART = 4.0
_LINES_APART = 3.0


class Badge(NamedTuple):
    """A box with the numbers of the findings at about one moment."""

    middle: float
    lines: tuple[str, ...]
    at: tuple[tuple[float, int], ...]
    "Where each of them is on the chart, and its number."

    def half(self, size: float) -> float:
        """Return half its width."""
        wide = max(ink.wide(line, size) for line in self.lines)
        return max(1.6 * size, wide + 0.9 * size) / 2.0


def laid(findings: Sequence[Finding], size: Size, seen: Window) -> list[Badge]:
    """Return the boxes of a chart from left to right; none meets another."""
    scale = across(size, seen)
    places = sorted(
        (scale.at(finding.t_s), number)
        for number, finding in enumerate(findings[:MOST], 1)
        if seen.from_s <= finding.t_s <= seen.to_s
    )
    boxes: list[Badge] = []
    for place in places:
        now = _badge((place,), size)
        while boxes and _meet(boxes[-1], now, size.letter):
            now = _badge((*boxes.pop().at, *now.at), size)
        boxes.append(now)
    return boxes


def _badge(at: tuple[tuple[float, int], ...], size: Size) -> Badge:
    made = Badge(0.0, wrapped([number for _, number in at]), at)
    half = made.half(size.letter)
    middle = (at[0][0] + at[-1][0]) / 2.0
    return made._replace(middle=max(size.left + half, min(middle, size.wide - half)))


def _meet(one: Badge, other: Badge, letter: float) -> bool:
    return other.middle - one.middle < one.half(letter) + other.half(letter) + _APART


def wrapped(numbers: Sequence[int]) -> tuple[str, ...]:
    """Return numbers in lines, neighbours as a range; of very many how many more there are.

    >>> wrapped([2, 1, 3, 7]), wrapped([4, 6])
    (('1–3, 7',), ('4, 6',))
    """
    listed = sorted(numbers)
    runs = [
        [number for _, number in run]
        for _, run in groupby(enumerate(listed), lambda pair: pair[1] - pair[0])
    ]
    lines: list[str] = []
    for at, run in enumerate(runs):
        word = _range(run) + ("," if at + 1 < len(runs) else "")
        if lines and len(lines[-1]) + 1 + len(word) <= _ACROSS:
            lines[-1] += f" {word}"
        elif len(lines) < _LINES:
            lines.append(word)
        else:
            left_out = sum(len(run) for run in runs[at:])
            return (*lines, f"{left_out} more")
    return tuple(lines)


def _range(run: list[int]) -> str:
    if len(run) == 1:
        return str(run[0])
    return f"{run[0]}{', ' if len(run) == 2 else '–'}{run[-1]}"


def room(badges: Sequence[Badge], size: Size) -> float:
    """Return how high the boxes are together with what is above and below them."""
    if not badges:
        return 1.9 * size.letter
    lines = max(len(badge.lines) for badge in badges)
    return (lines * _LINE + 2 * _PAD + 2.4) * size.letter


def draw(plot: Plot, badges: Sequence[Badge], findings: Sequence[Finding]) -> None:
    """Draw the boxes, each with a line down to each of its moments."""
    size = plot.size.letter
    bottom = plot.top - 1.6 * size
    for badge in badges:
        half = badge.half(size)
        drawn_to = -_APART
        for x, _ in badge.at:
            if x - drawn_to < _LINES_APART:
                continue
            drawn_to = x
            plot.room.spare(Box(x - 1.0, plot.top, x + 1.0, plot.bottom))
            from_x = min(max(x, badge.middle - half + 3), badge.middle + half - 3)
            plot.behind(
                ink.bent("at", [(from_x, bottom), (x, plot.top - 0.4 * size), (x, plot.bottom)])
            )
        top = bottom - (len(badge.lines) * _LINE + 2 * _PAD) * size
        told = "; ".join(f"{n}: {findings[n - 1].name}" for n in sorted(n for _, n in badge.at)[:9])
        box = (badge.middle - half, top, badge.middle + half, bottom)
        plot.add(ink.area("badge", *box, plot.told(told)))
        for number, line in enumerate(badge.lines):
            y = top + (_PAD + (number + 0.5) * _LINE) * size
            plot.add(ink.text("number", badge.middle, y, line, "middle"))
