"""The section and the crack map: what is drawn is what is planned; jobs made up for the tests."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import get_args

import pytest

from pacer.job.file.read import job_from_text
from pacer.job.groove import groove_area_m2
from pacer.job.job import Job, Preparation
from pacer.job.layers import draw_toward
from pacer.job.sheet.shapes.crack_map import legend, map_drawing, map_shape
from pacer.job.sheet.shapes.cross_section import section_drawing, section_shape
from pacer.job.sheet.shapes.strokes import Point, Shape, Stroke
from pacer.units import Shown

METRIC = Shown("metric")


def job(joint: str = "", length_mm: int = 120) -> Job:
    """A hot job with this joint."""
    return job_from_text(
        '[job]\nmethod = "hot"\n[part]\nmetal = "grey iron"\nmass = "20 kg"\nwall = "12 mm"\n'
        f'[joint]\ncrack_length = "{length_mm} mm"\naccess = "both sides"\n{joint}\n'
        '[bead]\nlength = "25 mm"\n',
        "made up",
    )


def prepared(preparation: str) -> Job:
    """A hot job with this preparation and all else as it comes."""
    return job(f'preparation = "{preparation}"')


def of_kind(shape: Shape, kind: str) -> list[Stroke]:
    """The strokes of one kind."""
    return [stroke for stroke in shape.strokes if stroke.kind == kind]


def enclosed_m2(points: tuple[Point, ...]) -> float:
    """The area a polygon encloses, by the surveyor's formula."""
    pairs = zip(points, (*points[1:], points[0]), strict=True)
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs)) / 2.0


@pytest.mark.parametrize("preparation", get_args(Preparation))
def test_the_section_s_groove_has_the_groove_s_area(preparation: str) -> None:
    """Drawn from points, counted by formula; nothing is drawn twice or left out."""
    made = prepared(preparation)
    joint, shape = made.joint, section_shape(made, METRIC)
    area_m2 = groove_area_m2(joint.preparation, joint.angle_deg, joint.depth_m, joint.gap_m)

    drawn_m2 = sum(enclosed_m2(stroke.points) for stroke in of_kind(shape, "weld"))
    assert drawn_m2 == pytest.approx(area_m2, rel=1e-3)
    assert all(stroke.closed for stroke in shape.strokes if stroke.kind in ("iron", "weld"))
    x0, y0, x1, y1 = shape.bounds
    assert (x0, y0) < (0.0, 0.001)
    assert (x1, y1) > (0.0, 0.0)


@pytest.mark.parametrize("preparation", ["single-V", "double-V", "U", "square"])
def test_iron_and_groove_together_are_the_plate(preparation: str) -> None:
    """The wall's height times the drawing's width, but for what a root opening leaves empty."""
    made = prepared(preparation)
    shape = section_shape(made, METRIC)
    areas = [stroke for stroke in shape.strokes if stroke.kind in ("iron", "weld")]
    wide_m = 2.0 * max(x for stroke in areas for x, _ in stroke.points)
    empty_m2 = made.joint.gap_m * made.joint.root_face_m
    total_m2 = sum(enclosed_m2(stroke.points) for stroke in areas)
    assert total_m2 == pytest.approx(wide_m * made.part.wall_m - empty_m2, rel=1e-6)


def test_the_sizes_stand_beside_the_section() -> None:
    """Depth, root face and opening of the 60° V: 2 x 10 mm x tan 30° = 11.5 mm wide."""
    labels = [label.text for label in section_shape(job(), METRIC).labels]
    assert labels == ["depth 10 mm", "root face 2 mm", "60 deg, 11.5 mm wide, gap 0 mm"]
    told = section_drawing(job(), Shown("us")).lines
    assert "0.455 in wide" in told[0]
    assert "depth 0.394 in" in " ".join(told)


def test_the_text_s_v_opens_upward_and_is_the_same_on_both_sides() -> None:
    """`:` is what is filled; each row of the 10 mm is no narrower than the one below."""
    rows = [line.split("  ")[0] for line in section_drawing(job(), METRIC).lines[1:]]
    filled = [row.count(":") for row in rows]
    assert filled == sorted(filled, reverse=True)
    assert filled[0] > 15
    assert all(row == row[::-1] for row in rows)
    # The two plates meet in the root face.
    assert rows[-1].count("|") == 1


@pytest.mark.parametrize("preparation", get_args(Preparation))
@pytest.mark.parametrize("system", ["metric", "us"])
def test_every_drawing_fits_a_terminal(preparation: str, system: str) -> None:
    """80 columns, two of them for the margin."""
    shown = Shown("us" if system == "us" else "metric")
    lines = list(section_drawing(prepared(preparation), shown).lines)
    for ends in ("both in the wall", "one at an edge", "through"):
        lines += map_drawing(job(f'ends = "{ends}"\npreparation = "{preparation}"', 1000)).lines
    lines += map_drawing(job(f'repair = "patch"\npreparation = "{preparation}"')).lines
    assert all(len(line) <= 78 and line.isprintable() for line in lines)


def test_the_map_numbers_the_places_as_they_are_laid() -> None:
    """Five places from the ends to the middle: order 1-5-2-4-3, so place 1 first, 5 second."""
    lines = map_drawing(job()).lines
    assert lines[1] == "○ │  1 │  3 │  5 │  4 │  2 │ ○"
    assert lines[2].split("│")[1:-1] == ["  ← ", "  ← ", "  → ", "  → ", "  → "]


