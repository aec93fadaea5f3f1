"""Doubts of a channel: raised at a line, and ended by its values, an answer, or by time.

Four ways out: the welder presses, or types a reading that agrees; the value comes back; or,
after a step, it stays clean for long enough (then it is marked as not confirmed).
"""

from __future__ import annotations

import msgspec

from pacer.session import prompt
from pacer.session.cues import DOUBTS, CueKind
from pacer.session.events import Act
from pacer.session.evidence import Doubt
from pacer.session.guard import apart, arcing, covered, leads, noisy, steps, stuck, units, wires
from pacer.session.state import State, Track, Typed
from pacer.session.timers import Timer, after
from pacer.session.track import BAD_IN_A_ROW, believed, heard, silent_after_s
from pacer.session.work import Phase

replace = msgspec.structs.replace

AGREES_DC = 25.0
AGREES_SHARE = 0.1
"""A typed reading so near answers for the instrument. Judgement: another instrument, another place."""

TAKEN = "taken"

_NOT_BY_PRESS = frozenset({CueKind.REVERSED})
"""Such a number is wrong whatever the welder says: a press silences it, a typed reading that agrees
answers it."""

_LASTING = frozenset(DOUBTS - {CueKind.JUMPED, CueKind.PROBE_OFF})
"""Answered they are kept in mind, so that the same isn't asked at each line."""


def look(state: State, old: Track, track: Track, t_s: float) -> Track:
    """Return the track with its doubts as a line of the source leaves them.

    `state` has the tracks after the line.
    """
    if state.sensor.hand:
        return track
    if track.odd_s:
        track = noisy.judged(track, state.sensor, t_s)
    if track.name == state.sensor.control and len(state.tracks) > 1:
        track = apart.judged(state, track, t_s)
    doubt = track.doubt
    if doubt is not None:
        if _over(state, track, doubt, t_s):
            return _ended(track, t_s)
        if not doubt.accepted:
            return _still(track, doubt, t_s)
    if track.bad >= BAD_IN_A_ROW or (
        track.arc is not None and not arcing.past_its_start(state, track)
    ):
        return track
    if track.taken_c is not None and steps.gone_back(state, track, t_s):
        return replace(track, taken=None, taken_c=None, earlier=())
    found = _raised(state, old, track, t_s)
    if found is None or (doubt is not None and doubt.kind is found.kind):
        return track
    return replace(track, doubt=found, taken=None)


def _raised(state: State, old: Track, track: Track, t_s: float) -> Doubt | None:
    value_c, repeats = track.value_c, track.repeats
    if value_c is None:
        return None
    # Of every value of every channel: asked only where there can be something to ask.
    below_room = value_c < max(leads.NEVER_C, state.job.cooldown.ambient_c)
    still = steps.stands_still(track)
    return (
        (leads.raised(state, track, t_s) if below_room else None)
        or (None if still else steps.raised(state, old, track, t_s))
        or (
            covered.raised(state, old, track, t_s, still=still)
            if state.cooling is not None
            else None
        )
        or (units.raised(state, track, t_s) if track.name == state.sensor.control else None)
        or (
            stuck.raised(state, track, t_s)
            if repeats is not None and t_s - repeats.since_s >= stuck.SAME_S
            else None
        )
        or (apart.raised(state, track, t_s) if track.apart_s is not None else None)
    )


def _over(state: State, track: Track, doubt: Doubt, t_s: float) -> bool:
    if track.at_s != t_s and doubt.kind is not CueKind.STUCK:
        return False
    match doubt.kind:
        case CueKind.STUCK:
            return stuck.over(track, doubt)
        case CueKind.REVERSED:
            return leads.over(state, track)
        case CueKind.APART:
            return apart.over(state, track, t_s)
        case CueKind.WHICH_UNIT if doubt.was_c is None:
            in_a_shop = track.value_c is not None and units.in_a_shop(track.value_c)
            return state.cold_yet and in_a_shop
        case CueKind.WIRE_TYPE:
            return False
        case _:
            return steps.over(track, doubt, t_s) or steps.is_back(state, track)


def _ended(track: Track, t_s: float) -> Track:
    """Return the track with its doubt over by itself: what it says must first stay for a while."""
    assert track.doubt is not None
    kind = track.doubt.kind
    since_s = track.good_since_s if track.doubt.accepted else t_s
    track = replace(track, doubt=None, earlier=(), good_since_s=since_s)
    if kind is not CueKind.STUCK or track.repeats is None or track.at_s != t_s:
        return track
    # It was stuck: what it reads now is no step from there.
    newest_c = track.repeats.value_c
    return replace(track, window=(newest_c,), value_c=newest_c)


def _still(track: Track, doubt: Doubt, t_s: float) -> Track:
    """Return the track with its doubt, clean from now on if something more was odd."""
    if doubt.clean_s is None or track.at_s is None:
        return track
    broken = track.good_since_s is not None and track.good_since_s > doubt.clean_s
    if broken or steps.still_moving(track, t_s):
        return replace(track, doubt=replace(doubt, clean_s=t_s))
    return track


def timers(state: State) -> list[Timer]:
    """When a doubt that nobody answers ends by default."""
    return [
        Timer(due_s, TAKEN, rank=0)
        for track in state.tracks
        if track.doubt is not None and (due_s := _taken_s(state, track)) is not None
    ]


