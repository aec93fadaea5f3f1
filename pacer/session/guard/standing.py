"""The named states of a sensor, and which one it is in at a moment.

A state is derived, never stored: from the port's news, from what the guard doubts
(`Track.doubt`) and from how old the last value is. Only the states in `TRUSTED` let a
reading decide; in every other one nothing is in band by it.
"""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple

from pacer.session.state import State, Track
from pacer.session.track import BAD_IN_A_ROW, OUTSIDE, silent_after_s


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


class Stand(NamedTuple):
    """The state of one channel, or of the source where no channel is named."""

    state: Standing
    why: str = ""
    "The evidence in one line, in °C where it holds numbers; empty for LIVE."

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
    if control is None:
        return Stand(Standing.WAITING)
    return channel_standing(state, control, t_s)


def channel_standing(state: State, track: Track, t_s: float) -> Stand:
    """Return the state of one channel at `t_s`."""
    if track.at_s is None or t_s - track.at_s >= silent_after_s(state.sensor):
        return Stand(Standing.OUTSIDE if track.why_bad == OUTSIDE else Standing.SILENT)
    if track.bad >= BAD_IN_A_ROW:
        words = {"open": Standing.OPEN, "short": Standing.SHORT}
        return Stand(words.get(track.why_bad, Standing.GARBLED), track.why_bad)
    return Stand(Standing.LIVE)
