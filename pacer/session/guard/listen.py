"""A line of the source comes in: its values are filtered, then doubted."""

from __future__ import annotations

import msgspec

from pacer.session.celsius import Degrees, degrees
from pacer.session.events import MOST_CHANNELS, Reading
from pacer.session.guard import arcing, doubts, leads
from pacer.session.hearing import flagged, heard_line, update
from pacer.session.state import State, Track
from pacer.session.work import Phase

replace = msgspec.structs.replace

_NEVER_ZERO = leads.HOT - {Phase.PREHEAT, Phase.BURY}


def take(state: State, reading: Reading) -> State:
    """Fold one line of the source into sensor and tracks."""
    t_s, sensor = reading.t_s, heard_line(state.sensor, reading)
    state = replace(state, sensor=sensor)
    if reading.status != "ok" and reading.statuses() == ("unparsable",):
        # One line of garbage says nothing about any channel, but that there is noise.
        return _noise(state, t_s)
    old = {track.name: track for track in state.tracks}
    new = dict(old)
    never_zero = state.phase in _NEVER_ZERO and state.job.method == "hot"
    for value in degrees(sensor.channel, reading):
        if value.name in old or (value.status == "ok" and len(new) < MOST_CHANNELS):
            before = old.get(value.name) or Track(name=value.name)
            new[value.name] = _heard(state, before, value, t_s, never_zero=never_zero)
    state = replace(state, tracks=tuple(new.values()))
    tracks = [doubts.look(state, old.get(t.name, t), t, t_s) for t in state.tracks]
    if len(tracks) > 1:
        peers = tuple([(t.name, t.value_c) for t in state.tracks if t.value_c is not None])
        tracks = [_beside(track, peers) for track in tracks]
    return replace(state, tracks=tuple(tracks))


def _noise(state: State, t_s: float) -> State:
    control = state.control
    if control is None or state.phase is Phase.BEAD:
        return state
    noisy = doubts.look(state, control, flagged(control, t_s), t_s)
    return replace(state, tracks=tuple(noisy if t.name == noisy.name else t for t in state.tracks))


def _beside(track: Track, peers: tuple[tuple[str, float], ...]) -> Track:
    """Return the track with what others read as its value came again for the first time."""
    repeats = track.repeats
    if repeats is None or repeats.count != 2 or repeats.peers:
        return track
    return replace(track, repeats=replace(repeats, peers=peers))


def _heard(state: State, old: Track, value: Degrees, t_s: float, *, never_zero: bool) -> Track:
    if value.temp_c is not None and value.marked is not old.marked:
        old = replace(old, marked=value.marked)
    if state.phase is Phase.BEAD:
        return arcing.heard_in_bead(state, old, value, t_s, never_zero=never_zero)
    if old.arc is not None:
        return arcing.heard_after(state, old, value, t_s, never_zero=never_zero)
    return update(old, value, state.sensor, t_s, never_zero=never_zero)
