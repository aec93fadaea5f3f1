"""Pieces of a drawing: lines, areas, hatching, texts; looks are classes of the page's style.

Nothing refers to anything: hatching is drawn line by line, since a pattern would need an
address within the page.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from pacer.review.report.chart.envelope import Point
from pacer.review.report.chart.scale import Scale
from pacer.text import clean
from pacer.units import Shown

Place = tuple[float, float]

LETTER = 0.6
"Mean width of a sans-serif letter by its height, on the safe side."
_HATCH = 5.0


def number(value: float) -> str:
    """Return a place on a drawing, to a tenth of a pixel.

    >>> number(12.0), number(-0.01), number(3.14159)
    ('12', '0', '3.1')
    """
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def line(kind: str, x0: float, y0: float, x1: float, y1: float) -> str:
    """Draw a straight line."""
    return f'<path class="{kind}" d="M{number(x0)} {number(y0)}L{number(x1)} {number(y1)}"/>'


def bent(kind: str, corners: Iterable[tuple[float, float]]) -> str:
    """Draw a line through corners."""
    drawn = "L".join(f"{number(x)} {number(y)}" for x, y in corners)
    return f'<path class="{kind}" d="M{drawn}"/>'


def area(kind: str, x0: float, y0: float, x1: float, y1: float, told: str = "") -> str:
    """Draw a rectangle; `told` is seen where a pointer rests on it."""
    wide, high = max(x1 - x0, 0.6), max(y1 - y0, 0.6)
    head = (
        f'<rect class="{kind}" x="{number(x0)}" y="{number(y0)}" width="{number(wide)}" '
        f'height="{number(high)}"'
    )
    return f"{head}><title>{escape(clean(told))}</title></rect>" if told else f"{head}/>"


def areas(kind: str, spans: Iterable[tuple[float, float]], y0: float, y1: float) -> str:
    """Draw rectangles of one height as one outline."""
    high = number(y1 - y0)
    parts = [
        f"M{number(x0)} {number(y0)}h{number(max(x1 - x0, 0.6))}v{high}H{number(x0)}z"
        for x0, x1 in spans
    ]
    return f'<path class="{kind}" d="{"".join(parts)}"/>'


def text(kind: str, x: float, y: float, words: str, anchor: str = "start") -> str:
    """Write a word, y in its middle."""
    # Where it is not said a word begins at its x.
    at = "" if anchor == "start" else f' text-anchor="{anchor}"'
    return (
        f'<text class="{kind}" x="{number(x)}" y="{number(y)}" dy=".35em"{at}>'
        f"{escape(clean(words))}</text>"
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


def runs(points: Iterable[Point], x: Scale, y: Scale, shown: Shown) -> list[list[Place]]:
    """Return the unbroken runs of a curve as places on a drawing, in the user's unit."""
    found: list[list[Place]] = []
    for point in points:
        place = (
            round(x.at(point.t_s), 1),
            round(y.at(shown.temp_number(point.temp_c)), 1),
        )
        if point.broken or not found:
            found.append([])
        if not found[-1] or found[-1][-1] != place:
            found[-1].append(place)
    return found


def curve(kind: str, drawn: Iterable[Sequence[Place]]) -> str:
    """Draw runs of places, from each to the next; a lone one is a dot.

    Steps are shorter to write than places. Those of rounded places come out exact.
    """
    parts = []
    for run in drawn:
        (x, y), steps = run[0], []
        for to_x, to_y in run[1:]:
            across, up = (
                number(step).replace("0.", ".") if abs(step) < 1.0 else number(step)
                for step in (to_x - x, to_y - y)
            )
            steps.append(f"{across}{'' if up[0] == '-' else ' '}{up}")
            x, y = to_x, to_y
        along = "".join(
            step if step[0] == "-" or not n else f" {step}" for n, step in enumerate(steps)
        )
        parts.append(f"M{number(run[0][0])} {number(run[0][1])}{'l' + along if steps else 'h0'}")
    return f'<path class="{kind}" d="{"".join(parts)}"/>' if parts else ""


def ring(kind: str, x: float, y: float, radius: float, told: str = "") -> str:
    """Draw a circle."""
    inner = f"><title>{escape(clean(told))}</title></circle>" if told else "/>"
    return f'<circle class="{kind}" cx="{number(x)}" cy="{number(y)}" r="{radius:g}"{inner}'


def shape(kind: str, corners: Iterable[tuple[float, float]], told: str = "") -> str:
    """Draw an outline through corners."""
    drawn = " ".join(f"{number(x)},{number(y)}" for x, y in corners)
    inner = f"><title>{escape(clean(told))}</title></polygon>" if told else "/>"
    return f'<polygon class="{kind}" points="{drawn}"{inner}'
