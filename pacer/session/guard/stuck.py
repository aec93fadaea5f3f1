"""STUCK: the same value again and again while something happened that must have moved it.

The value alone says nothing: in a 2 h soak "the same for a minute" was false up to 25 times
(reliability.md T-28). So an arc, a flame or another channel must have moved the part. A source
that practically always repeats itself, a coarse meter or a script, is asked for much more.
"""

from __future__ import annotations

from pacer.session.cues import CueKind
from pacer.session.evidence import Doubt, Repeats
from pacer.session.state import State, Track
from pacer.session.work import HEATING, Phase

SAME_S = 60.0
"""reliability.md T-28."""

COARSE_SAME_S = 300.0
COARSE_HAPPENINGS = 3
COARSE_SHARE = 0.9
LEAST_SEEN = 20
"""A source that repeats itself in so many of its lines, or has sent too few to tell, must be
the same for longer, through more. Judgement."""

LEAST_MOVES = 10
"""And of a source that has hardly ever moved an arc proves nothing. Judgement."""

ARC_S = 5.0
ARC_WITHIN_M = 0.05
ARC_ARRIVES_S = 20.0
"""An arc so long and so near moves the probe's place within so long: 1 K a net kJ over tens of
seconds, calculated (heat.md); 50 mm is the farthest ISO 13916 measures at."""

HEATED_S = 60.0
PEER_DC = 3.0
"""reliability.md T-28: another channel moved by more."""

_NOT_HERE = frozenset({Phase.PREPARE, Phase.TACK, Phase.COOL_DOWN, Phase.DONE})


def raised(state: State, track: Track, t_s: float) -> Doubt | None:
    """Return the doubt that a channel is stuck, or None."""
    repeats = track.repeats
    if repeats is None or t_s - repeats.since_s < SAME_S or state.phase in _NOT_HERE:
        return None
    if track.value_c is None or track.at_s != t_s:
        # What comes now is something else, and named so.
        return None
    coarse = repeats.seen < LEAST_SEEN or repeats.repeated >= COARSE_SHARE * repeats.seen
    same_s = t_s - repeats.since_s
    if coarse and same_s < COARSE_SAME_S:
        return None
    happened = _heated(state, track, t_s) + _others(state, track, repeats)
    if not coarse or repeats.moves >= LEAST_MOVES:
        happened += _arcs(state, repeats, t_s)
    if happened < (COARSE_HAPPENINGS if coarse else 1):
        return None
    values = {"temp_c": round(repeats.value_c, 1), "same_s": round(same_s)}
    return Doubt(CueKind.STUCK, t_s, "exactly {temp_c} for {same_s}", values)


def over(track: Track, doubt: Doubt) -> bool:
    """True once the value has changed."""
    return track.repeats is not None and track.repeats.since_s >= doubt.since_s


def _arcs(state: State, repeats: Repeats, t_s: float) -> int:
    """Return how many arcs came and went near the probe within the stretch."""
    if state.job.sensor.distance_m > ARC_WITHIN_M:
        return 0
    arcs = 0
    for bead in reversed(state.work.beads):
        if bead.ended_s is None:
            continue
        if bead.started_s < repeats.since_s:
            break
        long_ago = t_s - bead.ended_s >= ARC_ARRIVES_S
        arcs += long_ago and bead.arc_s(t_s) >= ARC_S
    return arcs


def _heated(state: State, track: Track, t_s: float) -> int:
    """Return for how many minutes of the stretch the present phase had to raise this very value."""
    if state.phase not in HEATING or track.repeats is None or track.value_c is None:
        return 0
    job = state.job
    post = state.phase is Phase.POST_HEAT
    target_c = job.postheat.temperature_c if post else job.band.preheat_c
    if target_c is None or track.value_c >= target_c - job.band.deadband_dc:
        return 0
    return int((t_s - max(track.repeats.since_s, state.work.entered_s)) // HEATED_S)


def _others(state: State, track: Track, repeats: Repeats) -> int:
    """Return by how many steps of `PEER_DC` another channel has moved in the stretch."""
    then = dict(repeats.peers)
    moved = 0
    for other in state.tracks:
        before_c = then.get(other.name)
        if other.name != track.name and before_c is not None and other.value_c is not None:
            moved = max(moved, int(abs(other.value_c - before_c) // PEER_DC))
    return moved
