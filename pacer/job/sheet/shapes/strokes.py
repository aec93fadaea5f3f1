"""What a drawing is made of: strokes and labels on a plane, x to the right, y up.

The terminal draws in characters; a page draws these, scaled to its paper. `section.py`
makes the cross-section of the joint in metres, `crack_map.py` the map in places.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

import msgspec

Point = tuple[float, float]
StrokeKind = Literal["iron", "weld", "edge", "crack", "box", "arrow", "dimension", "hole"]
"""`iron` and `weld` are areas to hatch or shade; `hole` and `box` are outlines; `edge` a free
edge of the part, `crack` the joint's line; an `arrow` points to its last point, a
`dimension` has a tick or a head at both its ends."""


class Stroke(msgspec.Struct, frozen=True):
    """A line through points, or the outline of an area."""

    kind: StrokeKind
    points: tuple[Point, ...]
    closed: bool = False


class Label(msgspec.Struct, frozen=True):
    """A short text centred on a point."""

    text: str
    at: Point


class Shape(msgspec.Struct, frozen=True):
    """One drawing."""

    title: str
    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]
    unit: Literal["m", "place"]
    "What 1 is: a metre, or the width of one place's box."

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least x, least y, greatest x, greatest y of all strokes and labels' points."""
        points = [*self._points()]
        return (
            min(x for x, _ in points),
            min(y for _, y in points),
            max(x for x, _ in points),
            max(y for _, y in points),
        )

    @property
    def wide_to_high(self) -> float:
        """Width by height of what it takes up."""
        left, bottom, right, top = self.bounds
        return (right - left) / (top - bottom)

    def _points(self) -> Iterable[Point]:
        for stroke in self.strokes:
            yield from stroke.points
        yield from (label.at for label in self.labels)
