"""ARC IN IT: an offset or a hum that comes with the arc and goes with it (procedure.md section 13).

From where it is seen its values are left out and the one before the arc is held; after the arc
the window starts anew. Undone then, it was the arc's: told once, and the next arcs are left
out from their start. What stays was real, and is heard three seconds after the arc at most.
"""

from __future__ import annotations

import statistics

import msgspec

from pacer.session.celsius import Degrees, corrected
from pacer.session.cues import Cue, CueKind
from pacer.session.evidence import ArcInIt
from pacer.session.guard import remark
from pacer.session.hearing import STEP_WITHIN_S, update
from pacer.session.state import State, Track
from pacer.session.timers import Timer
from pacer.session.track import SPAN_C, heard
from pacer.session.work import Phase

replace = msgspec.structs.replace

OFFSET_DC = 15.0
"""More within two seconds no bead's heat explains: at the probe it rises by about 1 K a net kJ
over tens of seconds (heat.md, calculated)."""

HUM_DC = 10.0
HUM_MOST_DC = 100.0
HUMS_IN = 5
CALM_DC = 3.0
"""Width of the middle half of a window that hums, where the whole one before the arc was calm.
Spikes don't make it: they are few of nine, or farther off. Judgement."""

AT_ONCE_S = 3.5
"""An offset is there within so long of the arc on, the lag of the median included."""

STARTS_S = 6.0
"""What the arc does to a reading it does from its start; a press may come some seconds before
it (`hood_down`). Judgement."""

UNDONE_S = 3.0
"""What the arc did is undone so soon after it; what isn't was real. Judgement."""

UNDONE_DC = 10.0
ENOUGH_AFTER = 3

NAME = "arc in it"


def heard_in_bead(
    state: State, track: Track, value: Degrees, t_s: float, *, never_zero: bool
) -> Track:
    """Return the track after a value while the arc burns."""
    sensor, arc = state.sensor, track.arc
    if arc is None:
        track = _begun(state, track, t_s)
        arc = track.arc
    if arc is None:
        return update(track, value, sensor, t_s, never_zero=never_zero)
    if arc.out_s is not None:
        # Struck again before it was known what the arc does.
        arc = replace(arc, out_s=None, after=())
    if arc.held:
        window = _grown(state, track.window, value)
        return _held(replace(track, arc=arc, window=window), t_s)
    new = update(track, value, sensor, t_s, never_zero=never_zero)
    if t_s - arc.since_s > STARTS_S:
        return new
    arc = replace(arc, burning=_grown(state, arc.burning, value))
    new = replace(new, arc=arc)
    off_dc = _disturbed(state, new, arc, t_s)
    if not off_dc:
        return new
    arc = replace(arc, held=True, off_dc=off_dc)
    return _held(replace(new, arc=arc, value_c=arc.before_c, earlier=()), t_s)


def _begun(state: State, track: Track, t_s: float) -> Track:
    """Return the track with what was known of it before the arc; as it is where nothing was.

    An arc's signal is believed a second late: by then the arc may be in the value already, or
    have been taken for a jump.
    """
    bead, doubt = state.work.bead, track.doubt
    on_s = t_s if bead is None else bead.started_s
    if doubt is not None and doubt.was_c is not None and doubt.since_s >= on_s:
        track = replace(track, doubt=None)
    if track.value_c is None or track.doubted or not heard(state, track, t_s):
        return track
    before_c, before = track.value_c, track.window
    if track.at_s is not None and track.at_s > on_s:
        before = tuple(c for at_s, c in track.earlier if at_s <= on_s) or before
        before_c = before[-1]
    calm_dc = max(before) - min(before) if before else 0.0
    return replace(track, arc=ArcInIt(before_c, t_s, calm_dc, held=track.arc_seen_s is not None))


def _held(track: Track, t_s: float) -> Track:
    arc = track.arc
    assert arc is not None
    earlier = track.earlier
    if not earlier or t_s - earlier[-1][0] > STEP_WITHIN_S / 2:
        earlier = (*earlier[-2:], (t_s, arc.before_c))
    return replace(track, at_s=t_s, bad=0, why_bad="", earlier=earlier)


