"""APART: between beads another channel reads far from the deciding one.

Preheat and soak have their own rule of evenness, a cool-down its greatest spread; a torch
leaves up to 200 K between two places (procedure.md section 3), so nothing is asked while one
is meant to burn, nor just after a reheat.
"""

from __future__ import annotations

import msgspec

from pacer.session.band import SPREAD_SHARE
from pacer.session.cues import CueKind
from pacer.session.evidence import Doubt
from pacer.session.filled import as_is
from pacer.session.state import State, Track
from pacer.session.track import trusted
from pacer.session.work import Phase

replace = msgspec.structs.replace

APART_DC = 60.0
"""More than the evenness a soak asks for in the usual band (50 K of 100), so that a part just
found even isn't asked about. Judgement."""

FOR_S = 10.0
EVENS_OUT_S = 60.0
"""A part just heated is left so long to even out. Common practice, no source."""

BACK_DC = 10.0

_BETWEEN = frozenset({Phase.READY, Phase.WAIT, Phase.HOLD, Phase.INSPECT, Phase.PEEN, Phase.LOOK})


def judged(state: State, track: Track, t_s: float) -> Track:
    """Return the deciding track with since when another one has been far from it."""
    far = _far(state, track, t_s, 0.0)
    apart_s = None if far is None else (t_s if track.apart_s is None else track.apart_s)
    return track if apart_s == track.apart_s else replace(track, apart_s=apart_s)


def raised(state: State, track: Track, t_s: float) -> Doubt | None:
    """Return the doubt about which of two channels is right, or None."""
    if track.apart_s is None or t_s - track.apart_s < FOR_S:
        return None
    other = _far(state, track, t_s, 0.0)
    if other is None or track.value_c is None or other.value_c is None:
        return None
    values = {"now_c": round(track.value_c, 1), "other_c": round(other.value_c, 1)}
    because = f"{as_is(track.name)} reads {{now_c}}, {as_is(other.name)} {{other_c}}"
    return Doubt(CueKind.APART, t_s, because, values)


def over(state: State, track: Track, t_s: float) -> bool:
    """True once no channel is far from the deciding one, between beads."""
    return state.phase in _BETWEEN and _far(state, track, t_s, BACK_DC) is None


def _far(state: State, track: Track, t_s: float, back_dc: float) -> Track | None:
    """Return the farthest channel of those too far from the deciding one."""
    heated_s = state.work.heated_s
    if state.phase not in _BETWEEN or track.value_c is None:
        return None
    if heated_s is not None and t_s - heated_s < EVENS_OUT_S:
        return None
    band = state.job.band
    even_dc = 0.0 if band.floor_c is None else SPREAD_SHARE * (band.ceiling_c - band.floor_c)
    most_dc, farthest = max(APART_DC, even_dc) - back_dc, None
    for other in state.tracks:
        if other.name == track.name or other.value_c is None or not trusted(state, other, t_s):
            continue
        if abs(other.value_c - track.value_c) > most_dc:
            most_dc, farthest = abs(other.value_c - track.value_c), other
    return farthest
