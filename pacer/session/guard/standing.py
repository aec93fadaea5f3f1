"""The named states of a sensor, and which one it is in at a moment.

A state is derived, never stored: from the port's news, from what the guard doubts
(`Track.doubt`) and from how old the last value is. Only the states in `TRUSTED` let a
reading decide; in every other one nothing is in band by it.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from typing import NamedTuple

from pacer.session.cues import CueKind
from pacer.session.state import State, Track
from pacer.session.track import (
    BAD_IN_A_ROW,
    NO_VALUES,
    OUTSIDE,
    PROVEN_BY,
    READS_ZERO,
    garbled_words,
    in_the_arc,
    silent_after_s,
    unreadable,
)


class Standing(StrEnum):
    """Every state of a sensor; the value is its word on the screen."""

    HAND = "no instrument"
    WAITING = "nothing yet"
    STARTING = "starting"
    CHECKING = "checking"
    LIVE = "live"
    NOISY = "noisy"
    ARC = "arc in it"
    STUCK = "stuck"
    UNIT = "which unit"
    PROBE = "probe on?"
    JUMPED = "jumped"
    REVERSED = "reversed"
    WIRE = "wire type"
    APART = "apart"
    OUTSIDE = "out of span"
    OPEN = "open circuit"
    SHORT = "short circuit"
    GARBLED = "unreadable"
    SILENT = "silent"
    LOST = "lost"


TRUSTED = frozenset({Standing.CHECKING, Standing.LIVE, Standing.NOISY})
"""CHECKING is shown grey: its values are few, yet they are all there is."""

QUESTIONS = frozenset(
    {
        Standing.STUCK,
        Standing.UNIT,
        Standing.PROBE,
        Standing.JUMPED,
        Standing.REVERSED,
        Standing.WIRE,
        Standing.APART,
    }
)
"""Doubts: the number is there but doesn't decide until the welder answers, or it proves itself."""


_OF_DOUBT = {
    CueKind.STUCK: Standing.STUCK,
    CueKind.WHICH_UNIT: Standing.UNIT,
    CueKind.PROBE_OFF: Standing.PROBE,
    CueKind.JUMPED: Standing.JUMPED,
    CueKind.REVERSED: Standing.REVERSED,
    CueKind.WIRE_TYPE: Standing.WIRE,
    CueKind.APART: Standing.APART,
}

_OF_BAD = {"open": Standing.OPEN, "short": Standing.SHORT, READS_ZERO: Standing.OPEN}

CHECKED_BELOW_S = 1.0
"""A slower source has shown itself by one line as well as a fast one by five. Judgement."""


class Stand(NamedTuple):
    """The state of one channel, or of the source where no channel is named."""

    state: Standing
    why: str = ""
    "The evidence in one line; of a question its {fields} are filled from `values`."
    values: Mapping[str, float] = NO_VALUES
    "SI and °C numbers, named as in a cue."
    unconfirmed: CueKind | None = None
    "A doubt that nobody answered, whose reading was taken by default."

    @property
    def trusted(self) -> bool:
        """True while its values may decide."""
        return self.state in TRUSTED


def standing(state: State, t_s: float) -> Stand:
    """Return the state of the deciding channel at `t_s`, or of the source while none decides."""
    sensor, control = state.sensor, state.control
    if sensor.hand:
        return Stand(Standing.HAND)
    if sensor.lost:
        return Stand(Standing.LOST, sensor.lost)
    if control is None and t_s < sensor.settled_s:
        return Stand(Standing.STARTING)
    if unreadable(sensor) and (control is None or not _lately(state, control, t_s)):
        return Stand(Standing.GARBLED, garbled_words(sensor))
    if control is None:
        return Stand(Standing.WAITING)
    return channel_standing(state, control, t_s)


def _lately(state: State, track: Track, t_s: float) -> bool:
    return track.at_s is not None and t_s - track.at_s < silent_after_s(state.sensor)


def channel_standing(state: State, track: Track, t_s: float) -> Stand:
    """Return the state of one channel at `t_s`."""
    if in_the_arc(state, track):
        return Stand(Standing.ARC)
    if track.bad >= BAD_IN_A_ROW:
        return Stand(_OF_BAD.get(track.why_bad, Standing.GARBLED), track.why_bad)
    if not _lately(state, track, t_s):
        return Stand(Standing.OUTSIDE if track.why_bad == OUTSIDE else Standing.SILENT)
    if track.mending:
        return Stand(_OF_BAD[track.mending], track.mending)
    doubt = track.doubt
    if doubt is not None and track.doubted:
        return Stand(_OF_DOUBT[doubt.kind], doubt.because, doubt.values)
    if track.noisy_s is not None:
        return Stand(Standing.NOISY, unconfirmed=track.taken)
    if track.good < PROVEN_BY and state.sensor.period_s < CHECKED_BELOW_S:
        return Stand(Standing.CHECKING, unconfirmed=track.taken)
    return Stand(Standing.LIVE, unconfirmed=track.taken)
