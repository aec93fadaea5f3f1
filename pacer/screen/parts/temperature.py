"""The temperature as digits, how old it is, and where it stands in the band.

Digits are shown only for what `session/track.py` believes at this very moment; anything
older is dashes and its age, so an old number can't be taken for a live one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from pacer.session.state import State
from pacer.session.track import believed, blind, known_points_c
from pacer.session.work import Phase
from pacer.units import Shown

Standing = Literal["unknown", "below", "in", "over", "none"]
DASHES = "– – –"

_ON_THE_WAY = frozenset({Phase.PREPARE, Phase.TACK, Phase.PREHEAT})
_COOLING = frozenset({Phase.BURY, Phase.COOL_DOWN, Phase.DONE})


@dataclass(frozen=True, slots=True)
class Temperature:
    """What the temperature panel says."""

    digits: str
    "In the user's unit, or dashes."
    unit: str
    age: str
    "How it was come by and how old it is."
    place: str
    "Where it stands, in words."
    standing: Standing
    temp_c: float | None
    "The same for the gauge."


def temperature(state: State, t_s: float, shown: Shown) -> Temperature:
    """Return the panel at `t_s`."""
    now = believed(state, t_s)
    unit = "°F" if shown.system == "us" else "°C"
    if now is None:
        place = "neither hot nor cold is known"
        return Temperature(DASHES, unit, _missing(state, t_s), place, "unknown", None)
    age = typed_ago(t_s - now.at_s) if now.typed else ""
    if now.side:
        age = f"{'at least' if now.side > 0 else 'less than'}, {age}"
    standing, place = _place(state, t_s, now.temp_c, shown)
    digits = f"{shown.temp_number(now.temp_c):.0f}"
    return Temperature(digits, unit, age, place, standing, now.temp_c)


def _missing(state: State, t_s: float) -> str:
    if state.sensor.hand:
        if state.typed is None:
            return "nothing typed yet: R"
        return f"too old, {typed_ago(t_s - state.typed.at_s)}: R"
    control = state.control
    if control is not None and control.at_s is not None:
        return f"NO READING for {_age(t_s - control.at_s)}"
    lapse = blind(state, t_s)
    if lapse is not None and lapse[0] > t_s:
        return "no reading yet"
    return "NO READING"


def typed_ago(age_s: float) -> str:
    """Return a typed reading's age, never ticking by the second.

    >>> typed_ago(4.0), typed_ago(34.0), typed_ago(75.0)
    ('typed just now', 'typed 30 s ago', 'typed 1 min ago')
    """
    if age_s < 10:
        return "typed just now"
    if age_s < 60:
        return f"typed {10 * math.floor(age_s / 10)} s ago"
    return f"typed {_age(age_s)} ago"


def _age(age_s: float) -> str:
    """Whole seconds below a minute, then whole minutes and hours, always rounded down."""
    if age_s < 60:
        return f"{math.floor(age_s)} s"
    hours, minutes = divmod(math.floor(age_s / 60), 60)
    return f"{hours} h {minutes} min" if hours else f"{minutes} min"


def _place(state: State, t_s: float, temp_c: float, shown: Shown) -> tuple[Standing, str]:
    band, phase = state.job.band, state.phase
    if phase in _COOLING:
        until_c = state.job.cooldown.until_c
        if temp_c <= until_c:
            return "none", f"at or below {shown.temp_c(until_c)}"
        return "none", f"{_degrees(until_c, temp_c, shown)} above {shown.temp_c(until_c)}"
    if temp_c > band.ceiling_c:
        return "over", f"OVER CEILING by {_degrees(band.ceiling_c, temp_c, shown)}"
    goal_c = state.job.postheat.temperature_c if phase is Phase.POST_HEAT else band.preheat_c
    if goal_c is not None and phase in _ON_THE_WAY | {Phase.POST_HEAT}:
        if temp_c >= goal_c:
            return "none", f"at {shown.temp_c(goal_c)} or above"
        return "none", f"{_degrees(temp_c, goal_c, shown)} to go to {shown.temp_c(goal_c)}"
    coldest = min((temp_c, *known_points_c(state, t_s)))
    if band.floor_c is None:
        return "in", f"{_degrees(temp_c, band.ceiling_c, shown)} under ceiling"
    if coldest < band.floor_c:
        where = "" if coldest == temp_c else " at the coldest point"
        return "below", f"BELOW FLOOR by {_degrees(coldest, band.floor_c, shown)}{where}"
    if band.ceiling_c - temp_c <= temp_c - band.floor_c:
        return "in", f"{_degrees(temp_c, band.ceiling_c, shown)} under ceiling"
    return "in", f"{_degrees(band.floor_c, temp_c, shown)} above floor"


def _degrees(low_c: float, high_c: float, shown: Shown) -> str:
    """Return the distance between two temperatures as degrees of the user's thermometer.

    Of the rounded numbers, so that it agrees with the digits; never 0 for a limit passed.
    """
    low, high = shown.temp_number(low_c), shown.temp_number(high_c)
    whole = max(round(high) - round(low), 1 if high > low else 0)
    return f"{whole} {'°F' if shown.system == 'us' else '°C'}"
