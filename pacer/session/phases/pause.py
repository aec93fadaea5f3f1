"""Wait, reheat, hold, and the look for new cracks after a long stop: between beads.

Wait ends at the ceiling less the dead-band, reheat at its target less the dead-band, both
by themselves; a press ends a reheat once the part is at or above the floor, a hold, or the
look for new cracks, during which the part is kept hot.
"""

from __future__ import annotations

import msgspec

from pacer.session.band import DELAY_S, judge
from pacer.session.cues import Cue
from pacer.session.events import Act, AnyEvent
from pacer.session.guard.steps import falls_back
from pacer.session.phases.moves import (
    BY_HIS_WORD,
    UNWATCHED,
    Outcome,
    call,
    cannot,
    decide,
    standing,
    to_inspect,
)
from pacer.session.state import State
from pacer.session.timers import Timer, after
from pacer.session.track import believed, feared, known_points_c, proven
from pacer.session.work import Phase

replace = msgspec.structs.replace

FEARED = "too hot, if it is right"

LONG_HOLD_S = 1800.0
"""After a hold so long new cracks are looked for, however warm it was kept (our choice, no
source)."""


def timers(state: State) -> list[Timer]:
    """The temperature that ends a wait or a reheat."""
    held, now = state.conditions, believed(state, state.t_s)
    if state.phase is Phase.WAIT and now is None and held.over_ceiling is not None:
        # In doubt, but too hot if it is right: that is told as ever.
        due_s = after(held.over_ceiling, DELAY_S)
        told = FEARED in state.work.told or due_s <= state.work.entered_s
        return [] if told else [Timer(due_s, FEARED)]
    if not proven(state, now):
        return []
    if state.phase is Phase.WAIT and held.cool_enough is not None:
        return [Timer(after(held.cool_enough, DELAY_S), "cool enough")]
    if state.phase is Phase.REHEAT and held.hot_enough is not None and not falls_back(state, now):
        return [Timer(after(held.hot_enough, DELAY_S), "hot enough")]
    return []


def on_event(state: State, event: AnyEvent) -> Outcome:
    """What a press does here, and why where it does nothing."""
    if not (isinstance(event, Act) and event.deed == "next"):
        return state, ()
    t_s = event.t_s
    if state.phase is Phase.HOLD:
        return _held(state, t_s)
    if state.phase is Phase.INSPECT:
        state = replace(state, work=replace(state.work, inspect_first=False))
        # Without any instrument his own "ready" is all there is, and he has just said it.
        if state.own_word:
            return call(state, t_s, by_itself=False)
        return decide(state, t_s, by_itself=False)
    now, band = believed(state, t_s), state.job.band
    if now is None:
        if state.own_word and UNWATCHED in state.work.told:
            # First he is asked to measure, then his word counts.
            work = replace(state.work, told=state.work.told - {UNWATCHED})
            return replace(state, work=work), _only(standing(state, t_s))
        if state.own_word:
            # No instrument and nothing typed: his own "ready" is all there is.
            return call(state, t_s, by_itself=False)
        return cannot(state, t_s, "no trusted reading: measure at the joint and type it (R)")
    if not proven(state, now):
        return cannot(state, t_s, "the reading has only just come back: a few seconds more")
    if state.phase is Phase.WAIT and now.most_c > band.ceiling_c - band.deadband_dc:
        return cannot(state, t_s, "the part is still too hot for the next bead")
    if state.phase is Phase.WAIT:
        return decide(state, t_s, by_itself=False)
    if now.least_c > band.ceiling_c:
        return decide(state, t_s, by_itself=False)
    coldest = min((now.least_c, *known_points_c(state, t_s)))
    if band.floor_c is not None and coldest >= band.floor_c:
        state, cues = call(state, t_s, by_itself=False)
        if state.phase is not Phase.READY:
            return state, cues
        # His word stands until the part is really below the floor.
        return replace(state, work=replace(state.work, told=frozenset({BY_HIS_WORD}))), cues
    return cannot(state, t_s, "the part is still below the floor")


def _only(cue: Cue | None) -> tuple[Cue, ...]:
    return (cue,) if cue else ()


def _held(state: State, t_s: float) -> Outcome:
    """A hold is over: the temperature decides, after a long one a look comes first."""
    if t_s - state.work.entered_s >= LONG_HOLD_S:
        state = to_inspect(state)
    return decide(state, t_s, by_itself=False)


def on_timer(state: State, name: str, t_s: float) -> Outcome:
    """Let the temperature decide, as it is judged at this moment."""
    state = judge(state, t_s)
    if name == FEARED:
        if feared(state, t_s) is None:
            return state, ()
        cue = standing(state, t_s)
        state = replace(state, work=replace(state.work, told=state.work.told | {FEARED}))
        return state, _only(cue)
    return decide(state, t_s, by_itself=True) if timers(state) else (state, ())
