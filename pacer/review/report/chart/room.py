"""`Room`: what is taken of a drawing, so that a word lies neither on a curve nor on another word."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import NamedTuple

_CLEAR = 2.5
"A curve has a width; a word stays so far from its middle."


class Box(NamedTuple):
    """A rectangle of a drawing."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box) -> bool:
        """True where the two have a point within both."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def holds(self, other: Box) -> bool:
        """True where the other lies within this one."""
        return (
            self.left <= other.left
            and other.right <= self.right
            and self.top <= other.top
            and other.bottom <= self.bottom
        )


class Room:
    """The boxes and curves of a drawing."""

    def __init__(self, inside: Box) -> None:
        """Words are placed `inside` only."""
        self.inside = inside
        self._taken: list[Box] = []
        self._poor: list[Box] = []
        self._curves: list[dict[int, tuple[float, float]]] = []

    def take(self, box: Box) -> None:
        """Leave a box to what is drawn there."""
        self._taken.append(box)

    def spare(self, box: Box) -> None:
        """Place a word in a box only where there is no room elsewhere: it is hatched, or dotted."""
        self._poor.append(box)

    def follow(self, runs: Iterable[Sequence[tuple[float, float]]]) -> None:
        """Keep words off a curve, given by the corners of its unbroken runs, left to right."""
        columns: dict[int, tuple[float, float]] = {}

        def covers(column: int, *heights: float) -> None:
            low, high = columns.get(column, (heights[0], heights[0]))
            columns[column] = (min(low, *heights), max(high, *heights))

        for run in runs:
            for x, y in run[:1]:
                covers(int(x), y)
            for (x0, y0), (x1, y1) in pairwise(run):
                slope = (y1 - y0) / (x1 - x0) if x1 > x0 else 0.0
                for column in range(int(x0), int(x1) + 1):
                    begin, end = max(column, x0), min(column + 1.0, x1)
                    covers(column, y0 + slope * (begin - x0), y0 + slope * (end - x0))
                covers(int(x1), y1)
        self._curves.append(columns)

    def free(self, box: Box) -> bool:
        """True for a box within the drawing in which nothing is drawn."""
        return (
            self.inside.holds(box)
            and not any(box.meets(taken) for taken in self._taken)
            and not any(_crosses(columns, box) for columns in self._curves)
        )

    def place(self, boxes: Iterable[Box]) -> Box | None:
        """Take the first of these that is free, and return it; None where none is."""
        free = [box for box in boxes if self.free(box)]
        clear = (box for box in free if not any(box.meets(poor) for poor in self._poor))
        found = next(clear, free[0] if free else None)
        if found is not None:
            self.take(found)
        return found


def _crosses(columns: dict[int, tuple[float, float]], box: Box) -> bool:
    for column in range(int(box.left - _CLEAR), int(box.right + _CLEAR) + 1):
        span = columns.get(column)
        if span is not None and span[0] - _CLEAR < box.bottom and box.top < span[1] + _CLEAR:
            return True
    return False
