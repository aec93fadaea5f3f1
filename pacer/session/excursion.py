"""Times outside a limit: too hot in the flame, too cold while welding, no reading.

One rule for the review's table, the replay's jumps and two recordings side by side.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pacer.session.state import State
from pacer.session.track import believed
from pacer.session.work import LAYING, Phase

Kind = Literal["above the ceiling", "below the floor", "no reading"]

_WELDING = LAYING | {Phase.SOAK}

_FLAME = frozenset(
    {
        *(Phase.PREHEAT, Phase.SOAK, Phase.READY, Phase.REHEAT),
        *(Phase.HOLD, Phase.INSPECT, Phase.POST_HEAT),
    }
)
"""Where too hot means too much flame. Just after a bead it is the arc's heat going by, and
what counts is the temperature at the next arc (interpass, ISO 13916 clause 3.2)."""


@dataclass(slots=True)
class Excursion:
    """A time outside a limit."""

    kind: Kind
    from_s: float
    to_s: float
    "So far, while it goes on."
    peak_c: float | None = None
    "The hottest above the ceiling, the coldest below the floor."
    over: bool = False


def outside(state: State, t_s: float) -> tuple[Kind | None, float | None]:
    """Return which limit is broken at `t_s`, or None, and what is believed then, °C."""
    now, band = believed(state, t_s), state.job.band
    if now is None:
        # Before the first reading there is nothing to miss.
        missed = bool(state.sensor.control) and state.sensor.told_no_reading
        return ("no reading" if missed else None), None
    if state.phase in _FLAME and now.temp_c > band.ceiling_c:
        return "above the ceiling", now.temp_c
    welding = state.phase in _WELDING and bool(state.work.beads)
    if welding and band.floor_c is not None and now.temp_c < band.floor_c:
        return "below the floor", now.temp_c
    return None, now.temp_c


def follow(excursions: list[Excursion], state: State, t_s: float) -> None:
    """Begin, widen or end the last of `excursions` by the state after an event at `t_s`."""
    kind, temp_c = outside(state, t_s)
    last = excursions[-1] if excursions and not excursions[-1].over else None
    if last is not None:
        last.to_s, last.over = t_s, last.kind != kind
    if last is None or last.over:
        if kind is not None:
            excursions.append(Excursion(kind, t_s, t_s, temp_c))
    elif temp_c is not None:
        worse = max if kind == "above the ceiling" else min
        last.peak_c = temp_c if last.peak_c is None else worse(last.peak_c, temp_c)
