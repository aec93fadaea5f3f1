"""The items that the record of a heat treatment holds (row Q03), measured from the recording.

All of it is of the probe: what the rest of the part did is not known.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from pacer.job.job import Job
from pacer.job.sheet.making import some
from pacer.review.report.chart.envelope import Point, temp_at
from pacer.review.report.markup import span
from pacer.review.report.series import Series, Stay
from pacer.review.reviewed import Reviewed
from pacer.session.cooling import FIRST_LOOK_S
from pacer.session.work import Phase
from pacer.text import clean
from pacer.units import Shown

MEAN_S = 1800.0
"A rate of cooling is a mean of so long (procedure of the trade)."

RATE_ABOVE_C = 150.0
"Below it no rate is asked for (rows S04 and D07: a furnace's rates are given down to there)."

NOT_SAID = "not said"
NOT_MEASURED = "not measured"


def items(reviewed: Reviewed, series: Series, shown: Shown) -> list[tuple[str, str]]:
    """Return each item with what the record holds of it."""
    job, points = reviewed.opened.job, series.believed.points()
    return [
        ("thermocouples: how many", _number(reviewed, series)),
        ("thermocouples: where", _where(job, shown)),
        ("heating rate", "; ".join(_heating(series.stays, points, shown)) or NOT_MEASURED),
        ("held before welding (soak)", _held(series, points, Phase.SOAK, shown)),
        ("held after welding (post-heat)", _held(series, points, Phase.POST_HEAT, shown)),
        ("cooling rate", "; ".join(_cooling(series, points, shown)) or NOT_MEASURED),
        ("chart", "on this page: the whole session, and the cool-down where there was one"),
    ]


def _number(reviewed: Reviewed, series: Series) -> str:
    opened = reviewed.opened
    typed = len(reviewed.table.typed) + reviewed.table.typed.more
    parts = [f"{some(series.channels, 'channel')} that sent a number"]
    if opened.channel.thermocouple is not None:
        parts.append(f"type {opened.channel.thermocouple.letter}, by voltage")
    if typed:
        parts.append(f"{some(typed, 'reading')} typed in")
    made = [f"{clean(c.made)}: {clean(c.how)}" for c in opened.channel.corrections]
    parts.append("checked " + "; ".join(made) if made else "field check: none recorded")
    return "; ".join(parts)


def _where(job: Job, shown: Shown) -> str:
    key = "sensor.distance"
    parts = [
        clean(job.facts.get("sensor.place", "place " + NOT_SAID)),
        f"{shown.length_m(job.sensor.distance_m)} from the joint's edge "
        f"({clean(job.origin.get(key, 'given'))})",
        clean(job.facts.get("sensor.face", "face " + NOT_SAID)),
        "held by " + clean(job.facts.get("sensor.fixing", NOT_SAID)),
    ]
    return "; ".join(parts)


def _heating(stays: Iterable[Stay], points: Sequence[Point], shown: Shown) -> Iterator[str]:
    for stay in stays:
        if stay.phase is not Phase.PREHEAT:
            continue
        inside = [p for p in points if stay.from_s <= p.t_s <= stay.to_s]
        if len(inside) < 2 or inside[-1].t_s - inside[0].t_s < 60.0:
            continue
        first, last = inside[0], inside[-1]
        rate_c_h = (last.temp_c - first.temp_c) / (last.t_s - first.t_s) * 3600.0
        yield (
            f"{shown.rate_c_h(rate_c_h)} on average, from {shown.temp_c(first.temp_c)} to "
            f"{shown.temp_c(last.temp_c)} in {shown.duration(last.t_s - first.t_s)}"
        )


def _held(series: Series, points: Sequence[Point], phase: Phase, shown: Shown) -> str:
    """Return how long the hold counted, then each stay in its phase: the way up to it is in that."""
    parts = []
    held_s = series.measured.soak_s if phase is Phase.SOAK else series.measured.hold_s
    if held_s is not None:
        parts.append(f"{shown.duration(held_s)} as counted")
    for stay in series.stays:
        if stay.phase is not phase:
            continue
        temps = [p.temp_c for p in points if stay.from_s <= p.t_s <= stay.to_s]
        read = span(min(temps), max(temps), shown) if temps else NOT_MEASURED
        parts.append(f"{shown.duration(stay.to_s - stay.from_s)} in the phase, {read}")
    return "; ".join(parts) or "none in this recording"


def _cooling(series: Series, points: Sequence[Point], shown: Shown) -> Iterator[str]:
    covered_s = series.then.covered_s
    if covered_s is None:
        return
    inside = [p for p in points if p.t_s >= covered_s]
    if len(inside) < 2:
        return
    fall = fastest_fall(inside, covered_s + FIRST_LOOK_S)
    if fall is not None:
        rate_c_h, from_s = fall
        yield (
            f"at most {shown.rate_c_h(rate_c_h)} as a mean of 30 min above "
            f"{shown.temp_c(RATE_ABOVE_C)}, {shown.duration(from_s - covered_s)} after covering "
            f"(the first {shown.duration(FIRST_LOOK_S)} left out)"
        )
    else:
        yield f"no 30 min of readings above {shown.temp_c(RATE_ABOVE_C)} to take a rate from"
    first, last = inside[0], inside[-1]
    half_hour_c = temp_at(inside, first.t_s + MEAN_S)
    if half_hour_c is not None:
        rate_c_h = (first.temp_c - half_hour_c) / MEAN_S * 3600.0
        yield f"{shown.rate_c_h(rate_c_h)} as a mean of the first 30 min, the hot start in it"
    yield (
        f"in all from {shown.temp_c(first.temp_c)} to {shown.temp_c(last.temp_c)} in "
        f"{shown.duration(last.t_s - first.t_s)}"
    )


def fastest_fall(points: Sequence[Point], from_s: float) -> tuple[float, float] | None:
    """Return the greatest mean fall over 30 min, °C/h, and when those began, s.

    Each from one reading to the first that is 30 min or more after it, the later one at or
    above 150 °C, with no break between. None where there is none.
    """
    best: tuple[float, float] | None = None
    later, since_s = 0, [0.0] * len(points)
    for at, point in enumerate(points):
        since_s[at] = point.t_s if point.broken or not at else since_s[at - 1]
    for first in points:
        if first.t_s < from_s:
            continue
        while later < len(points) and points[later].t_s < first.t_s + MEAN_S:
            later += 1
        if later == len(points):
            break
        last = points[later]
        if since_s[later] > first.t_s or last.temp_c < RATE_ABOVE_C:
            continue
        rate_c_h = (first.temp_c - last.temp_c) / (last.t_s - first.t_s) * 3600.0
        if best is None or rate_c_h > best[0]:
            best = (rate_c_h, first.t_s)
    return best
