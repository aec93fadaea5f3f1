"""Words and marks on the charts: legible, off the curves, and true to what was done."""

from __future__ import annotations

from itertools import pairwise

import msgspec
import pytest
from clashing import clashes
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from reporting import COVERED_S, SVG, chart, made, parsed, press, report, story, text_of
from strategies import sessions

from pacer.job.job import Job
from pacer.review.report.chart import badges, charts
from pacer.review.report.chart.envelope import Envelope, Point
from pacer.review.report.chart.plot import SIZES, Window
from pacer.review.report.chart.room import Box, Room
from pacer.review.report.chart.scale import hours, time_ticks
from pacer.session.events import AnyEvent, Reading
from pacer.session.finding import Finding
from pacer.units import Shown

SEEN = Window(0.0, 3600.0, 0.0, 300.0)
NAMES = [f"{name}-{size}" for name in ("whole", "welding", "cool") for size in ("wide", "narrow")]


def test_words_lie_neither_on_a_curve_nor_on_each_other(hot_job: Job) -> None:
    """A repair with three channels: ceiling, floor, gaps, names of channels, each where there is room."""
    html = report(*made(hot_job, story(2.5, channels=3)))

    assert {name: clashes(chart(html, name)) for name in NAMES} == {name: [] for name in NAMES}
    words = text_of(chart(html, "welding-wide"))
    assert "ceiling 300" in words
    assert "floor 200" in words
    assert "deciding" in words


@settings(max_examples=5, deadline=None, suppress_health_check=list(HealthCheck))
@given(sessions(25))
def test_nor_in_any_other_session(hot_job: Job, events: list[AnyEvent]) -> None:
    """Whatever was read: a word without room is left out."""
    reviewed, series = made(hot_job, events)
    series.finish()
    for figure in charts.charts(reviewed, series, Shown()):
        for drawing in figure.drawings:
            assert clashes(parsed(drawing)) == []


def test_a_word_takes_the_first_place_without_a_line() -> None:
    """Curve from corner to corner: the upper left is free, the middle isn't; what is taken stays so."""
    room = Room(Box(0.0, 0.0, 100.0, 100.0))
    room.follow([[(0.0, 100.0), (100.0, 0.0)]])
    middle, corner = Box(40.0, 40.0, 60.0, 60.0), Box(5.0, 5.0, 30.0, 15.0)
    outside = Box(90.0, 90.0, 120.0, 99.0)

    assert room.place([outside, middle, corner]) == corner
    assert room.place([corner]) is None
    hatched = Box(60.0, 60.0, 100.0, 100.0)
    room.spare(hatched)
    low, lower = Box(70.0, 80.0, 90.0, 90.0), Box(45.0, 80.0, 59.0, 90.0)
    assert room.place([low, lower]) == lower
    assert room.place([low]) == low


def moments(*times_s: float) -> list[Finding]:
    """Return findings at these times."""
    return [Finding(name="late peen", t_s=t_s, words="late") for t_s in times_s]


@given(st.lists(st.floats(0.0, 3600.0), min_size=1, max_size=40))
def test_boxes_of_findings_never_meet_and_leave_none_out(times_s: list[float]) -> None:
    """However close their moments: every number in one box, and each box beside the next."""
    for size in SIZES:
        boxes = badges.laid(moments(*times_s), size, SEEN)
        numbers = sorted(n for box in boxes for _, n in box.at)
        assert numbers == list(range(1, len(times_s) + 1))
        edges = [(b.middle - b.half(size.letter), b.middle + b.half(size.letter)) for b in boxes]
        assert all(a[1] < b[0] for a, b in pairwise(edges))
        assert edges[0][0] >= size.left
        assert edges[-1][1] <= size.wide + 0.1


