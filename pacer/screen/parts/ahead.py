"""What lies ahead between beads and while heating, as one figure with its range.

Second by second only where an instrument reads; typed readings and the plan alone give
minutes. A figure never stands without its range, and the plan's is called the plan's.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

from pacer.screen.parts.cool import Forecast
from pacer.session.forecast import Course, Outlook, Range
from pacer.session.state import State
from pacer.session.track import believed
from pacer.session.work import Phase

_FINE_TO_S = 1200.0
"A range that reaches further is told in minutes."


@dataclass(frozen=True, slots=True)
class Foreseen:
    """What is forecast for the moment shown, each part where it has a meaning."""

    cool: Forecast | None = None
    pause: Outlook | None = None
    made_s: float = 0.0
    "Session time at which `pause` was forecast."
    course: Course | None = None
    "How the cool-down goes, beside `cool`."


class AheadWords(NamedTuple):
    """The figure as shown."""

    clock: str
    unit: str
    label: str


def ahead_words(state: State, t_s: float, foreseen: Foreseen) -> AheadWords | None:
    """Return the time to the limit this phase waits for, or None where none is forecast."""
    out = foreseen.pause
    if out is None:
        return None
    limit, found = {
        Phase.READY: ("floor", out.to_floor_s),
        Phase.WAIT: ("ceiling", out.to_ceiling_s),
        Phase.PREHEAT: ("target", out.to_target_s),
        Phase.REHEAT: ("target", out.to_target_s),
        Phase.HOLD: ("floor", out.to_floor_s),
        Phase.INSPECT: ("floor", out.to_floor_s),
    }.get(state.phase, ("", None))
    if found is None:
        return None
    now = believed(state, t_s)
    coarse = out.planned or now is None or now.typed
    coarse = coarse or found.high is None or found.high > _FINE_TO_S
    passed_s = max(0.0, t_s - foreseen.made_s)
    figures = _minutes(found, passed_s) if coarse else _seconds(found, passed_s)
    whose = "plan only" if out.planned else "forecast"
    label = f"{limit} {whose}, {figures.label}"
    left = out.beads_left
    if left is not None and state.phase is Phase.READY:
        label += f"; {left.value:.0f} bead{'' if left.value == 1 else 's'}"
    return figures._replace(label=label)


def _seconds(found: Range, passed_s: float) -> AheadWords:
    """Return m:ss with a range to ten seconds."""
    low, high = (10 * math.floor(max(0.0, s - passed_s) / 10) for s in (found.low, found.high or 0))
    clock = _clock(math.ceil(max(0.0, found.value - passed_s)))
    return AheadWords(clock, "", f"{_clock(low)}-{_clock(high + 10)}")


def _minutes(found: Range, passed_s: float) -> AheadWords:
    low = math.floor(max(0.0, found.low - passed_s) / 60)
    value = str(max(1, round(max(0.0, found.value - passed_s) / 60)))
    if found.high is None:
        return AheadWords(value, "min", f"{low} min or more")
    high = math.ceil(max(0.0, found.high - passed_s) / 60)
    return AheadWords(value, "min", f"{low}-{max(high, 1)} min")


def _clock(whole_s: int) -> str:
    return f"{whole_s // 60}:{whole_s % 60:02d}"
