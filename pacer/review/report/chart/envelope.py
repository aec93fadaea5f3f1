"""`Envelope`: a curve of any length in bounded memory that never loses an extreme value.

Time is cut into equal parts; of each the coldest and the hottest reading are kept, at their
own times. When there are too many parts they are joined in pairs. So every point is a
reading as it was, and no peak is missing, however short it was.
"""

from __future__ import annotations

import bisect
from array import array
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

FINEST_S = 0.25
"""Four readings a second stay as they are, up to `MOST` of them."""

MOST = 1 << 15
"""Parts of a curve: 2.3 h at the finest width, two days at 8 s."""


class Point(NamedTuple):
    """One reading of a curve."""

    t_s: float
    temp_c: float
    broken: bool = False
    "Nothing is known of the time between the point before and this one."


class Envelope:
    """Points of one curve, oldest first; times must not fall."""

    def __init__(self, most: int = MOST) -> None:
        """Keep at most so many parts, two points each."""
        self._most = most
        self.width_s = FINEST_S
        self._last_s: float | None = None
        self._listed: list[Point] | None = None
        self._clear()

    def _clear(self) -> None:
        self._low_s, self._low_c = array("d"), array("d")
        self._high_s, self._high_c = array("d"), array("d")
        self._broken = array("b")

    def __len__(self) -> int:
        """How many parts hold a reading."""
        return len(self._low_s)

    @property
    def last_s(self) -> float | None:
        """Time of the last reading added, s."""
        return self._last_s

    def add(self, t_s: float, temp_c: float, broken: bool = False) -> None:
        """Add a reading; `broken` says that a line must not be drawn up to it."""
        self._last_s, self._listed = t_s, None
        if len(self) and not broken and self._part(t_s) == self._part(self._low_s[-1]):
            if temp_c < self._low_c[-1]:
                self._low_s[-1], self._low_c[-1] = t_s, temp_c
            if temp_c > self._high_c[-1]:
                self._high_s[-1], self._high_c[-1] = t_s, temp_c
            return
        self._begin(t_s, temp_c, broken)
        while len(self) > self._most:
            self._widen()

    def _part(self, t_s: float) -> int:
        return int(t_s / self.width_s)

    def _begin(self, t_s: float, temp_c: float, broken: bool) -> None:
        for times, temps in ((self._low_s, self._low_c), (self._high_s, self._high_c)):
            times.append(t_s)
            temps.append(temp_c)
        self._broken.append(broken)

    def _widen(self) -> None:
        """Join parts in pairs; a break shorter than a part is no longer to be seen."""
        points, newest_s = list(self._in_order()), self._last_s
        self.width_s *= 2
        self._clear()
        last_s = -self.width_s
        for point in points:
            seen = point.broken and point.t_s - last_s >= self.width_s
            last_s = point.t_s
            if len(self) and not seen and self._part(point.t_s) == self._part(self._low_s[-1]):
                self.add(point.t_s, point.temp_c)
            else:
                self._begin(point.t_s, point.temp_c, seen)
        self._last_s = newest_s

    def points(self) -> Sequence[Point]:
        """Return the points in order of time; listed once, until another reading comes."""
        if self._listed is None:
            self._listed = list(self._in_order())
        return self._listed

    def __iter__(self) -> Iterator[Point]:
        """Yield the points in order of time."""
        return iter(self.points())

    def _in_order(self) -> Iterator[Point]:
        for at in range(len(self)):
            low = (self._low_s[at], self._low_c[at])
            high = (self._high_s[at], self._high_c[at])
            yield Point(*min(low, high), bool(self._broken[at]))
            if low[0] != high[0]:
                yield Point(*max(low, high))

    def between(self, from_s: float, to_s: float) -> Sequence[Point]:
        """Return the points of a stretch, its ends included."""
        points = self.points()
        first = bisect.bisect_left(points, from_s, key=_when_s)
        return points[first : bisect.bisect_right(points, to_s, key=_when_s)]


def _when_s(point: Point) -> float:
    return point.t_s


def thinned(points: Iterable[Point], from_s: float, to_s: float, parts: int) -> list[Point]:
    """Return the coldest and the hottest point of each of so many equal parts of a stretch.

    Points on both sides of a break are not taken together. Every point is one of those given.
    """
    kept: list[Point] = []
    here: tuple[int, int] | None = None
    low = high = first = Point(0.0, 0.0)
    breaks, scale = 0, parts / max(to_s - from_s, 1e-9)

    def keep() -> None:
        if here is not None:
            pair = sorted({low[:2], high[:2]})
            kept.extend(Point(*at, first.broken and not n) for n, at in enumerate(pair))

    for point in points:
        breaks += point.broken
        where = (min(int((point.t_s - from_s) * scale), parts - 1), breaks)
        if where != here:
            keep()
            here, low, high, first = where, point, point, point
        elif point.temp_c < low.temp_c:
            low = point
        elif point.temp_c > high.temp_c:
            high = point
    keep()
    return kept


def extremes(points: Iterable[Point]) -> tuple[Point, Point] | None:
    """Return the coldest and the hottest point, the earliest of equals; None of no points."""
    listed = list(points)
    if not listed:
        return None
    return min(listed, key=lambda p: p.temp_c), max(listed, key=lambda p: p.temp_c)


def temp_at(points: Iterable[Point], t_s: float) -> float | None:
    """Return the temperature at a moment, °C, on a straight line between two readings.

    None before the first, after the last, and where nothing is known between the two.
    """
    before: Point | None = None
    for point in points:
        if point.t_s == t_s:
            return point.temp_c
        if point.t_s > t_s:
            if before is None or point.broken:
                return None
            share = (t_s - before.t_s) / (point.t_s - before.t_s)
            return before.temp_c + share * (point.temp_c - before.temp_c)
        before = point
    return None
