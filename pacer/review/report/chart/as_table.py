"""What the charts show as tables, for who can't see them and for paper.

A chart has a point or two a pixel; its table has the coldest and the hottest reading of each
of some forty equal parts of the same time, from the same points.
"""

from __future__ import annotations

from collections.abc import Iterator

from pacer.review.moments import clock
from pacer.review.report.chart.envelope import extremes
from pacer.review.report.chart.plot import Chart
from pacer.review.report.chart.scale import hours
from pacer.review.report.known_then import KnownThen
from pacer.review.report.markup import table
from pacer.review.report.series import Series
from pacer.units import Shown

PARTS = 40
_NONE = "-"


def chart_table(chart: Chart, series: Series, shown: Shown) -> str:
    """Return the table of a chart's decisive temperature."""
    return table(
        f"{chart.heading}: the temperature that decides",
        ("from", "coldest", "hottest", "mostly in"),
        _rows(chart, series, shown),
        right=(0, 1, 2),
    )


def _rows(chart: Chart, series: Series, shown: Shown) -> Iterator[tuple[str, str, str, str]]:
    seen = chart.window
    step_s = (seen.to_s - seen.from_s) / PARTS
    points = series.believed.between(seen.from_s, seen.to_s)
    at = 0
    for part in range(PARTS):
        from_s, to_s = seen.from_s + part * step_s, seen.from_s + (part + 1) * step_s
        first = at
        while at < len(points) and (points[at].t_s < to_s or part == PARTS - 1):
            at += 1
        found = extremes(points[first:at])
        if from_s > series.to_s:
            return
        temps = ("-", "-")
        if found is not None:
            temps = (shown.temp_c(found[0].temp_c, 1), shown.temp_c(found[1].temp_c, 1))
        yield (hours(round(from_s - chart.zero_s)), *temps, _mostly(series, from_s, to_s))


def _mostly(series: Series, from_s: float, to_s: float) -> str:
    """Return the phase in which most of a time was spent."""
    spent_s: dict[str, float] = {}
    for stay in series.stays:
        within_s = min(stay.to_s, to_s) - max(stay.from_s, from_s)
        if within_s > 0.0:
            spent_s[stay.phase] = spent_s.get(stay.phase, 0.0) + within_s
    return max(spent_s, key=lambda phase: spent_s[phase], default="-")


def forecast_table(series: Series, shown: Shown) -> str:
    """Return what was forecast of the cool-down and, in its last rows, what came."""
    then = series.then
    covered_s = then.covered_s
    if covered_s is None:
        return ""

    def after(t_s: float | None) -> str:
        return "no bound" if t_s is None else shown.duration(t_s - covered_s)

    def read(temp_c: float | None) -> str:
        return _NONE if temp_c is None else shown.temp_c(temp_c)

    rows = [
        (
            made.made_s,
            f"forecast {made.when}{_bare(then, made.made_s)}",
            read(made.temp_c),
            after(made.eta_s),
            f"{after(made.low_s)} to {after(made.high_s)}",
        )
        for made in then.made
    ]
    if then.uncovered_s is not None:
        off = f"uncovered after {after(then.uncovered_s)}"
        rows.append((then.uncovered_s, "what came", read(then.uncovered_c), off, _NONE))
    if then.reached_s is not None:
        cool = f"{after(then.reached_s)}{_bare(then, then.reached_s)}"
        rows.append((then.reached_s, "what came", read(then.reached_c), cool, _NONE))
    if then.reached_s is None and then.uncovered_s is None:
        rows.append((series.to_s, "when the record ends", _NONE, "not cool enough yet", _NONE))
    rows.sort(key=lambda row: row[0])
    return table(
        "When the part was to be cool enough, from covering on, and what came",
        ("", "at", "read then", "cool enough after", "80 % between"),
        ((what, clock(at_s), *rest) for at_s, what, *rest in rows),
        right=(1, 2),
    )


def _bare(then: KnownThen, t_s: float) -> str:
    """Return that something was in open air, where it was."""
    return ", in open air" if then.uncovered_s is not None and t_s > then.uncovered_s else ""
