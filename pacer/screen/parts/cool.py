"""The cool-down's forecast in words and as one figure; a forecast is always called one.

All times of a forecast count from the cool-down's start.
"""

from __future__ import annotations

import math
from typing import NamedTuple, Protocol

from pacer.session.forecast import Course
from pacer.session.state import State
from pacer.session.track import believed, known_points_c
from pacer.units import Shown

FAR_SHORT = 0.5
"""Where nothing is measured and the best figure is nearer than this share of the range's far
end, the far end is shown. Judgement."""


class Forecast(Protocol):
    """When the part is cool enough, s since the cool-down began; 80 % from low to high."""

    @property
    def eta_s(self) -> float:
        """Best single figure."""

    @property
    def low_s(self) -> float:
        """One in ten is earlier."""

    @property
    def high_s(self) -> float | None:
        """One in ten is later; None where no bound can be given."""

    @property
    def planned(self) -> bool:
        """True where no reading stands behind it: only the plan."""


class CoolWords(NamedTuple):
    """The forecast as shown."""

    clock: str
    unit: str
    label: str
    line: str


def started_s(state: State) -> float:
    """Return when the cool-down began, session time in s."""
    began_s = state.work.covered_s
    return state.work.entered_s if began_s is None else began_s


def cool_words(state: State, t_s: float, shown: Shown, forecast: Forecast | None) -> CoolWords:
    """Return time left and range in whole minutes; without a forecast, the time covered."""
    if state.cooling is not None and state.cooling.lost:
        return CoolWords("", "", "", "How long it has cooled is not known: a reading will tell")
    passed_s = t_s - started_s(state)
    until = f"{shown.temp_c(state.job.cooldown.until_c)} at the probe"
    if forecast is None and state.cooling is not None and state.cooling.untimed:
        return CoolWords("", "", "", f"No forecast of {until}: how long it has cooled is not known")
    if forecast is None:
        digits, unit = minutes(passed_s, up=False)
        return CoolWords(digits, unit, "so far", f"No forecast yet of {until}")
    low_s, high_s = forecast.low_s - passed_s, forecast.high_s
    if high_s is None:
        digits, unit = minutes(low_s)
        whose = "Plan only" if forecast.planned else "Forecast"
        line = f"{whose}: {until} not before {_span(low_s, shown)} (no upper bound)"
        return CoolWords(digits, unit, "at least, forecast", line)
    high_s -= passed_s
    eta_s, label = forecast.eta_s - passed_s, "about"
    if eta_s < FAR_SHORT * high_s and believed(state, t_s) is None:
        # Seen from afar "1 min" reads as cool, and nothing is measured that says so.
        eta_s, label = high_s, "at the latest"
    digits, unit = minutes(eta_s)
    if high_s <= 0:
        return CoolWords(
            "", "", "", f"Later than was forecast for {until}: measure before you uncover"
        )
    span = f"in {_span(low_s, shown)} to {_span(high_s, shown)}"
    if low_s < 60:
        span = f"within {_span(high_s, shown)}"
    whose = "Plan only" if forecast.planned else "Forecast"
    line = f"{whose}: cool enough {span} (80 %)"
    return CoolWords(digits, unit, f"{label}, {whose.lower()}", line)


def course_words(state: State, t_s: float, shown: Shown, course: Course) -> str:
    """Return the spread between channels, then the rate beside what this cover usually does.

    The spread comes first: it matters more than the rate (procedure of the trade).

    A rate is a mean of 30 minutes, or of what there is of it after 15.
    """
    said = []
    points = known_points_c(state, t_s)
    if len(points) > 1:
        said.append(f"channels within {shown.temp_dc(max(points) - min(points))}")
    if course.rate_c_h is not None:
        rate = f"30 min mean {shown.rate_c_h(course.rate_c_h)}"
        if course.usual_c_h is not None and state.cooling is not None:
            usual = shown.temp_dc(course.usual_c_h[1]).split()[0]
            rate += f", {state.cooling.cover} here {usual}"
        said.append(rate)
    return "; ".join(said)


def minutes(seconds_s: float, *, up: bool = True) -> tuple[str, str]:
    """Return a rough time as digits and unit: minutes below an hour, then "2h05".

    >>> minutes(7500.0), minutes(840.0)
    (('2h05', ''), ('14', 'min'))
    """
    whole = max(0, math.ceil(seconds_s / 60) if up else math.floor(seconds_s / 60))
    hours, rest = divmod(whole, 60)
    return (f"{hours}h{rest:02d}", "") if hours else (f"{rest}", "min")


def _span(seconds_s: float, shown: Shown) -> str:
    """Whole minutes, so that no forecast ticks by the second."""
    whole = max(1, math.ceil(seconds_s / 60))
    return shown.duration(whole * 60.0) if whole > 1 else "1 min"