def _grown(state: State, values: tuple[float, ...], value: Degrees) -> tuple[float, ...]:
    """Return the last nine values with one more, agreed or not, if a part can read so."""
    if value.temp_c is None:
        return values
    temp_c = corrected(state.sensor.channel, value.name, value.temp_c)
    return (*values, temp_c)[-9:] if SPAN_C[0] <= temp_c <= SPAN_C[1] else values


def never_burnt(state: State) -> State:
    """Return the state after the press that began the bead was taken back: all values count."""
    if all(track.arc is None for track in state.tracks):
        return state
    tracks = []
    for track in state.tracks:
        if track.arc is not None and track.arc.held and track.window:
            track = replace(track, value_c=statistics.median_high(track.window))
        tracks.append(replace(track, arc=None))
    return replace(state, tracks=tuple(tracks))


def past_its_start(state: State, track: Track) -> bool:
    """True in a bead whose arc has left the channel alone: a step now is asked about.

    Struck late after its press the arc may have made it all the same: then its end undoes it,
    and nobody has been asked.
    """
    arc = track.arc
    if arc is None or arc.held or state.phase is not Phase.BEAD or track.at_s is None:
        return False
    return track.at_s - _on_s(state, arc) > AT_ONCE_S


def _on_s(state: State, arc: ArcInIt) -> float:
    bead = state.work.bead
    return arc.since_s if bead is None else max(arc.since_s, bead.started_s)


def _disturbed(state: State, track: Track, arc: ArcInIt, t_s: float) -> float:
    """Return what the arc does to the value, K; 0 for nothing."""
    at_once = t_s - _on_s(state, arc) <= AT_ONCE_S
    if track.at_s == t_s and track.value_c is not None and at_once:
        off_dc = track.value_c - arc.before_c
        if abs(off_dc) > OFFSET_DC:
            return off_dc
    # Whether or not they agree: a hum seldom does.
    if len(arc.burning) < HUMS_IN or arc.calm_dc >= CALM_DC:
        return 0.0
    # Spikes of an arc's start are farther off than any hum.
    if sum(abs(c - arc.before_c) > HUM_MOST_DC for c in arc.burning) > 1:
        return 0.0
    ordered = sorted(arc.burning)
    quarter = len(ordered) // 4
    width_dc = ordered[-1 - quarter] - ordered[quarter]
    return width_dc if width_dc > HUM_DC else 0.0


def heard_after(
    state: State, track: Track, value: Degrees, t_s: float, *, never_zero: bool
) -> Track:
    """Return the track after a value that came when the arc was out again."""
    arc, sensor = track.arc, state.sensor
    assert arc is not None
    if not arc.held:
        return update(replace(track, arc=None), value, sensor, t_s, never_zero=never_zero)
    out_s = t_s if arc.out_s is None else arc.out_s
    values = _grown(state, arc.after, value)
    arc = replace(arc, out_s=out_s, after=values)
    late = t_s - out_s >= UNDONE_S - 1e-9
    if len(values) < ENOUGH_AFTER and not late:
        return _held(replace(track, arc=arc), t_s)
    recent = values[-ENOUGH_AFTER:]
    undone = len(recent) == ENOUGH_AFTER and _undone(arc, recent)
    if not undone and not late and track.arc_seen_s is None:
        return _held(replace(track, arc=arc), t_s)
    if not recent:
        # Nothing came but what can't be heard: that is judged as ever.
        return update(replace(track, arc=None), value, sensor, t_s, never_zero=never_zero)
    seen_s = t_s if undone and arc.off_dc else track.arc_seen_s
    return replace(
        track,
        arc=None,
        arc_seen_s=seen_s,
        window=recent,
        value_c=statistics.median_low(recent),
        at_s=t_s,
    )


def _undone(arc: ArcInIt, recent: tuple[float, ...]) -> bool:
    near_dc = max(UNDONE_DC, abs(arc.off_dc) / 2)
    if abs(statistics.median_low(recent) - arc.before_c) > near_dc:
        return False
    return max(recent) - min(recent) <= near_dc


def timers(state: State) -> list[Timer]:
    """When it is told; never while an arc burns or a peen waits."""
    control = state.control
    seen_s = None if control is None else control.arc_seen_s
    return remark.timers(state, CueKind.ARC_IN_READING, NAME, seen_s)


def told(state: State, t_s: float) -> tuple[State, tuple[Cue, ...]]:
    """Tell it."""
    because = "it moved with the arc, and back with its end"
    return remark.told(state, CueKind.ARC_IN_READING, because, t_s)
