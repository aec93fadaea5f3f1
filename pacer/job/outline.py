"""What a joint looks like cut across: the iron's faces, the groove between them, its width.

Metres; x across the joint from its middle, y up from the back of the wall, so that the
welder's side is on top. A fillet weld lies in the corner of two plates at (0, 0), its
first leg along x. Areas by formula are `groove.py`'s; arcs are drawn here as short chords.
"""

from __future__ import annotations

import itertools
import math

from pacer.job.groove import ROOT_RADIUS_M
from pacer.job.job import Joint

Point = tuple[float, float]
Polygon = tuple[Point, ...]

_CHORDS = 24
"Of a quarter circle; they cut off less than a thousandth of its area."


def outline(joint: Joint, wall_m: float) -> tuple[Polygon, ...]:
    """Return the cross-section of the opened groove, a polygon for each part of it, m.

    Two for a double V, whose root face lies between them; one for every other preparation.
    """
    if joint.preparation == "fillet weld":
        return (_fillet(joint),)
    right = face(joint, wall_m)
    if joint.preparation == "double-V":
        return _mirrored(right[:2]), _mirrored(right[2:])
    return (_mirrored(tuple(p for p in right[1:])),)


def face(joint: Joint, wall_m: float) -> Polygon:
    """Return the right plate's face from the back of the wall to its top, m.

    The first point is at the back; between it and the second is the root face. For a
    double V the root face is between the second and the third. Not for a fillet weld.
    """
    gap_m, half = joint.gap_m / 2.0, math.radians(joint.angle_deg) / 2.0
    depth_m, slope = joint.depth_m, math.tan(half)
    if joint.preparation == "double-V":
        side_m = depth_m / 2.0
        wide_m = gap_m + side_m * slope
        return (
            (wide_m, 0.0),
            (gap_m, side_m),
            (gap_m, wall_m - side_m),
            (wide_m, wall_m),
        )
    back, bottom_m = (gap_m, 0.0), wall_m - depth_m
    if joint.preparation == "single-V":
        return back, (gap_m, bottom_m), (gap_m + depth_m * slope, wall_m)
    if joint.preparation == "square":
        return back, (gap_m, bottom_m), (gap_m, wall_m)
    return (back, *((gap_m + x, bottom_m + y) for x, y in _u_face(half, depth_m)))


def width_m(joint: Joint, height_m: float) -> float:
    """Return how wide the groove is `height_m` above its bottom, m.

    Of a double V: of one of its sides, above the root face. Of a fillet weld: across the
    line that halves the corner.
    """
    half = math.radians(joint.angle_deg) / 2.0
    if joint.preparation == "square":
        return joint.gap_m
    if joint.preparation == "fillet weld":
        return joint.gap_m / math.cos(half) + 2.0 * height_m * math.tan(half)
    if joint.preparation != "U":
        return joint.gap_m + 2.0 * height_m * math.tan(half)
    r = root_radius_m(joint.depth_m)
    if height_m < r * (1.0 - math.sin(half)):
        return joint.gap_m + 2.0 * math.sqrt(max(0.0, r * r - (r - height_m) ** 2))
    return joint.gap_m + 2.0 * (r / math.cos(half) + (height_m - r) * math.tan(half))


def height_of_side_m(joint: Joint) -> float:
    """Return how high one side's groove is filled, m: half the depth of a double V."""
    if joint.preparation == "double-V":
        return joint.depth_m / 2.0
    if joint.preparation == "fillet weld":
        return joint.depth_m * math.cos(math.radians(joint.angle_deg) / 2.0)
    return joint.depth_m


def face_length_m(joint: Joint) -> float:
    """Return how long one face of one side's groove is in the cross-section, m."""
    half = math.radians(joint.angle_deg) / 2.0
    if joint.preparation == "fillet weld":
        return joint.depth_m
    if joint.preparation == "U":
        points = _u_face(half, joint.depth_m)
        return sum(math.dist(a, b) for a, b in itertools.pairwise(points))
    return height_of_side_m(joint) / math.cos(half)


def root_radius_m(depth_m: float) -> float:
    """Return the radius of a U groove's root, m."""
    return min(ROOT_RADIUS_M, depth_m / 2.0)


def _u_face(half: float, depth_m: float) -> Polygon:
    """The right face of a U without its gap: a quarter circle cut short, then the wall."""
    r = root_radius_m(depth_m)
    arc = [
        (r * math.sin(turn), r * (1.0 - math.cos(turn)))
        for turn in ((math.pi / 2.0 - half) * i / _CHORDS for i in range(_CHORDS + 1))
    ]
    top_m = r / math.cos(half) + (depth_m - r) * math.tan(half)
    return (*arc, (top_m, depth_m))


def _mirrored(right: Polygon) -> Polygon:
    """A polygon of a face and its mirror image; a point in the middle stands once."""
    left = tuple((-x, y) for x, y in reversed(right) if x > 0.0)
    return (*right, *left)


def _fillet(joint: Joint) -> Polygon:
    leg_m, turn, gap_m = joint.depth_m, math.radians(joint.angle_deg), joint.gap_m
    corner = (leg_m * math.cos(turn), leg_m * math.sin(turn))
    if gap_m <= 0.0:
        return (0.0, 0.0), (leg_m, 0.0), corner
    return (0.0, -gap_m), (leg_m, -gap_m), (leg_m, 0.0), corner, (0.0, 0.0)
