"""The cool-down on a chart: what was forecast of it, as it was known then, and what came."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.review.report.chart import ink, lanes, limits
from pacer.review.report.chart.envelope import Point
from pacer.review.report.chart.plot import Chart, Plot, Size, sized, window
from pacer.review.report.chart.room import Box
from pacer.review.report.known_then import KnownThen, Then, what_came
from pacer.review.report.series import Series
from pacer.review.reviewed import Reviewed
from pacer.units import Shown

_FARTHEST = 4.0
"""A forecast is drawn to so many times the cool-down that is on record."""


def cool_down(reviewed: Reviewed, series: Series, shown: Shown) -> Iterator[Chart]:
    """Yield the chart of the last cool-down, if one was read."""
    then, job = series.then, reviewed.opened.job
    if then.covered_s is None or not series.believed.between(then.covered_s, series.to_s):
        return
    covered_s = then.covered_s
    end_s = _end_s(series, covered_s)
    curve = series.believed.between(covered_s, end_s)
    seen = window([curve], covered_s, end_s, [job.cooldown.until_c, 0.0])

    def drawn(size: Size) -> str:
        plot = Plot(size, seen, shown, top=1.9 * size.letter, high=270.0)
        plot.axes(zero_s=covered_s)
        plot.gaps(series.gaps)
        until_c = job.cooldown.until_c
        y = plot.y_of(until_c)
        plot.add(ink.line("high", plot.left, y, plot.right, y))
        plot.room.take(Box(plot.left, y - 1.0, plot.right, y + 1.0))
        plot.ground()
        for number, made in enumerate(then.made):
            _forecast(plot, made, number)
        plot.curve("curve", curve)
        words = f"cool enough: {shown.temp_c(until_c)}"
        over = limits.Limits(None, "", until_c, "")
        whole = limits.Stretch(over, seen.from_s, seen.to_s)
        plot.word(words, limits.beside(plot, [whole], y, ink.wide(words, size.letter)))
        plot.name_gaps(series.gaps)
        plot.frame()
        _whiskers(plot, then)
        lanes.below_cool_down(plot, series, reviewed.table)
        return plot.svg("cool", "The cool-down", _words(series, shown))

    caption = (
        "Solid line: what came. Dashed lines: what was forecast, from the moment at which it was "
        "forecast, each with the range that held 80 % then. Below: when the part was to be cool "
        f"enough, by each forecast (dot: most likely; bar: 80 %){_came(then)}. "
        "Times count from covering."
    )
    yield Chart(
        "cool", "The cool-down, forecast and what came", caption, sized(drawn), seen, covered_s
    )


def _came(then: KnownThen) -> str:
    if then.uncovered_s is not None:
        return (
            ". From uncovering on it cooled in open air; what was forecast before was for its cover"
        )
    return "; upright line: when it was" if then.reached_s is not None else ""


def _end_s(series: Series, covered_s: float) -> float:
    """Return how far the chart goes: past what came and what was forecast, but not for days."""
    came_s = max(series.to_s, covered_s + 60.0)
    ends_s = [made.eta_s if made.high_s is None else made.high_s for made in series.then.made]
    far_s = covered_s + _FARTHEST * (came_s - covered_s)
    return max(came_s, min(max(ends_s, default=came_s), far_s)) + 0.02 * (came_s - covered_s)


def _forecast(plot: Plot, made: Then, number: int) -> None:
    def point(t_s: float, temp_c: float) -> tuple[float, float]:
        return plot.x_of(t_s), plot.y_of(temp_c)

    seen = [row for row in made.curve if row[0] <= plot.window.to_s]
    upper = [point(t_s, high_c) for t_s, _, _, high_c in seen]
    lower = [point(t_s, low_c) for t_s, _, low_c, _ in reversed(seen)]
    plot.add(ink.shape("range", [*upper, *lower]))
    plot.curve(f"forecast{number % 6}", [Point(t_s, temp_c) for t_s, temp_c, _, _ in seen])
    x, y = point(made.curve[0][0], made.curve[0][1])
    plot.add(ink.ring("made", x, y, 3.0, plot.told(f"forecast made {made.label}")))


def _whiskers(plot: Plot, then: KnownThen) -> None:
    """Draw a lane a forecast: the range in which the part was to be cool enough."""
    for made in then.made:
        top, bottom = lanes.lane(plot, made.label)
        middle = (top + bottom) / 2.0
        if made.low_s >= plot.window.to_s:
            plot.add(ink.text("lane", plot.right - 4, middle, "later than shown", "end"))
            continue
        x0 = plot.x_of(made.low_s)
        x1 = plot.x_of(plot.window.to_s if made.high_s is None else made.high_s)
        plot.add(ink.line("whisker", x0, middle, x1, middle))
        for x in (x0, *((x1,) if made.high_s is not None else ())):
            plot.add(ink.line("whisker", x, middle - 4, x, middle + 4))
        if made.eta_s <= plot.window.to_s:
            plot.add(ink.ring("likely", plot.x_of(made.eta_s), middle, 3.6))
    if then.reached_s is not None and then.uncovered_s is None:
        x = plot.x_of(then.reached_s)
        plot.add(ink.line("came", x, plot.bottom, x, plot.foot))


def _words(series: Series, shown: Shown) -> str:
    then = series.then
    assert then.covered_s is not None
    said = [
        f"{made.label}: cool enough after {shown.duration(made.eta_s - then.covered_s)}"
        for made in then.made
    ]
    return f"Forecasts made {'; '.join(said) or 'none'}. What came: {what_came(then, shown)}."
