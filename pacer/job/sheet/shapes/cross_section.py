"""The joint cut across: the bevel with its sizes, for a page and for a terminal."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable

from pacer.job.job import Job
from pacer.job.outline import face, outline
from pacer.job.sheet.records import Drawing
from pacer.job.sheet.shapes.strokes import Label, Point, Shape, Stroke
from pacer.units import Shown

TITLE = "the joint cut across"
_ROWS = 11
_TALL = 2.1
"A terminal's character is about so many times as high as it is wide."
_SIGNS = {"iron": "/", "weld": ":"}


def section_shape(job: Job, shown: Shown) -> Shape:
    """Return the opened joint, m: the iron, the groove that is filled, and its sizes."""
    joint, wall_m = job.joint, job.part.wall_m
    iron = _corner(job) if joint.preparation == "fillet weld" else _plates(job)
    grooves = outline(joint, wall_m)
    strokes = [Stroke("iron", points, closed=True) for points in iron]
    strokes += [Stroke("weld", points, closed=True) for points in grooves]
    if joint.preparation != "fillet weld" and joint.gap_m <= 0.0 and joint.root_face_m > 0.0:
        low = joint.depth_m / 2.0 if joint.preparation == "double-V" else 0.0
        strokes.append(Stroke("crack", ((0.0, low), (0.0, low + joint.root_face_m))))
    right_m = max(x for points in iron for x, _ in points)
    top_m = max(y for points in iron for _, y in points)
    step_m = 0.12 * (top_m - min(y for points in iron for _, y in points))
    labels = []
    for (low_m, high_m), text in _heights(job, shown):
        at_m = right_m + step_m
        strokes.append(Stroke("dimension", ((at_m, low_m), (at_m, high_m))))
        labels.append(Label(text, (at_m + 4.0 * step_m, 0.5 * (low_m + high_m))))
    wide_m = _opening_m(job)
    if wide_m > 0.0 and joint.preparation != "fillet weld":
        at_m = top_m + step_m
        strokes.append(Stroke("dimension", ((-wide_m / 2.0, at_m), (wide_m / 2.0, at_m))))
        labels.append(Label(_opening(job, shown), (0.0, at_m + step_m)))
    return Shape(TITLE, tuple(strokes), tuple(labels), "m")


def section_drawing(job: Job, shown: Shown) -> Drawing:
    """Return the same drawing in text: `/` is iron, `:` what is filled, `|` the crack's faces."""
    shape = section_shape(job, shown)
    areas = [stroke for stroke in shape.strokes if stroke.kind in _SIGNS]
    points = [point for stroke in areas for point in stroke.points]
    (x0, x1), (y0, y1) = _span(x for x, _ in points), _span(y for _, y in points)
    row_m = (y1 - y0) / _ROWS
    column_m = row_m / _TALL
    # An odd number, so that the joint's middle is a column of its own.
    columns = min(43, 2 * math.ceil((x1 - x0) / column_m / 2.0) - 1)
    left_m = 0.5 * (x0 + x1) - 0.5 * columns * column_m
    notes = [(0.5 * (low_m + high_m), text) for (low_m, high_m), text in _heights(job, shown)]
    lines = [_opening(job, shown)]
    for at in range(_ROWS):
        y = y1 - (at + 0.5) * row_m
        signs = "".join(_sign(areas, (left_m + (i + 0.5) * column_m, y)) for i in range(columns))
        cracks = [stroke.points for stroke in shape.strokes if stroke.kind == "crack"]
        if any(low <= y <= high for (_, low), (_, high) in cracks):
            middle = columns // 2
            signs = f"{signs[:middle]}|{signs[middle + 1 :]}"
        beside = "; ".join(text for y_m, text in notes if abs(y_m - y) <= 0.5 * row_m + 1e-12)
        lines.append(f"{signs}  {beside}".rstrip())
    return Drawing(f"{TITLE}: / iron, : what is filled", tuple(lines), "section")


def _plates(job: Job) -> tuple[tuple[Point, ...], ...]:
    """Two plates face to face, drawn a wall's thickness beyond the groove."""
    right = face(job.joint, job.part.wall_m)
    edge_m = max(x for x, _ in right) + 0.9 * job.part.wall_m
    plate = (*right, (edge_m, job.part.wall_m), (edge_m, 0.0))
    return plate, tuple((-x, y) for x, y in plate)


def _corner(job: Job) -> tuple[tuple[Point, ...], ...]:
    """A plate along x and one that stands on it at the joint's angle, both as thick as the wall."""
    turn, wall_m, leg_m = math.radians(job.joint.angle_deg), job.part.wall_m, job.joint.depth_m
    cosine, sine, low_m = math.cos(turn), math.sin(turn), -job.joint.gap_m
    foot_m, long_m = wall_m / sine, leg_m + wall_m
    head = (long_m * cosine, long_m * sine)
    back_m = -foot_m - 0.7 * wall_m
    return (
        ((back_m, low_m - wall_m), (long_m, low_m - wall_m), (long_m, low_m), (back_m, low_m)),
        ((0.0, 0.0), head, (head[0] - foot_m, head[1]), (-foot_m, 0.0)),
    )


def _heights(job: Job, shown: Shown) -> list[tuple[tuple[float, float], str]]:
    """What is measured upright: from where to where, m, and the words."""
    joint, wall_m = job.joint, job.part.wall_m
    if joint.preparation == "fillet weld":
        up_m = joint.depth_m * math.sin(math.radians(joint.angle_deg))
        return [((0.0, up_m), f"leg {shown.length_m(joint.depth_m)}")]
    face_told = f"root face {shown.length_m(joint.root_face_m)}"
    if joint.preparation == "double-V":
        side_m = joint.depth_m / 2.0
        deep = shown.length_m(side_m)
        spans = [
            ((wall_m - side_m, wall_m), f"depth {deep}"),
            ((side_m, wall_m - side_m), face_told),
            ((0.0, side_m), f"depth {deep}"),
        ]
    else:
        bottom_m = wall_m - joint.depth_m
        depth_told = f"depth {shown.length_m(joint.depth_m)}"
        spans = [((bottom_m, wall_m), depth_told), ((0.0, bottom_m), face_told)]
    return [(span, text) for span, text in spans if span[1] - span[0] > 1e-9]


def _opening_m(job: Job) -> float:
    return max(2.0 * x for points in outline(job.joint, job.part.wall_m) for x, _ in points)


def _opening(job: Job, shown: Shown) -> str:
    joint = job.joint
    if joint.preparation == "fillet weld":
        return f"{joint.angle_deg:g} deg between the plates, gap {shown.length_m(joint.gap_m)}"
    opened = f"{shown.length_m(_opening_m(job))} wide, gap {shown.length_m(joint.gap_m)}"
    return opened if joint.preparation == "square" else f"{joint.angle_deg:g} deg, {opened}"


def _span(values: Iterable[float]) -> tuple[float, float]:
    known = list(values)
    return min(known), max(known)


def _sign(areas: list[Stroke], at: Point) -> str:
    """The sign of the area a point lies in; a groove lies over the iron it was cut from."""
    for kind in ("weld", "iron"):
        if any(area.kind == kind and _inside(area.points, at) for area in areas):
            return _SIGNS[kind]
    return " "


def _inside(polygon: tuple[Point, ...], at: Point) -> bool:
    """Tell whether a point lies in a polygon: how often a line to the right crosses it."""
    x, y = at
    crossed = 0
    for (x0, y0), (x1, y1) in itertools.pairwise((*polygon, polygon[0])):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
            crossed += 1
    return crossed % 2 == 1
