"""WHICH UNIT at the start: a cold part can't read so; the welder says whether it is right.

Nothing is ever converted by a guess (reliability.md T-27). A part that is hot already is
legitimate: one press says so, and it is asked once.
"""

from __future__ import annotations

from pacer.session.celsius import OTHERS, read_as
from pacer.session.cues import CueKind
from pacer.session.evidence import Doubt
from pacer.session.state import State, Track
from pacer.session.track import PROVEN_BY, heard

SHOP_C = (0.0, 45.0)
"""What a cold part may read in a shop (reliability.md T-27, judgement)."""

HEARD_S = 5.0


def raised(state: State, track: Track, t_s: float) -> Doubt | None:
    """Return the doubt that the first readings come in another unit, or None."""
    if track.name != state.sensor.control or track.at_s != t_s or not _may_be_asked(state, track):
        return None
    if track.value_c is None or track.good < PROVEN_BY or track.good_since_s is None:
        return None
    if t_s - track.good_since_s < HEARD_S or in_a_shop(track.value_c):
        return None
    return _asked(track.value_c, t_s)


def before_the_heat(state: State, t_s: float) -> Doubt | None:
    """Return the doubt that must be asked before a press leaves the cold phases, or None.

    Earlier than `raised` would: nobody waits five seconds with everything prepared.
    """
    control = state.control
    if control is None or state.sensor.hand or not _may_be_asked(state, control):
        return None
    if control.doubt is not None or control.value_c is None or not heard(state, control, t_s):
        return None
    return None if in_a_shop(control.value_c) else _asked(control.value_c, t_s)


def _may_be_asked(state: State, track: Track) -> bool:
    return state.cold_yet and not (state.sensor.unit_asked or track.marked)


def _asked(value_c: float, t_s: float) -> Doubt:
    because = "a cold part reads {now_c}: no shop is so; is it warm already?"
    for unit, name in OTHERS.items():
        if in_a_shop(like_c := read_as(unit, value_c)):
            because = f"a cold part reads {{now_c}}: as if it sent {name}, for {{like_c}}"
            break
    else:
        like_c = value_c
    values = {"now_c": round(value_c, 1), "like_c": round(like_c, 1)}
    return Doubt(CueKind.WHICH_UNIT, t_s, because, values)


def in_a_shop(value_c: float) -> bool:
    """True for what a cold part may read."""
    return SHOP_C[0] <= value_c <= SHOP_C[1]
