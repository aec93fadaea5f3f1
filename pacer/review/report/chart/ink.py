"""Pieces of a drawing: lines, areas, hatching, texts; looks are classes of the page's style.

Nothing refers to anything: hatching is drawn line by line, since a pattern would need an
address within the page.
"""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from pacer.review.report.chart.envelope import Point
from pacer.review.report.chart.scale import Scale
from pacer.text import clean
from pacer.units import Shown

LETTER = 0.56
"Mean width of a sans-serif letter by its height, on the safe side."
_HATCH = 5.0


def number(value: float) -> str:
    """Return a place on a drawing, to a twentieth of a pixel.

    >>> number(12.0), number(-0.01), number(3.14159)
    ('12', '0', '3.1')
    """
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def line(kind: str, x0: float, y0: float, x1: float, y1: float) -> str:
    """Draw a straight line."""
    return f'<path class="{kind}" d="M{number(x0)} {number(y0)}L{number(x1)} {number(y1)}"/>'


def area(kind: str, x0: float, y0: float, x1: float, y1: float, told: str = "") -> str:
    """Draw a rectangle; `told` is seen where a pointer rests on it."""
    wide, high = max(x1 - x0, 0.6), max(y1 - y0, 0.6)
    head = (
        f'<rect class="{kind}" x="{number(x0)}" y="{number(y0)}" width="{number(wide)}" '
        f'height="{number(high)}"'
    )
    return f"{head}><title>{escape(clean(told))}</title></rect>" if told else f"{head}/>"


def text(kind: str, x: float, y: float, words: str, anchor: str = "start") -> str:
    """Write a word, y in its middle."""
    return (
        f'<text class="{kind}" x="{number(x)}" y="{number(y)}" dy=".35em" '
        f'text-anchor="{anchor}">{escape(clean(words))}</text>'
    )


def wide(words: str, size: float) -> float:
    """Return about how wide a text comes out."""
    return LETTER * size * len(words)


def hatch(kind: str, x0: float, y0: float, x1: float, y1: float, *, falling: bool = False) -> str:
    """Hatch a rectangle, the lines rising to the right, or falling."""
    span, high = max(x1 - x0, 0.8), y1 - y0
    parts = []
    for step in range(int((span + high) / _HATCH) + 1):
        shift = step * _HATCH - high
        begin, end = max(0.0, -shift), min(high, span - shift)
        if end <= begin:
            continue
        ends = [(x0 + shift + along, along) for along in (begin, end)]
        (xa, a), (xb, b) = ends
        ya, yb = (y0 + a, y0 + b) if falling else (y1 - a, y1 - b)
        parts.append(f"M{number(xa)} {number(ya)}L{number(xb)} {number(yb)}")
    return f'<path class="{kind}" d="{"".join(parts)}"/>'


def curve(kind: str, points: Iterable[Point], x: Scale, y: Scale, shown: Shown) -> str:
    """Draw a curve in the user's unit; it stops where it is broken, a lone point is a dot."""
    runs: list[list[str]] = []
    for point in points:
        place = f"{number(x.at(point.t_s))} {number(y.at(shown.temp_number(point.temp_c)))}"
        if point.broken or not runs:
            runs.append([])
        if not runs[-1] or runs[-1][-1] != place:
            runs[-1].append(place)
    drawn = "".join(f"M{run[0]}{'L' + ' '.join(run[1:]) if run[1:] else 'h0'}" for run in runs)
    return f'<path class="{kind}" d="{drawn}"/>' if drawn else ""


def ring(kind: str, x: float, y: float, radius: float, told: str = "") -> str:
    """Draw a circle."""
    inner = f"><title>{escape(clean(told))}</title></circle>" if told else "/>"
    return f'<circle class="{kind}" cx="{number(x)}" cy="{number(y)}" r="{radius:g}"{inner}'


def shape(kind: str, corners: Iterable[tuple[float, float]], told: str = "") -> str:
    """Draw an outline through corners."""
    drawn = " ".join(f"{number(x)},{number(y)}" for x, y in corners)
    inner = f"><title>{escape(clean(told))}</title></polygon>" if told else "/>"
    return f'<polygon class="{kind}" points="{drawn}"{inner}'
