"""REVERSED: the reading falls below the room's temperature while the part is heated.

Swapped leads mirror the reading about the cold junction: the hotter, the lower.
"""

from __future__ import annotations

from pacer.session.cues import CueKind
from pacer.session.evidence import Doubt
from pacer.session.state import State, Track
from pacer.session.work import LAYING, Phase

NEVER_C = -20.0
BELOW_DC = 15.0
"""So far below the colder of room and first reading. Judgement: a draught or a cold start
explain a few kelvin."""

BACK_DC = 10.0

HOT = LAYING | {Phase.PREHEAT, Phase.SOAK, Phase.POST_HEAT, Phase.BURY}


def raised(state: State, track: Track, t_s: float) -> Doubt | None:
    """Return the doubt that the leads are swapped, or None."""
    if track.value_c is None or state.phase not in HOT | {Phase.COOL_DOWN}:
        return None
    if state.job.method != "hot":
        return None
    if track.value_c >= least_c(state, track):
        return None
    values = {"now_c": round(track.value_c, 1)}
    heated = "while the part is heated" if state.phase in HOT else "while the part cools from hot"
    because = f"reads {{now_c}} {heated}"
    return Doubt(CueKind.REVERSED, t_s, because, values)


def least_c(state: State, track: Track) -> float:
    """Return what a part that is being heated reads at least, °C."""
    if state.phase is Phase.COOL_DOWN:
        # A shop left alone for the night may be far colder than its job says.
        return NEVER_C
    room_c = state.job.cooldown.ambient_c
    first_c = room_c if track.first_c is None else min(room_c, track.first_c)
    return max(NEVER_C, first_c - BELOW_DC)


def over(state: State, track: Track) -> bool:
    """True once the reading is plainly above that again."""
    return track.value_c is not None and track.value_c > least_c(state, track) + BACK_DC
