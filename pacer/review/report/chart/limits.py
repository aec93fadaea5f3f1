"""The limits that hold in a phase, and how they are shaded on a chart."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from pacer.job.job import Job
from pacer.review.report.chart import ink
from pacer.review.report.chart.plot import Plot
from pacer.review.report.series import Stay
from pacer.session.work import LAYING, Phase


class Limits(NamedTuple):
    """What the part should be between, °C; None: no limit on that side."""

    low_c: float | None
    low_name: str
    high_c: float | None
    high_name: str


def of_phase(job: Job, phase: Phase) -> Limits | None:
    """Return the limits of a phase, or None where there are none."""
    band = job.band
    if job.method == "cold":
        return Limits(None, "", band.ceiling_c, "ceiling") if phase in LAYING else None
    match phase:
        case Phase.PREHEAT:
            return Limits(band.preheat_c, "preheat", band.ceiling_c, "ceiling")
        case Phase.POST_HEAT:
            return Limits(job.postheat.temperature_c, "post-heat", band.ceiling_c, "ceiling")
        case Phase.COOL_DOWN:
            return Limits(None, "", job.cooldown.until_c, "stays covered until")
        case _ if phase in LAYING or phase is Phase.SOAK:
            return Limits(band.floor_c, "floor", band.ceiling_c, "ceiling")
        case _:
            return None


class Stretch(NamedTuple):
    """A time through which the same limits hold."""

    limits: Limits
    from_s: float
    to_s: float


def stretches(job: Job, stays: Iterable[Stay]) -> list[Stretch]:
    """Return when which limits hold; neighbours with the same ones are one."""
    found: list[Stretch] = []
    for stay in stays:
        limits = of_phase(job, stay.phase)
        if limits is None:
            continue
        last = found[-1] if found else None
        if last is not None and last.limits == limits and last.to_s == stay.from_s:
            found[-1] = last._replace(to_s=stay.to_s)
        else:
            found.append(Stretch(limits, stay.from_s, stay.to_s))
    return found


def shade(plot: Plot, job: Job, stays: Iterable[Stay]) -> None:
    """Shade the band phase by phase; the lowest layer of a chart."""
    for limits, x0, x1 in _seen(plot, job, stays):
        if limits.low_c is not None and limits.high_c is not None:
            plot.add(ink.area("band", x0, plot.y_of(limits.high_c), x1, plot.y_of(limits.low_c)))


def lines(plot: Plot, job: Job, stays: Iterable[Stay]) -> None:
    """Draw each limit's line, with its own dashes."""
    for limits, x0, x1 in _seen(plot, job, stays):
        for kind, temp_c in (("low", limits.low_c), ("high", limits.high_c)):
            if temp_c is not None:
                y = plot.y_of(temp_c)
                plot.add(ink.line(kind, x0, y, x1, y))


def _seen(plot: Plot, job: Job, stays: Iterable[Stay]) -> Iterator[tuple[Limits, float, float]]:
    drawn_to = plot.left - 1.0
    for stretch in stretches(job, stays):
        x0, x1 = plot.x_of(stretch.from_s), plot.x_of(stretch.to_s)
        # Thousands of stays in a hostile log come to a pixel each.
        if plot.meets(stretch.from_s, stretch.to_s) and x1 - drawn_to >= 0.5:
            drawn_to = x1
            yield stretch.limits, x0, x1


def name(plot: Plot, job: Job, stays: Iterable[Stay]) -> None:
    """Write each limit's name and figure over the longest of its lines."""
    longest: dict[tuple[str, float], Stretch] = {}
    for stretch in stretches(job, stays):
        if plot.meets(stretch.from_s, stretch.to_s):
            for key in _named(stretch.limits):
                known = longest.get(key)
                if known is None or _long(plot, stretch) > _long(plot, known):
                    longest[key] = stretch
    written: list[tuple[float, float, float]] = []
    size = plot.size.letter
    for (what, temp_c), stretch in longest.items():
        words = f"{what} {plot.shown.temp_c(temp_c)}"
        wide = ink.wide(words, size)
        x = min(max(plot.x_of(stretch.from_s) + 4, plot.left + 4), plot.right - wide)
        y = plot.y_of(temp_c) - 0.7 * size
        # One that would stand on another is told by the band's own table.
        if all(abs(y - b) > size or x > end or x + wide < begin for begin, end, b in written):
            plot.add(ink.text("limit", x, y, words))
            written.append((x, x + wide, y))


def _named(limits: Limits) -> list[tuple[str, float]]:
    sides = ((limits.high_name, limits.high_c), (limits.low_name, limits.low_c))
    return [(what, temp_c) for what, temp_c in sides if temp_c is not None]


def _long(plot: Plot, stretch: Stretch) -> float:
    return plot.x_of(stretch.to_s) - plot.x_of(stretch.from_s)
