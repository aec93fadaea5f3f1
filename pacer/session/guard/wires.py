"""WIRE TYPE and WHICH UNIT by a reading typed beside the instrument's: what would explain both."""

from __future__ import annotations

from pacer.heat.thermocouple import looks_like
from pacer.session.celsius import sent_as
from pacer.session.cues import CueKind
from pacer.session.evidence import Doubt
from pacer.session.state import State, Track, Typed
from pacer.session.work import Phase

DIFFERS_DC = 15.0
DIFFERS_SHARE = 0.05
"""A hand-held instrument at nearly the same place differs by less. Judgement."""

FITS_DC = 5.0

_OTHER_PLACES = frozenset({Phase.PREHEAT, Phase.SOAK})
"""Readings typed here are of other places: they may differ as another wire's would."""

METER_SET_TO = "K"
"""What a meter that sends °C is taken to be set to: the usual type. Common practice, no source."""


def raised(state: State, track: Track, typed: Typed, t_s: float) -> Doubt | None:
    """Return the doubt that explains a typed reading beside the shown one, or None."""
    shown_c, typed_c = track.value_c, typed.temp_c
    if shown_c is None or typed.side or state.cold_yet:
        return None
    if abs(shown_c - typed_c) <= max(DIFFERS_DC, DIFFERS_SHARE * abs(typed_c)):
        return None
    values = {"now_c": round(shown_c, 1), "typed_c": round(typed_c, 1)}
    if abs(sent_as("degF", typed_c) - shown_c) <= FITS_DC:
        because = "shown {now_c}, typed {typed_c}: as if it sent °F"
        return Doubt(CueKind.WHICH_UNIT, t_s, because, values)
    if state.phase in _OTHER_PLACES:
        return None
    wire = state.sensor.channel.thermocouple
    letter = wire.letter if wire is not None else METER_SET_TO
    cj_c = state.job.cooldown.ambient_c
    if wire is not None and wire.cj_c is not None:
        cj_c = wire.cj_c
    fits = looks_like(shown_c, typed_c, cj_c, letter)
    if not fits:
        return None
    because = f"shown {{now_c}}, typed {{typed_c}}: like {fits[0]} wire on a {letter} setting"
    return Doubt(CueKind.WIRE_TYPE, t_s, because, values)