LONG = [
    ("both in the wall", "crack", 1000),
    ("one at an edge", "crack", 700),
    ("through", "break", 180),
    ("both in the wall", "patch", 400),
    ("both in the wall", "patch", 25),
    ("through", "crack", 25),
]


@pytest.mark.parametrize(("ends", "repair", "length_mm"), LONG)
def test_the_page_s_map_has_every_place_once_with_its_way(
    ends: str, repair: str, length_mm: int
) -> None:
    """A box, a number and an arrow a place and group; the arrow points as the bead is drawn."""
    made = job(f'ends = "{ends}"\nrepair = "{repair}"\n', length_mm)
    plan, shape = made.plan, map_shape(made)
    groups = len(plan.order) // plan.places

    assert len(of_kind(shape, "box")) == plan.places * groups
    numbers = [label.text for label in shape.labels if label.text.isdigit()]
    for group in range(groups):
        order = plan.order[group * plan.places : (group + 1) * plan.places]
        here = numbers[group * plan.places : (group + 1) * plan.places]
        assert [int(text) for text in here] == [order.index(p) + 1 for p in range(plan.places)]
    arrows = of_kind(shape, "arrow")
    assert len(arrows) == (plan.places * groups if plan.places > 1 else 0)
    if repair != "patch" and arrows:
        ways = [draw_toward(plan.order.index(p) + 1, plan.order) for p in range(plan.places)]
        drawn = ["→" if a.points[1][0] > a.points[0][0] else "←" for a in arrows]
        assert drawn[: plan.places] == ways


def test_what_lies_beyond_the_ends() -> None:
    """Ends in the wall have stop holes, edges none; a patch is a ring without either."""

    def kinds(joint: str) -> list[str]:
        shape = map_shape(job(joint))
        return [stroke.kind for stroke in shape.strokes if stroke.kind in ("hole", "edge")]

    assert kinds('ends = "both in the wall"') == ["hole", "hole"]
    assert kinds('ends = "one at an edge"') == ["hole", "edge"]
    assert kinds('ends = "through"') == ["edge", "edge"]
    assert kinds('repair = "patch"') == []
    assert "round the patch" in map_drawing(job('repair = "patch"')).lines[-2]


@pytest.mark.parametrize("length_mm", [100, 400, 425, 800])
def test_a_patch_s_boxes_lie_on_a_ring(length_mm: int) -> None:
    """Neighbours share a side, the last with the first; no box is squeezed; clockwise."""
    made = job('repair = "patch"', length_mm)
    shape = map_shape(made)
    boxes = [set(_rounded(box.points)) for box in of_kind(shape, "box")]
    ends = [_rounded([box.points[0], box.points[8]]) for box in of_kind(shape, "box")]

    assert len(boxes) == made.plan.places
    for box, following in zip(boxes, [*boxes[1:], boxes[0]], strict=True):
        assert len(box & following) == (4 if len(boxes) == 2 else 2)
    if len(boxes) > 8:
        outer = [math.dist(first, last) for first, last in ends]
        assert 0.9 < min(outer) <= max(outer) < 1.4
    ring = [point for pair in ends for point in pair[:1]]
    turned = zip(ring, [*ring[1:], ring[0]], strict=True)
    # The shoelace sum of a ring run clockwise is below 0.
    assert sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in turned) < 0.0
    assert ring[0][0] == min(x for box in boxes for x, _ in box)


def _rounded(points: Sequence[Point]) -> list[Point]:
    return [(round(x, 6), round(y, 6)) for x, y in points]


def test_a_long_ring_uses_the_width_of_a_sheet() -> None:
    """32 boxes on a circle would be a third as large."""
    assert 3.0 < map_shape(job('repair = "patch"', 800)).wide_to_high < 5.0
    assert map_shape(job('repair = "patch"', 200)).wide_to_high < 1.3


@pytest.mark.parametrize(
    ("joint", "said"),
    [
        ('ends = "both in the wall"', "○ is a stop hole, an arrow is the way"),
        ('ends = "one at an edge"', "○ is a stop hole, a bar is the part's edge, an arrow"),
        ('repair = "patch"', "round the patch, clockwise from the left, an arrow is"),
    ],
)
def test_the_page_s_map_says_what_its_signs_are(joint: str, said: str) -> None:
    """Whoever stands at the table has nothing but the card."""
    assert said in legend(job(joint))


def test_runs_that_alternate_are_drawn_apart() -> None:
    """Through, six places of 30 mm: every second run is the mirror of the one before."""
    made = job_from_text(
        '[job]\nmethod = "hot"\n[part]\nmetal = "grey iron"\nmass = "4 kg"\nwall = "12 mm"\n'
        '[joint]\nends = "through"\ncrack_length = "180 mm"\n[bead]\nlength = "30 mm"\n',
        "made up",
    )
    lines = map_drawing(made).lines
    at = lines.index("even runs")
    assert lines[0] == "odd runs"
    odd, even = (lines[i + 2].split("│")[1:-1] for i in (0, at))
    assert even == odd[::-1]
