"""Scales to draw on: the band gauge's line and the trend's points and limit lines."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pacer.session.state import State
from pacer.session.work import Phase
from pacer.units import Shown

_WARMING = frozenset({Phase.PREPARE, Phase.TACK, Phase.PREHEAT})
_COOLING = frozenset({Phase.BURY, Phase.COOL_DOWN, Phase.DONE})


@dataclass(frozen=True, slots=True)
class Mark:
    """One limit."""

    temp_c: float
    name: str
    shown: str
    "Its temperature in the user's unit."


@dataclass(frozen=True, slots=True)
class Gauge:
    """A line of temperatures with a wanted stretch on it; °C, drawn left to right."""

    low_c: float
    high_c: float
    wanted_from_c: float
    wanted_to_c: float
    marks: tuple[Mark, ...]
    temp_c: float | None
    "Where the part is; None where that isn't known."
    digits: str
    "The same in the user's unit, for the marker."


@dataclass(frozen=True, slots=True)
class Trend:
    """Temperature over time."""

    points: tuple[tuple[float, float | None], ...]
    "(session time s, °C or None for a gap)."
    lines: tuple[Mark, ...]
    from_s: float
    to_s: float
    "Now, in whole seconds."
    span: str
    "How much time is drawn, in words."
    ahead: tuple[tuple[float, float], ...] = ()
    "What is forecast, (session time s, °C): drawn as single dots."


def marks(state: State, shown: Shown) -> tuple[Mark, ...]:
    """Return the limits that matter in this phase, coldest first."""
    job, phase = state.job, state.phase
    named: list[tuple[float | None, str]]
    if phase in _COOLING:
        named = [(job.cooldown.until_c, "until")]
    elif phase is Phase.POST_HEAT:
        named = [(job.postheat.temperature_c, "hold"), (job.band.ceiling_c, "ceiling")]
    elif phase in _WARMING:
        named = [
            (job.band.floor_c, "floor"),
            (job.band.preheat_c, "preheat"),
            (job.band.ceiling_c, "ceiling"),
        ]
    else:
        named = [(job.band.floor_c, "floor"), (job.band.ceiling_c, "ceiling")]
    found = [Mark(c, name, shown.temp_c(c)) for c, name in named if c is not None]
    return tuple(sorted(found, key=lambda mark: mark.temp_c))


def gauge(state: State, shown: Shown, temp_c: float | None) -> Gauge:
    """Return the gauge: wide while heating up or cooling, near the band while welding."""
    job, phase = state.job, state.phase
    band, ambient_c = job.band, job.cooldown.ambient_c
    limits = marks(state, shown)
    digits = "" if temp_c is None else shown.temp_c(temp_c)
    if phase in _COOLING:
        until_c = job.cooldown.until_c
        start_c = state.cooling.start_c if state.cooling else None
        high_c = max(start_c or 0.0, band.ceiling_c, until_c + 40.0)
        low_c = min(ambient_c, until_c - 5.0)
        return Gauge(low_c, high_c, low_c, until_c, limits, temp_c, digits)
    if band.floor_c is None or phase in _WARMING or phase is Phase.POST_HEAT:
        low_c = min(ambient_c, band.ceiling_c - 10.0)
        floor_c = low_c if band.floor_c is None else band.floor_c
        high_c = band.ceiling_c + 0.25 * (band.ceiling_c - low_c)
        return Gauge(low_c, high_c, floor_c, band.ceiling_c, limits, temp_c, digits)
    half = 0.5 * (band.ceiling_c - band.floor_c)
    low_c, high_c = band.floor_c - half, band.ceiling_c + half
    return Gauge(low_c, high_c, band.floor_c, band.ceiling_c, limits, temp_c, digits)


def trend(
    state: State,
    shown: Shown,
    points: tuple[tuple[float, float | None], ...],
    t_s: float,
    ahead: tuple[tuple[float, float], ...] = (),
) -> Trend:
    """Return the trend up to now, and on to what is forecast."""
    if not points:
        return Trend((), marks(state, shown), 0.0, 0.0, "no readings yet")
    from_s, to_s = points[0][0], max(points[-1][0], float(math.floor(t_s)))
    span = f"last {shown.duration(math.ceil((to_s - from_s) / 10) * 10.0)}"
    if ahead:
        span = "dots: forecast"
    return Trend(
        points, marks(state, shown), from_s, max([to_s, *(t for t, _ in ahead)]), span, ahead
    )