def test_the_numbers_in_a_box_are_all_told() -> None:
    """Neighbours as a range; four lines, then how many more."""
    assert badges.wrapped([3, 5, 4, 6, 7, 12]) == ("3–7, 12",)
    many = badges.wrapped(list(range(1, 60, 2)))
    assert many[0] == "1, 3, 5, 7,"
    shown = sum(line.count(",") for line in many[:-1])
    assert many[-1] == f"{30 - shown} more"


def test_covered_keeps_its_word_where_much_was_done_at_once(hot_job: Job) -> None:
    """Finish, turned and loosened within seconds of it: all four stand, in rows."""
    events = [e for e in story(2.5) if not (e.t_ms == 200_000 and not isinstance(e, Reading))]
    events += [
        press(200.0, "finish"),
        press(COVERED_S - 4, "turned"),
        press(COVERED_S - 2, "loosened"),
    ]
    events.sort(key=lambda event: event.t_ms)
    html = report(*made(hot_job, events))
    for name in ("whole-wide", "whole-narrow"):
        words = [
            text_of(e) for e in chart(html, name).iter(f"{SVG}text") if e.get("class") == "lane"
        ]
        assert {"covered", "loosened", "turned", "finish"} <= set(words)


def test_a_second_uncovering_is_told_apart(hot_job: Job) -> None:
    """Taken off early, and once more when the program asked: the second is no second uncovering."""
    events = [
        *story(2.5),
        press(COVERED_S + 1200.5, "uncovered"),
        press(COVERED_S + 8000.5, "uncovered"),
    ]
    events.sort(key=lambda event: event.t_ms)
    html = report(*made(hot_job, events))
    words = [text_of(e) for e in chart(html, "whole-wide").iter(f"{SVG}text")]

    assert words.count("uncovered") == 1
    assert words.count("uncovered, said again") == 1


@pytest.mark.parametrize(
    ("peened", "kind"), [("not confirmed", "bar-unsaid"), ("begun", "bar-peen")]
)
def test_a_peen_is_solid_only_where_somebody_said_so(hot_job: Job, peened: str, kind: str) -> None:
    """Time passed after the bead; whether it was peened then is another matter."""
    reviewed, series = made(hot_job, story(0.2))
    beads = tuple(msgspec.structs.replace(b, peened=peened) for b in reviewed.table.beads)
    reviewed.table.beads = beads
    html = report(reviewed, series)

    kinds = {e.get("class") for e in chart(html, "welding-wide").iter(f"{SVG}rect")}
    assert kinds & {"bar-unsaid", "bar-peen"} == {kind}
    assert ("hollow peen: nobody confirmed it" in html) == (kind == "bar-unsaid")


def test_a_bead_with_a_long_break_does_not_look_like_an_arc_of_that_time(hot_job: Job) -> None:
    """12 s of arc in 31 s, after an undo: pale."""
    reviewed, series = made(hot_job, story(0.2))
    (bead,) = reviewed.table.beads
    reviewed.table.beads = (msgspec.structs.replace(bead, broken_s=6.0),)

    rects = chart(report(reviewed, series), "welding-wide").iter(f"{SVG}rect")
    assert "bead-broken" in {e.get("class") for e in rects}


def test_above_the_ceiling_the_caption_says_what_counts(hot_job: Job) -> None:
    """Only where the curve is seen up there while beads are laid."""
    words = "own heat above the ceiling is not counted"
    reviewed, series = made(hot_job, story(0.2))
    assert words not in report(reviewed, series)

    hotter, series = made(hot_job, story(0.2))
    points = [
        Point(p.t_s, p.temp_c + (60.0 if 86 < p.t_s < 95 else 0.0), p.broken)
        for p in series.believed
    ]
    series.believed = Envelope()
    for point in points:
        series.believed.add(*point)
    assert words in report(hotter, series)


def test_an_axis_has_seconds_at_every_time_or_at_none() -> None:
    """70 s: 0:00:10 and 0:01:00, not 0:01 beside 0:01:10."""
    times = time_ticks(0.0, 70.0, 8)
    assert len({len(hours(t_s, fine=any(t % 60 for t in times))) for t_s in times}) == 1
