"""NOISY: every fifth value of the last ten seconds is flagged; the median still stands.

Flagged is what was no number, lay outside the span or far from the median, or a line that
could not be read. A noisy channel is trusted, and marked (reliability.md section 4, T-29).
"""

from __future__ import annotations

import msgspec

from pacer.session.cues import Cue, CueKind
from pacer.session.guard import remark
from pacer.session.state import Sensor, State, Track
from pacer.session.timers import Timer

replace = msgspec.structs.replace

WINDOW_S = 10.0
SHARE = 0.2
LEAST = 3
"""One or two bad lines of a slow source are no noise. Judgement."""

NAME = "noisy"


def judged(track: Track, sensor: Sensor, t_s: float) -> Track:
    """Return a track that has odd values with its noise judged at a line of the source."""
    if t_s - track.odd_s[-1] >= WINDOW_S:
        return replace(track, odd_s=(), noisy_s=None)
    if track.noisy_s is None and track.at_s == t_s and _share(track, sensor, t_s) is not None:
        return replace(track, noisy_s=t_s)
    return track


def _share(track: Track, sensor: Sensor, t_s: float) -> float | None:
    """Return the share of the last ten seconds' values that are flagged, where it is too large."""
    odd = sum(t_s - odd_s < WINDOW_S for odd_s in track.odd_s)
    share = odd * max(sensor.period_s, 0.01) / WINDOW_S
    return share if odd >= LEAST and share >= SHARE else None


def timers(state: State) -> list[Timer]:
    """When noise is told."""
    control = state.control
    return remark.timers(state, CueKind.NOISY, NAME, None if control is None else control.noisy_s)


def told(state: State, t_s: float) -> tuple[State, tuple[Cue, ...]]:
    """Tell it."""
    because = "a fifth of the last readings or more are off or unreadable"
    return remark.told(state, CueKind.NOISY, because, t_s)
