"""A curve in bounded memory: every point is a reading, and no extreme is ever lost."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from pacer.review.report.chart.envelope import Envelope, Point, extremes, temp_at, thinned

_STEPS_S = st.floats(0.05, 40.0)
_TEMPS_C = st.floats(-50.0, 1400.0)
READINGS = st.lists(st.tuples(_STEPS_S, _TEMPS_C, st.booleans()), min_size=1, max_size=120)


def timed(readings: list[tuple[float, float, bool]]) -> list[Point]:
    """Return readings with their times."""
    points, t_s = [], 0.0
    for step_s, temp_c, broken in readings:
        t_s += step_s
        points.append(Point(t_s, temp_c, broken))
    return points


def filled(points: list[Point], most: int) -> Envelope:
    """Return an envelope of the readings."""
    curve = Envelope(most)
    for point in points:
        curve.add(*point)
    return curve


@given(READINGS, st.integers(1, 40))
def test_an_envelope_keeps_the_extremes_in_bounded_room(
    readings: list[tuple[float, float, bool]], most: int
) -> None:
    """However often it was widened: points are readings, in order, the extremes among them."""
    points = timed(readings)
    curve = filled(points, most)
    kept = list(curve)

    assert len(curve) <= most
    assert {p[:2] for p in kept} <= {p[:2] for p in points}
    assert [p.t_s for p in kept] == sorted(p.t_s for p in kept)
    assert min(p.temp_c for p in kept) == min(p.temp_c for p in points)
    assert max(p.temp_c for p in kept) == max(p.temp_c for p in points)
    assert curve.last_s == points[-1].t_s


@given(READINGS)
def test_each_part_of_an_envelope_has_its_own_extremes(
    readings: list[tuple[float, float, bool]],
) -> None:
    """A spike of one reading in the middle of hours is in its part, not only somewhere."""
    points = [p._replace(broken=False) for p in timed(readings)]
    curve = filled(points, 16)
    kept = list(curve)
    for part in {int(p.t_s / curve.width_s) for p in points}:
        here = [p.temp_c for p in points if int(p.t_s / curve.width_s) == part]
        of_it = [p.temp_c for p in kept if int(p.t_s / curve.width_s) == part]
        assert (min(of_it), max(of_it)) == (min(here), max(here))


@given(READINGS, st.integers(1, 30))
def test_thinning_keeps_the_extremes_of_every_pixel(
    readings: list[tuple[float, float, bool]], parts: int
) -> None:
    """Never every nth: of each pixel the coldest and the hottest, and each break."""
    points = timed(readings)
    from_s, to_s = points[0].t_s, points[-1].t_s + 1.0
    kept = thinned(points, from_s, to_s, parts)
    scale = parts / (to_s - from_s)

    def pixel(point: Point) -> int:
        return min(int((point.t_s - from_s) * scale), parts - 1)

    assert {p[:2] for p in kept} <= {p[:2] for p in points}
    assert sum(p.broken for p in kept) == sum(p.broken for p in points)
    for at in {pixel(p) for p in points}:
        here = [p.temp_c for p in points if pixel(p) == at]
        drawn = [p.temp_c for p in kept if pixel(p) == at]
        assert (min(drawn), max(drawn)) == (min(here), max(here))
        breaks = sum(p.broken for p in points if pixel(p) == at)
        assert len(drawn) <= 2 * (1 + breaks)


def test_a_short_spike_survives_twelve_hours() -> None:
    """One reading of 900 °C among 172,800 of 260 °C, in 64 parts."""
    curve = Envelope(64)
    for n in range(12 * 3600 * 4):
        curve.add(n / 4, 900.0 if n == 100_001 else 260.0)

    assert Point(100_001 / 4, 900.0) in list(curve)
    assert len(curve) <= 64


def test_a_break_is_forgotten_only_where_it_is_too_short_to_be_seen() -> None:
    """A minute without readings still parts the curve when a part is a quarter of one long."""
    curve = Envelope(4)
    for t_s in (*range(20), *range(80, 110)):
        curve.add(float(t_s), 250.0, broken=t_s == 80)

    assert curve.width_s >= 16.0
    assert [p.t_s for p in curve if p.broken] == [80.0]


def test_between_two_readings_the_line_is_straight_and_over_a_break_there_is_none() -> None:
    """Half-way between 100 and 200 °C is 150 °C."""
    points = [Point(0.0, 100.0), Point(10.0, 200.0), Point(20.0, 50.0, broken=True)]

    assert temp_at(points, 5.0) == 150.0
    assert temp_at(points, 10.0) == 200.0
    assert temp_at(points, 15.0) is None
    assert temp_at(points, 21.0) is None
    assert extremes(points) == (points[2], points[1])
    assert extremes([]) is None
