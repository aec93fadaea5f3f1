"""The limits that hold in a phase, and how they are shaded on a chart."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from pacer.job.job import Job
from pacer.review.report.chart import ink
from pacer.review.report.chart.plot import Plot
from pacer.review.report.chart.room import Box
from pacer.review.report.series import Stay
from pacer.session.work import LAYING, Phase

_TRIED = 8
"A limit's name is tried at so many of its lines, the longest first."


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
                plot.room.take(Box(x0, y - 1.0, x1, y + 1.0))


def _seen(plot: Plot, job: Job, stays: Iterable[Stay]) -> Iterator[tuple[Limits, float, float]]:
    drawn_to = plot.left - 1.0
    for stretch in stretches(job, stays):
        x0, x1 = plot.x_of(stretch.from_s), plot.x_of(stretch.to_s)
        # Thousands of stays in a hostile log come to a pixel each.
        if plot.meets(stretch.from_s, stretch.to_s) and x1 - drawn_to >= 0.5:
            drawn_to = x1
            yield stretch.limits, x0, x1


def name(plot: Plot, job: Job, stays: Iterable[Stay]) -> None:
    """Write each limit's name and figure by one of its lines, where there is room.

    One for which there is none is told by the tables.
    """
    lined: dict[tuple[str, float], list[Stretch]] = {}
    for stretch in stretches(job, stays):
        if plot.meets(stretch.from_s, stretch.to_s):
            for key in _named(stretch.limits):
                lined.setdefault(key, []).append(stretch)
    for (what, temp_c), own in lined.items():
        own.sort(key=lambda stretch: -_long(plot, stretch))
        words = f"{what} {plot.shown.temp_c(temp_c)}"
        wide = ink.wide(words, plot.size.letter)
        plot.word(words, beside(plot, own[:_TRIED], plot.y_of(temp_c), wide))


def beside(
    plot: Plot, own: Sequence[Stretch], y: float, wide: float
) -> Iterator[tuple[float, float]]:
    """Yield places for a word by its lines: above and below them, then behind and before them."""
    letter = plot.size.letter
    sides = (-0.75 * letter, 0.8 * letter)
    for off in sides:
        for stretch in own:
            x, last = plot.x_of(stretch.from_s) + 4, plot.x_of(stretch.to_s) - wide
            yield x, y + off
            while x < last:
                x += letter
                yield x, y + off
    for stretch in own:
        yield plot.x_of(stretch.to_s) + 5, y
        yield plot.x_of(stretch.from_s) - 5 - wide, y
    for off in sides:
        # Over or under an end of the line, and past it.
        for stretch in own:
            for share in (0.3, 0.6, 0.9):
                yield plot.x_of(stretch.to_s) - (1.0 - share) * wide, y + off
                yield plot.x_of(stretch.from_s) - share * wide, y + off


def _named(limits: Limits) -> list[tuple[str, float]]:
    sides = ((limits.high_name, limits.high_c), (limits.low_name, limits.low_c))
    return [(what, temp_c) for what, temp_c in sides if temp_c is not None]


def _long(plot: Plot, stretch: Stretch) -> float:
    return plot.x_of(stretch.to_s) - plot.x_of(stretch.from_s)
