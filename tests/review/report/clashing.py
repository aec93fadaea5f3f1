"""Words of a drawing that lie on a curve or on each other, found from the drawing alone."""

from __future__ import annotations

from itertools import combinations, pairwise
from xml.etree import ElementTree

from reporting import SVG, places, text_of

_LETTER = 0.55
"Mean width of a letter by its height, of a common sans-serif."


def clashes(drawing: ElementTree.Element) -> list[str]:
    """Return the words within a plot that meet a curve or another word."""
    letter = float(drawing.attrib["font-size"])
    words = {
        text_of(e): box_of(e, letter)
        for e in drawing.iter(f"{SVG}text")
        if e.get("class") == "limit"
    }
    curves = [
        places_
        for path in drawing.iter(f"{SVG}path")
        if str(path.get("class")).startswith(("curve", "many", "forecast", "doubted", "beside"))
        for places_ in places(path)
    ]
    found = [
        f"{one} on {other}"
        for one, other in combinations(words, 2)
        if meet(words[one], words[other])
    ]
    return found + [
        f"{word} on a curve"
        for word, box in words.items()
        if any(crosses(box, a, b) for run in curves for a, b in pairwise([run[0], *run]))
    ]


def box_of(text: ElementTree.Element, letter: float) -> tuple[float, float, float, float]:
    """Return left, top, right and bottom of a word's small letters."""
    x, y, wide = (
        float(text.attrib["x"]),
        float(text.attrib["y"]),
        _LETTER * letter * len(text_of(text)),
    )
    left = x - wide * {"end": 1.0, "middle": 0.5}.get(str(text.get("text-anchor")), 0.0)
    return left, y - 0.35 * letter, left + wide, y + 0.35 * letter


def meet(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    """Return whether two boxes share a point."""
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def crosses(
    box: tuple[float, float, float, float], a: tuple[float, float], b: tuple[float, float]
) -> bool:
    """Return whether a line from a to b has one of twenty points within a box."""
    if max(a[0], b[0]) < box[0] or min(a[0], b[0]) > box[2]:
        return False
    steps = [(a[0] + (b[0] - a[0]) * n / 20, a[1] + (b[1] - a[1]) * n / 20) for n in range(21)]
    return any(box[0] < x < box[2] and box[1] < y < box[3] for x, y in steps)
