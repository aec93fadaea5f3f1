"""Remarks about the sensor: what is told once in a while and asks for nothing."""

from __future__ import annotations

import msgspec

from pacer.session.cues import Cue, CueKind
from pacer.session.state import State
from pacer.session.timers import Timer, after

AGAIN_S = 600.0
"""Told at most so often. Judgement."""

AFTER_S = 5.0
"""A remark about the sensor takes no step's sound away. Judgement."""


def timers(state: State, kind: CueKind, name: str, since_s: float | None) -> list[Timer]:
    """Return when what has been so since `since_s` is told: once a spell, and once in a while."""
    if since_s is None:
        return []
    told_s = state.sensor.told_s(kind)
    if told_s is not None and told_s >= since_s:
        return []
    due_s = since_s if told_s is None else max(since_s, after(told_s, AGAIN_S))
    # What the phase itself says is heard first.
    return [Timer(max(due_s, after(state.work.entered_s, AFTER_S)), name, rank=0)]


def told(state: State, kind: CueKind, because: str, t_s: float) -> tuple[State, tuple[Cue, ...]]:
    """Tell it."""
    sensor = msgspec.structs.replace(state.sensor, told_at=state.sensor.telling(kind, t_s))
    return msgspec.structs.replace(state, sensor=sensor), (Cue(kind, t_s, because=because),)
