"""Drawings of a sheet as SVG: black on white, so that a printer's grey keeps them readable.

Only lines, areas and texts: no script, no font, no reference to anything outside.
"""

from __future__ import annotations

import math
from html import escape

from pacer.job.sheet.shapes.strokes import Label, Point, Shape, Stroke, StrokeKind
from pacer.text import clean

_WIDE = 1000.0
"Width of a drawing's strokes in its own units; the paper scales it."
_MARGIN = 40.0
_BOX = 160.0
"Of a map with room to spare, its box."
_LETTER = 0.58
"Mean width of a sans-serif letter by its height, on the safe side."
_PLACE_MM = 22.0
"Of paper for a box of the map, where there is room."
_PAPER_MM = 180.0
_LABEL_SHARE = {"m": 1.0 / 25.0, "place": 0.42}
"Height of a label: of the section's width, of a box."
_STYLES: dict[StrokeKind, str] = {
    "iron": 'fill="#d0d0d0" stroke="black" stroke-width="3"',
    "weld": 'fill="white" stroke="black" stroke-width="2" stroke-dasharray="8 5"',
    "edge": 'fill="none" stroke="black" stroke-width="6"',
    "crack": 'fill="none" stroke="black" stroke-width="5" stroke-dasharray="18 7"',
    "box": 'fill="white" stroke="black" stroke-width="3"',
    "hole": 'fill="white" stroke="black" stroke-width="4"',
    "arrow": 'fill="none" stroke="black" stroke-width="4"',
    "dimension": 'fill="none" stroke="black" stroke-width="2"',
}


def svg(shape: Shape, high_mm: float = 200.0) -> str:
    """Return a drawing as one `svg` element, at most `high_mm` high on paper.

    It is well-formed by itself; its title is for a reader of screens.
    """
    left, bottom, right, top = shape.bounds
    scale = _WIDE / max(right - left, 1e-9)
    if shape.unit == "place":
        # A joint of few places is not blown up to boxes as large as a hand.
        scale = min(scale, _BOX)
    size = _LABEL_SHARE[shape.unit] * (scale if shape.unit == "place" else _WIDE)

    def at(point: Point) -> Point:
        return (point[0] - left) * scale, (top - point[1]) * scale

    parts = [_stroke(stroke, [at(point) for point in stroke.points]) for stroke in shape.strokes]
    reach = [(0.0, (right - left) * scale)]
    for label in shape.labels:
        beside_x = _upright_beside(shape, label)
        text, reached = _label(label, at((beside_x or label.at[0], label.at[1])), size, beside_x)
        parts.append(text)
        reach.append(reached)
    x0, x1 = min(low for low, _ in reach) - _MARGIN, max(high for _, high in reach) + _MARGIN
    high = (top - bottom) * scale + 2.0 * _MARGIN
    wide = x1 - x0
    paper_mm = _PAPER_MM if shape.unit == "m" else min(_PAPER_MM, wide / _BOX * _PLACE_MM)
    paper_mm = min(paper_mm, high_mm * wide / high)
    name = escape(clean(shape.title))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" '
        f'viewBox="{x0:.1f} {-_MARGIN:.1f} {wide:.1f} {high:.1f}" '
        f'style="width:{paper_mm:.0f}mm;max-width:100%" '
        f'font-family="sans-serif"><title>{name}</title>{"".join(parts)}</svg>'
    )


def _upright_beside(shape: Shape, label: Label) -> float | None:
    """Return x of an upright dimension that the label is about; its text begins behind it."""
    for stroke in shape.strokes:
        if stroke.kind == "dimension":
            (x0, y0), (x1, y1) = stroke.points[0], stroke.points[-1]
            if x0 == x1 < label.at[0] and math.isclose((y0 + y1) / 2.0, label.at[1], abs_tol=1e-9):
                return x0
    return None


def _stroke(stroke: Stroke, points: list[Point]) -> str:
    drawn = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    line = "polygon" if stroke.closed else "polyline"
    parts = f'<{line} points="{drawn}" {_STYLES[stroke.kind]}/>'
    if len(points) > 1 and stroke.kind in ("arrow", "dimension"):
        parts += _head(points[-2], points[-1], 26.0 if stroke.kind == "arrow" else 16.0)
    if len(points) > 1 and stroke.kind == "dimension":
        parts += _head(points[1], points[0], 16.0)
    return parts


def _head(start: Point, end: Point, long: float) -> str:
    """Draw an arrow's head as an area of its own: markers need names, which clash on a page."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    far = math.hypot(dx, dy)
    if far <= 0.0:
        return ""
    long = min(long, 0.5 * far)
    ux, uy = dx / far * long, dy / far * long
    corners = [
        end,
        (end[0] - ux - 0.35 * uy, end[1] - uy + 0.35 * ux),
        (end[0] - ux + 0.35 * uy, end[1] - uy - 0.35 * ux),
    ]
    drawn = " ".join(f"{x:.1f},{y:.1f}" for x, y in corners)
    return f'<polygon points="{drawn}" fill="black"/>'


def _label(
    label: Label, at: Point, size: float, beside_x: float | None
) -> tuple[str, tuple[float, float]]:
    """Return a label and how far it reaches to the left and right."""
    text = clean(label.text)
    wide = _LETTER * size * len(text)
    anchor, x = ("middle", at[0]) if beside_x is None else ("start", at[0] + 0.5 * size)
    low = x if beside_x is not None else x - wide / 2.0
    drawn = (
        f'<text x="{x:.1f}" y="{at[1]:.1f}" dy="0.35em" font-size="{size:.1f}" '
        f'text-anchor="{anchor}">{escape(text)}</text>'
    )
    return drawn, (low, low + wide)
