"""Preheat and soak: up to the target, then time for the heat to even out.

The soak counts from the moment the coldest known point is at or above the floor; a
trusted reading below the floor stops the count, a lost sensor does not.
"""

from __future__ import annotations

import msgspec

from pacer.session.band import DELAY_S, judge
from pacer.session.cues import Cue, CueKind
from pacer.session.events import Act, AnyEvent
from pacer.session.guard.steps import falls_back
from pacer.session.phases.moves import Outcome, decide, enter
from pacer.session.state import State
from pacer.session.timers import Timer, after
from pacer.session.track import believed, places_c, silent_after_s, typed_fresh_s
from pacer.session.work import Phase

replace = msgspec.structs.replace


def timers(state: State) -> list[Timer]:
    """Preheat ends at the target; soak at its time and evenness."""
    held = state.conditions
    if state.phase is Phase.PREHEAT:
        if held.at_preheat is None or falls_back(state, believed(state, state.t_s)):
            return []
        return [Timer(after(held.at_preheat, DELAY_S), "at target")]
    due = _old_places(state)
    since_s = state.work.since_s
    if since_s is None:
        return due
    due_s = after(since_s, state.job.band.soak_s)
    if len(places_c(state, state.t_s)) > 1 and held.above_floor is not None:
        if held.even is None:
            return due
        due_s = max(due_s, after(held.even, DELAY_S))
    return [*due, Timer(due_s, "soaked")]


def _old_places(state: State) -> list[Timer]:
    """When a place will be too old to compare with: the soak is judged anew then."""
    if len(state.tracks) + len(state.places) < 2:
        return []
    ends = [after(place.at_s, typed_fresh_s(state.phase)) for place in state.places]
    silent_s = silent_after_s(state.sensor)
    ends += [after(track.at_s, silent_s) for track in state.tracks if track.at_s is not None]
    return [Timer(end_s, "place too old") for end_s in ends if end_s > state.t_s]


def on_event(state: State, event: AnyEvent) -> Outcome:
    """A press cuts either short; a reading starts or stops the soak's count."""
    if isinstance(event, Act) and event.deed == "next":
        return _onward(state, event.t_s, by_itself=False)
    if state.phase is Phase.SOAK:
        return _counted(state, event.t_s), ()
    return state, ()


def _counted(state: State, t_s: float) -> State:
    """Return the state with the soak's count started or stopped by what is believed now."""
    since_s = state.work.since_s
    if state.conditions.below_floor is not None:
        since_s = None
    elif since_s is None and state.conditions.above_floor is not None:
        since_s = t_s
    return replace(state, work=replace(state.work, since_s=since_s))


def on_timer(state: State, name: str, t_s: float) -> Outcome:
    """Move on, or judge without a place that was typed too long ago."""
    if name == "place too old":
        return judge(state, t_s), ()
    return _onward(state, t_s, by_itself=True)


def _onward(state: State, t_s: float, *, by_itself: bool) -> Outcome:
    if state.phase is Phase.PREHEAT:
        return start_soak(state, t_s, by_itself=by_itself)
    state = replace(state, sunk_s=None, soak_first=False)
    if state.job.joint.tack == "hot" and not state.work.tacked:
        return enter(state, Phase.TACK, t_s, by_itself=by_itself)
    return decide(state, t_s, by_itself=by_itself)


def start_soak(state: State, t_s: float, *, by_itself: bool) -> Outcome:
    """Enter the soak; without any reading its time counts at once."""
    state, cues = enter(state, Phase.SOAK, t_s, by_itself=by_itself)
    blind = believed(state, t_s) is None
    start = blind or state.conditions.above_floor is not None
    state = replace(state, work=replace(state.work, since_s=t_s if start else None))
    if state.work.tacked:
        cues = (*cues, Cue(kind=CueKind.LOOK_AT_TACKS, t_s=t_s))
    return state, cues
