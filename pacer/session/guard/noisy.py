"""NOISY: every fifth value of the last ten seconds is flagged; the median still stands.

Flagged is what was no number, lay outside the span or far from the median, or a line that
could not be read. A noisy channel is trusted, and marked (reliability.md section 4, T-29).
"""

from __future__ import annotations

import msgspec

from pacer.session.cues import Cue, CueKind
from pacer.session.state import Sensor, State, Track
from pacer.session.timers import Timer, after

replace = msgspec.structs.replace

WINDOW_S = 10.0
SHARE = 0.2
LEAST = 3
"""One or two bad lines of a slow source are no noise. Judgement."""

AGAIN_S = 600.0
"""Told at most so often. Judgement."""

REMARK_AFTER_S = 5.0
"""A remark about the sensor takes no step's sound away. Judgement."""

NAME = "noisy"


def judged(track: Track, sensor: Sensor, t_s: float) -> Track:
    """Return the track with its noise judged at a line of the source."""
    if not track.odd_s:
        return track
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
    """When noise is told: once in ten minutes."""
    control = state.control
    if control is None or control.noisy_s is None:
        return []
    told_s = state.sensor.told_s(CueKind.NOISY)
    if told_s is not None and told_s >= control.noisy_s:
        return []
    due_s = control.noisy_s if told_s is None else max(control.noisy_s, after(told_s, AGAIN_S))
    # What the phase itself says is heard first.
    return [Timer(max(due_s, after(state.work.entered_s, REMARK_AFTER_S)), NAME, rank=0)]


def told(state: State, t_s: float) -> tuple[State, tuple[Cue, ...]]:
    """Tell it."""
    told_at = state.sensor.telling(CueKind.NOISY, t_s)
    because = "a fifth of the last readings or more are off or unreadable"
    cue = Cue(CueKind.NOISY, t_s, because=because)
    return replace(state, sensor=replace(state.sensor, told_at=told_at)), (cue,)
