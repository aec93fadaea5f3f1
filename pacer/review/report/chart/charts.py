"""The charts of one recording: the whole session, the welding closer; and the cool-down's."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.review.moments import clock
from pacer.review.report.chart import badges, ink, lanes, limits
from pacer.review.report.chart.cool_down import cool_down
from pacer.review.report.chart.envelope import Envelope, Point
from pacer.review.report.chart.key import key
from pacer.review.report.chart.plot import Chart, Plot, Size, Window, sized, window
from pacer.review.report.chart.room import Box
from pacer.review.report.series import Series
from pacer.review.reviewed import Reviewed
from pacer.review.text.findings_lines import nothing_recorded
from pacer.session.work import LAYING
from pacer.text import clean
from pacer.units import Shown

_SPARE = 0.02
"""Of a close-up so much is shown before and after."""

_WORTH_A_CLOSE_UP = 0.85
"""A close-up that shows nearly all is the first chart again."""


def charts(reviewed: Reviewed, series: Series, shown: Shown) -> list[Chart]:
    """Return the charts there is something for."""
    if nothing_recorded(reviewed.table):
        return []
    made = [_whole(reviewed, series, shown)]
    made += _welding(reviewed, series, shown)
    made += cool_down(reviewed, series, shown)
    return [chart for chart in made if chart is not None]


def _whole(reviewed: Reviewed, series: Series, shown: Shown) -> Chart | None:
    found = _window(reviewed, series, series.from_s, series.to_s, every_limit=True)
    return _chart(reviewed, series, shown, "whole", "The whole session", found, 250.0)


def _welding(reviewed: Reviewed, series: Series, shown: Shown) -> Iterator[Chart | None]:
    at = [stay for stay in series.stays if stay.phase in LAYING]
    if not at:
        return
    from_s, to_s = at[0].from_s, at[-1].to_s
    if to_s - from_s > _WORTH_A_CLOSE_UP * (series.to_s - series.from_s):
        return
    spare_s = max(30.0, _SPARE * (to_s - from_s))
    found = _window(reviewed, series, from_s - spare_s, min(to_s + spare_s, series.to_s))
    yield _chart(reviewed, series, shown, "welding", "The welding, closer", found, 290.0)


def _chart(
    reviewed: Reviewed,
    series: Series,
    shown: Shown,
    name: str,
    heading: str,
    seen: Window,
    high: float,
) -> Chart:
    job = reviewed.opened.job

    def drawn(size: Size) -> str:
        boxes = badges.laid(reviewed.findings, size, seen)
        plot = Plot(size, seen, shown, top=badges.room(boxes, size), high=high)
        limits.shade(plot, job, series.stays)
        plot.axes()
        limits.lines(plot, job, series.stays)
        plot.gaps(series.gaps)
        plot.ground()
        badges.draw(plot, boxes, reviewed.findings)
        _curves(plot, series)
        _typed(plot, reviewed)
        plot.name_gaps(series.gaps)
        limits.name(plot, job, series.stays)
        _end_labels(plot, series)
        plot.frame()
        lanes.below(plot, series, reviewed.table)
        return plot.svg(name, heading, _words(reviewed, series, seen, shown))

    return Chart(name, heading, key(reviewed, series, seen), sized(drawn), seen)


def _window(
    reviewed: Reviewed, series: Series, from_s: float, to_s: float, *, every_limit: bool = False
) -> Window:
    temps = [
        temp_c
        for stretch in limits.stretches(reviewed.opened.job, series.stays)
        if every_limit or (stretch.from_s < to_s and stretch.to_s > from_s)
        for temp_c in (stretch.limits.low_c, stretch.limits.high_c)
        if temp_c is not None
    ]
    temps += [act.temp_c for act in reviewed.table.typed if act.temp_c is not None]
    curves = (series.believed, series.doubted, *series.beside.values())
    return window([curve.between(from_s, to_s) for curve in curves], from_s, to_s, temps)


def _curves(plot: Plot, series: Series) -> None:
    ends = plot.window[:2]
    for number, points in enumerate(series.beside.values(), 1):
        plot.curve(f"beside{number}", points.between(*ends))
    plot.curve("doubted", series.doubted.between(*ends))
    plot.curve("curve", series.believed.between(*ends))


def _end_labels(plot: Plot, series: Series) -> None:
    """Write each channel's name near the end of its curve, where there are several."""
    if not series.beside:
        return
    ends = [("deciding", _last(plot, series.believed))]
    ends += [(name, _last(plot, points)) for name, points in series.beside.items()]
    letter = plot.size.letter
    for name, point in ends:
        if point is None:
            continue
        words, y = clean(name, 20), plot.y_of(point.temp_c)
        x = plot.x_of(point.t_s) - ink.wide(words, letter) - 2
        offs = (off * letter for n in range(2, 9) for off in (-0.4 * n, 0.4 * n))
        plot.word(words, ((x, y + off) for off in offs))


def _last(plot: Plot, curve: Envelope) -> Point | None:
    seen = curve.between(*plot.window[:2])
    return seen[-1] if seen else None


def _typed(plot: Plot, reviewed: Reviewed) -> None:
    reach = 0.32 * plot.size.letter
    for act in reviewed.table.typed:
        if act.temp_c is None or not plot.meets(act.t_s, act.t_s):
            continue
        x, y = plot.x_of(act.t_s), plot.y_of(act.temp_c)
        far = 1.5 * reach
        plot.room.take(Box(x - far, y - far, x + far, y + far))
        told = f"typed {plot.shown.temp_c(act.temp_c)} at {clock(act.t_s)}"
        if act.side:
            tip = -act.side * reach * 1.4
            corners = [(x - reach, y - tip), (x + reach, y - tip), (x, y + tip)]
            plot.add(ink.shape("typed", corners, plot.told(told)))
        elif act.text:
            corners = [(x - reach, y), (x, y - reach), (x + reach, y), (x, y + reach)]
            plot.add(ink.shape("typed", corners, plot.told(f"{told}: {act.text}")))
        else:
            plot.add(ink.ring("typed", x, y, reach, plot.told(told)))


def _words(reviewed: Reviewed, series: Series, seen: Window, shown: Shown) -> str:
    points = series.believed.between(seen.from_s, seen.to_s)
    if not points:
        return "No temperature was believed in this time."
    least, most = (pick(p.temp_c for p in points) for pick in (min, max))
    beads = sum(1 for b in reviewed.table.beads if seen.from_s <= b.started_s <= seen.to_s)
    return (
        f"Temperature from {clock(seen.from_s)} to {clock(seen.to_s)}: first "
        f"{shown.temp_c(points[0].temp_c)}, between {shown.temp_c(least)} and "
        f"{shown.temp_c(most)}, last {shown.temp_c(points[-1].temp_c)}; {beads} beads begun. "
        "The same figures are in the table of this chart near the end of the page."
    )
