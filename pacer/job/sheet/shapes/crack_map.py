"""The crack map of a plan: places in the order they are laid, with each bead's way.

From left to right as the welder sees the joint; one drawing for the terminal, one of
strokes for a page. Where every second run goes another way there are two groups.
"""

from __future__ import annotations

import math

from pacer.job.job import Job
from pacer.job.layers import draw_toward
from pacer.job.order import way_of
from pacer.job.sheet.records import Drawing
from pacer.job.sheet.shapes.strokes import Label, Point, Shape, Stroke

TITLE = "the order of the beads in a run, numbered as they are laid"
_ACROSS_TEXT, _ACROSS_PAGE = 12, 20
_HOLE_R = 0.18
_CORNERS = 24
_RING_R = 1.3
"Of a ring's round ends, in boxes: a number fits in each, and the sheet is used in its width."


def map_drawing(job: Job) -> Drawing:
    """Return the map in text: a box a place, its number in the order, the bead's way below."""
    left, right = _ends(job)
    plan, lines = job.plan, list[str]()
    for name, first in _groups(job):
        lines += [name] if name else []
        for start in range(0, plan.places, _ACROSS_TEXT):
            shown = range(start, min(start + _ACROSS_TEXT, plan.places))
            begin = left if start == 0 else "…"
            end = right if shown.stop == plan.places else "…"
            ranks = "│".join(f"{_rank(job, first, place):>3} " for place in shown)
            ways = "│".join(f"{_way(job, first, place):>3} " for place in shown)
            edge = ["────"] * len(shown)
            lines += [
                f"  ┌{'┬'.join(edge)}┐" + (f"  from place {start + 1}" if start else ""),
                f"{begin} │{ranks}│ {end}",
                f"  │{ways}│",
                f"  └{'┴'.join(edge)}┘",
            ]
    return Drawing(TITLE, (*lines, *_legend(job)), "map")


def map_shape(job: Job) -> Shape:
    """Return the map in strokes; 1 is the width of a place's box."""
    ring = way_of(job) == "opposite sides"
    strokes, labels, top = list[Stroke](), list[Label](), 0.0
    for name, first in _groups(job):
        if name:
            labels.append(Label(name, (0.5 * min(job.plan.places, _ACROSS_PAGE), top - 0.3)))
            top -= 0.7
        make = _ring if ring else _rows
        more_strokes, more_labels, top = make(job, first, top)
        strokes += more_strokes
        labels += more_labels
    return Shape(TITLE, tuple(strokes), tuple(labels), "place")


