"""The temperature as digits, how old it is, and where it stands in the band.

Digits are shown only for what `session/track.py` believes at this very moment; anything
older is dashes and its age, so an old number can't be taken for a live one. A number in
doubt carries a question mark, one held while the arc disturbs it is grey: neither has a
place in the band.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from pacer.screen.parts.accuracy import tolerance
from pacer.screen.parts.standing import UNDER
from pacer.session.guard.standing import QUESTIONS, Stand, Standing, standing
from pacer.session.state import State
from pacer.session.track import Believed, believed, blind, feared, known_points_c
from pacer.session.work import Phase
from pacer.units import Shown

Place = Literal["unknown", "below", "in", "over", "none"]
DASHES = "– – –"
OVER_IF_RIGHT = "OVER CEILING if it is right"

_ON_THE_WAY = frozenset({Phase.PREPARE, Phase.TACK, Phase.PREHEAT})
_COOLING = frozenset({Phase.BURY, Phase.COOL_DOWN, Phase.DONE})


_MARKED = frozenset({Standing.NOISY, Standing.CHECKING, Standing.STARTING})
"""States named beside the place of a number that decides."""

_GREY = frozenset({Standing.CHECKING, Standing.STARTING})


@dataclass(frozen=True, slots=True)
class Temperature:
    """What the temperature panel says."""

    digits: str
    "In the user's unit, with a question mark where they are in doubt, or dashes."
    unit: str
    age: str
    "How it was come by and how old it is."
    place: str
    "Where it stands, in words; of a number that doesn't decide, why not."
    standing: Place
    temp_c: float | None
    "The same for the gauge; None where no number decides."
    sure: bool = True
    "False: digits are painted grey."
    tolerance: str = ""
    "How near the thermocouple is to its table, where that is known."


def temperature(state: State, t_s: float, shown: Shown) -> Temperature:
    """Return the panel at `t_s`."""
    now, stand = believed(state, t_s), standing(state, t_s)
    if stand.state is Standing.ARC and not (now is not None and now.typed):
        return _held(state, shown)
    if now is None:
        return _undecided(state, t_s, stand, shown)
    if now.typed:
        return _typed(state, t_s, now, shown)
    standing_, place = _place(state, t_s, now.temp_c, shown)
    if stand.state in _MARKED:
        place = f"{stand.state} · {place}"
    return Temperature(
        _digits(now.temp_c, shown),
        unit_of(shown),
        "",
        place,
        standing_,
        now.temp_c,
        sure=stand.state not in _GREY,
        tolerance=tolerance(state.sensor.channel, now.temp_c, shown),
    )


def _typed(state: State, t_s: float, now: Believed, shown: Shown) -> Temperature:
    age = typed_ago(t_s - now.at_s)
    if now.side:
        age = f"{'at least' if now.side > 0 else 'less than'}, {age}"
    standing_, place = _place(state, t_s, now.temp_c, shown)
    digits = _digits(now.temp_c, shown)
    return Temperature(digits, unit_of(shown), age, place, standing_, now.temp_c)


def _held(state: State, shown: Shown) -> Temperature:
    """Return the number from before the arc, which is no number of now."""
    control = state.control
    if control is None or control.value_c is None:
        return Temperature(DASHES, unit_of(shown), "arc in the reading", "", "none", None, False)
    digits = _digits(control.value_c, shown)
    return Temperature(
        digits, unit_of(shown), "held: arc in the reading", "", "none", None, sure=False
    )


def _undecided(state: State, t_s: float, stand: Stand, shown: Shown) -> Temperature:
    """Return the number with its doubt, or dashes: in neither case a place in the band."""
    control, unit = state.control, unit_of(shown)
    if stand.state in QUESTIONS and control is not None and control.value_c is not None:
        digits = f"{_digits(control.value_c, shown)}?"
        # What may be too hot is feared all the same (`session/track.feared`).
        place = OVER_IF_RIGHT if feared(state, t_s) is not None else UNDER[stand.state]
        return Temperature(digits, unit, "", place, "unknown", None, sure=False)
    if stand.state in {Standing.STARTING, Standing.CHECKING}:
        return Temperature(DASHES, unit, str(stand.state), "", "none", None, sure=False)
    place = "" if stand.state in {Standing.HAND, Standing.WAITING} else str(stand.state)
    return Temperature(DASHES, unit, _missing(state, t_s), place, "unknown", None)


def _digits(temp_c: float, shown: Shown) -> str:
    return f"{shown.temp_number(temp_c):.0f}"


def unit_of(shown: Shown) -> str:
    """Return the sign of the user's unit."""
    return "°F" if shown.system == "us" else "°C"


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


def _place(state: State, t_s: float, temp_c: float, shown: Shown) -> tuple[Place, str]:
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
    return f"{whole} {unit_of(shown)}"