def _taken_s(state: State, track: Track) -> float | None:
    """Return when a channel's doubt ends by default, s; None: there is none, or it never does so."""
    doubt = track.doubt
    if doubt is None or not track.doubted or doubt.clean_s is None or track.at_s is None:
        return None
    if track.bad >= BAD_IN_A_ROW:
        return None
    asked_s, clean_s = doubt.clean_s, steps.CLEAN_S
    # Of another channel nobody is asked; that it is far off is (`apart.py`).
    if track.name == state.sensor.control:
        told_s = state.sensor.told_s(doubt.kind)
        told = told_s is not None and told_s >= doubt.since_s
        if not told and not prompt.aside(state, doubt.kind):
            return None
        if steps.only_an_answer_ends(state, track, doubt):
            return None
        clean_s = steps.clean_s(track, doubt)
        if told_s is not None:
            asked_s = max(asked_s, told_s)
    due_s = after(asked_s, clean_s)
    # Only if it is still heard then; each line that comes moves that on.
    is_heard = max(due_s, state.t_s) < after(track.at_s, silent_after_s(state.sensor))
    return due_s if is_heard else None


def taken(state: State, t_s: float) -> State:
    """Return the state with every doubt that is due ended by default, not confirmed."""
    tracks = []
    for track in state.tracks:
        due_s, doubt = _taken_s(state, track), track.doubt
        if doubt is not None and due_s is not None and due_s <= t_s:
            track = replace(track, doubt=None, taken=doubt.kind, taken_c=doubt.was_c, earlier=())
        tracks.append(track)
    return replace(state, tracks=tuple(tracks))


def accepted(state: State) -> State:
    """Return the state with the deciding channel's doubt answered: it is right as it is."""
    control = state.control
    if control is None or control.doubt is None or not control.doubted:
        return state
    doubt, sensor = control.doubt, state.sensor
    asked_cold = doubt.kind is CueKind.WHICH_UNIT and state.cold_yet
    kept = replace(doubt, accepted=True) if doubt.kind in _LASTING and not asked_cold else None
    track = replace(control, doubt=kept, taken=None, taken_c=doubt.was_c, earlier=())
    if asked_cold:
        sensor = replace(sensor, unit_asked=True)
    if sensor.is_told(doubt.kind):
        sensor = replace(sensor, told_no_reading=False)
    return replace(state, sensor=sensor, tracks=_with(state, track))


def _with(state: State, track: Track) -> tuple[Track, ...]:
    return tuple(track if t.name == track.name else t for t in state.tracks)


def answers(state: State, act: Act) -> bool:
    """True for a press that answers the doubt: the screen shows it, told or put aside.

    A press that leaves the cold phases answers what is asked there, told or not; whoever has
    uncovered the part has seen it.
    """
    control, sensor = state.control, state.sensor
    uncovers = act.deed == "uncovered" and state.phase is Phase.COOL_DOWN
    if act.deed != "next" and not uncovers:
        return False
    if control is None or control.doubt is None or not control.doubted:
        return False
    if not heard(state, control, act.t_s):
        # Lost, open or silent: the screen says that, and asks nothing about a number.
        return False
    if state.cold_yet:
        return True
    if control.doubt.kind in _NOT_BY_PRESS:
        return False
    if uncovers:
        return True
    if state.phase is Phase.READY and believed(state, act.t_s) is not None:
        # Called by what he typed: the press begins the bead, it says nothing of the instrument.
        return False
    if state.phase is Phase.BEAD or state.phase in prompt.NEEDS_NO_NUMBER:
        return False
    if act.by not in prompt.HANDS:
        return True
    told = sensor.is_told(control.doubt.kind)
    too_new = act.t_s - control.doubt.since_s < prompt.UNSEEN_S - 1e-9
    return not (prompt.too_soon(state, act.t_s) if told else too_new)


def asked_first(state: State, act: Act) -> State | None:
    """Return the state with the unit asked about where a hand would begin the heat without that.

    The press begins nothing: he has not seen the question yet. A script is taken at its word.
    """
    if act.deed != "next" or act.by not in prompt.HANDS:
        return None
    doubt = units.before_the_heat(state, act.t_s)
    if doubt is None or state.control is None:
        return None
    tracks = _with(state, replace(state.control, doubt=doubt, taken=None))
    return replace(state, tracks=tracks, ignored=state.ignored + 1)


def weighed(state: State, typed: Typed) -> State:
    """Return the state after a typed reading was laid beside the instrument's."""
    control, t_s = state.control, typed.at_s
    if control is None or control.value_c is None or control.at_s is None or typed.side:
        return state
    if t_s - control.at_s >= silent_after_s(state.sensor) or control.bad >= BAD_IN_A_ROW:
        return state
    differs_dc = abs(control.value_c - typed.temp_c)
    agrees = differs_dc <= max(AGREES_DC, AGREES_SHARE * abs(typed.temp_c))
    doubt = control.doubt
    if doubt is not None and not doubt.accepted:
        return accepted(state) if agrees else state
    found = wires.raised(state, control, typed, t_s)
    if found is None:
        settled = agrees and doubt is not None and doubt.kind is CueKind.WIRE_TYPE
        track = replace(control, taken=None, doubt=None if settled else doubt)
        return state if track == control else replace(state, tracks=_with(state, track))
    if doubt is not None and doubt.kind is found.kind:
        return state
    return replace(state, tracks=_with(state, replace(control, doubt=found, taken=None)))