def _groups(job: Job) -> list[tuple[str, int]]:
    """Each run that differs: what to call it, and the number of its first bead."""
    plan = job.plan
    count = max(1, min(len(plan.order) // plan.places, plan.runs))
    if count == 1:
        return [("", 1)]
    names = ("odd runs", "even runs") if count == 2 else [f"run {i + 1}" for i in range(count)]
    return [(name, 1 + i * plan.places) for i, name in enumerate(names)]


def _bead(job: Job, first: int, place: int) -> int | None:
    """Number of the bead that lies on a place, in the run that bead `first` begins."""
    plan = job.plan
    beads = range(first, first + plan.places)
    return next((number for number in beads if plan.place_of(number) == place), None)


def _rank(job: Job, first: int, place: int) -> str:
    bead = _bead(job, first, place)
    return "" if bead is None else str(bead - first + 1)


def _way(job: Job, first: int, place: int) -> str:
    bead = _bead(job, first, place)
    return "" if bead is None else draw_toward(bead, job.plan.order)


def _ends(job: Job) -> tuple[str, str]:
    """What lies beyond the joint's left and right end: a stop hole, an edge, or its own start."""
    ways = {
        "inward": ("○", "○"),
        "to the edge": ("○", "║"),
        "outward": ("║", "║"),
        "opposite sides": ("~", "~"),
    }
    return ways[way_of(job)]


def _legend(job: Job) -> list[str]:
    left, right = _ends(job)
    told = {
        "○": "○ stop hole beyond the end",
        "║": "║ edge of the part",
        "~": "~ it goes on: round the patch, clockwise from the left",
    }
    signs = [told[sign] for sign in dict.fromkeys((left, right))]
    drawn = ["← → the way the bead is drawn"] if job.plan.places > 1 else []
    return [", ".join(signs), *drawn]


def legend(job: Job) -> str:
    """Return what the signs of the map in strokes are."""
    told = {"○": "○ is a stop hole", "║": "a bar is the part's edge", "~": ""}
    ring = "round the patch, clockwise from the left" if way_of(job) == "opposite sides" else ""
    arrows = "an arrow is the way the bead is drawn" if job.plan.places > 1 else ""
    signs = [told[sign] for sign in dict.fromkeys(_ends(job))]
    return ", ".join(["numbers are the order", *filter(None, (ring, *signs, arrows))])


def _rows(job: Job, first: int, top: float) -> tuple[list[Stroke], list[Label], float]:
    strokes, labels = list[Stroke](), list[Label]()
    places, (left, right) = job.plan.places, _ends(job)
    for start in range(0, places, _ACROSS_PAGE):
        shown = range(start, min(start + _ACROSS_PAGE, places))
        for column, place in enumerate(shown):
            x = float(column)
            corners = ((x, top), (x + 1.0, top), (x + 1.0, top - 1.0), (x, top - 1.0))
            strokes.append(Stroke("box", corners, closed=True))
            labels.append(Label(_rank(job, first, place), (x + 0.5, top - 0.38)))
            ends = ((x + 0.25, top - 0.78), (x + 0.75, top - 0.78))
            strokes += _arrow(_way(job, first, place), ends)
        for sign, here, x in (
            (left, start == 0, -0.45),
            (right, shown.stop == places, len(shown) + 0.45),
        ):
            strokes += _end(sign, (x, top - 0.5)) if here else []
        top -= 1.5
    return strokes, labels, top


def _ring(job: Job, first: int, top: float) -> tuple[list[Stroke], list[Label], float]:
    """Round a patch, clockwise from the left: boxes about as wide as they are high.

    Many boxes lie on two straight rows with round ends: on a circle they would come out small.
    """
    strokes, labels, places = list[Stroke](), list[Label](), job.plan.places
    straight = max(0.0, 0.5 * places - math.pi * _RING_R)
    middle = (0.5 * straight + _RING_R + 0.5, top - _RING_R - 0.7)
    round_it = 2.0 * (straight + math.pi * _RING_R)

    def at(out: float, part: float) -> Point:
        """Return a point `out` from the middle of the boxes, `part` places from the left."""
        quarter, way = 0.5 * math.pi * _RING_R, part / places * round_it
        radius, half = _RING_R + out, 0.5 * straight
        # The left end is met twice: its upper half first, its lower half last.
        if quarter <= way <= quarter + straight:
            dx, dy = way - quarter - half, radius
        elif quarter + straight < way < 3.0 * quarter + straight:
            turn = 0.5 * math.pi - (way - quarter - straight) / _RING_R
            dx, dy = half + radius * math.cos(turn), radius * math.sin(turn)
        elif 3.0 * quarter + straight <= way <= 3.0 * quarter + 2.0 * straight:
            dx, dy = half - (way - 3.0 * quarter - straight), -radius
        else:
            turn = math.pi - (way if way < quarter else way - 2.0 * straight) / _RING_R
            dx, dy = -half + radius * math.cos(turn), radius * math.sin(turn)
        return middle[0] + dx, middle[1] + dy

    for place in range(places):
        parts = [place + i / 8.0 for i in range(9)]
        rim = [at(0.5, part) for part in parts]
        rim += [at(-0.5, part) for part in reversed(parts)]
        strokes.append(Stroke("box", tuple(rim), closed=True))
        labels.append(Label(_rank(job, first, place), at(0.1, place + 0.5)))
        ends = (at(-0.28, place + 0.25), at(-0.28, place + 0.75))
        strokes += _arrow(_way(job, first, place), ends)
    return strokes, labels, top - 2.0 * (_RING_R + 1.0)


def _arrow(way: str, ends: tuple[Point, Point]) -> list[Stroke]:
    if not way:
        return []
    return [Stroke("arrow", ends if way == "→" else (ends[1], ends[0]))]


def _end(sign: str, at: Point) -> list[Stroke]:
    x, y = at
    if sign == "║":
        return [Stroke("edge", ((x, y - 0.7), (x, y + 0.7)))]
    turns = [2.0 * math.pi * i / _CORNERS for i in range(_CORNERS)]
    circle = tuple((x + _HOLE_R * math.cos(t), y + _HOLE_R * math.sin(t)) for t in turns)
    return [Stroke("hole", circle, closed=True)]
