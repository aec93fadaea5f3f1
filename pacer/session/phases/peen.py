"""Peen and look: peen at once, while the bead is red; then, in the cadence, a look at it.

Too late is skipped, never made up. A peen that nobody confirmed is "not confirmed".
The look is the cadence's alone: whoever pressed has looked. In a run that the job leaves
unpeened the look takes the peen's place, however the bead ended.
"""

from __future__ import annotations

import msgspec

from pacer.session.events import Act, AnyEvent
from pacer.session.phases.bead import PAUSE_MOST_S, after_arc, leave_it
from pacer.session.phases.heating import start_soak
from pacer.session.phases.moves import Outcome, decide, enter
from pacer.session.state import State
from pacer.session.timers import Timer, after
from pacer.session.work import KEPT_HOT, Phase

replace = msgspec.structs.replace

LEAST_LOOK_S = 3.0
"""The look after a bead that must be left alone, where the cadence has none."""

SET_RIGHT_S = 5.0
"""In the peen's place a look waits so long at most for the press that tells when the arc went
out: however late a peen may begin, whoever welds on for longer has heard LOOK meanwhile. Our
choice, no source."""

_BROKEN_INTO = KEPT_HOT | {Phase.BURY}


def timers(state: State) -> list[Timer]:
    """The end of the peen, of the look, or of the patience with a pause."""
    work, rules = state.work, state.job.bead
    if work.paused_s is not None:
        return [Timer(after(work.paused_s, PAUSE_MOST_S), "given up")]
    if state.phase is Phase.LOOK:
        return [Timer(after(work.entered_s, look_s(state)), "looked")]
    return [Timer(after(work.entered_s, rules.peen_s), "peened")]


def look_s(state: State) -> float:
    """Return how long the look lasts, s.

    In the peen's place long enough for a press that sets an assumed end right: later the same
    press would begin the next bead.
    """
    least_s = _set_right_s(state) if state.work.unpeened else 0.0
    return max(state.job.bead.look_s, LEAST_LOOK_S, least_s)


def _set_right_s(state: State) -> float:
    """Return how long after an assumed end's peen or look began a press may set it right, s."""
    within_s = state.job.bead.peen_within_s
    return min(within_s, SET_RIGHT_S) if state.work.unpeened else within_s


def on_event(state: State, event: AnyEvent) -> Outcome:
    """A press soon after an assumed arc end sets it right; a later one ends peen or look."""
    if not (isinstance(event, Act) and event.deed == "next"):
        return state, ()
    t_s, bead = event.t_s, state.work.bead
    assert bead is not None
    if state.work.paused_s is not None:
        return _going_on(state, state.work.paused_s, t_s)
    if not after_arc(state):
        return _onward(state, t_s, by_itself=False)
    within_s, ended_s = state.job.bead.hood_up_s + _set_right_s(state), bead.ended_s or t_s
    if bead.ended_by == "assumed" and t_s - ended_s <= within_s:
        ended = replace(bead, ended_s=t_s, ended_by="press")
        work = replace(state.work.with_bead(ended), entered_s=t_s, by_itself=False)
        return replace(state, work=work), ()
    if not bead.unpeened:
        ended = replace(bead, peened="ended by press")
        state = replace(state, work=state.work.with_bead(ended))
    return _onward(state, t_s, by_itself=False)


def _onward(state: State, t_s: float, *, by_itself: bool) -> Outcome:
    """Let the temperature decide; after an arc that was no bead go back to where it broke in."""
    bead = state.work.bead
    if bead is None or bead.counted or bead.struck_in not in _BROKEN_INTO:
        if bead is not None and bead.struck_in is Phase.INSPECT:
            # He was asked to look and welded: asked after the bead it would come too late.
            state = replace(state, work=replace(state.work, inspect_first=False))
        return decide(state, t_s, by_itself=by_itself)
    if bead.struck_in is Phase.SOAK:
        return start_soak(state, t_s, by_itself=by_itself)
    return enter(state, bead.struck_in, t_s, by_itself=by_itself)


def _going_on(state: State, paused_s: float, t_s: float) -> Outcome:
    """Go on after a pause, but never peen cold."""
    work, bead = state.work, state.work.bead
    assert bead is not None
    assert bead.ended_s is not None
    rules = state.job.bead
    if state.phase is Phase.PEEN and t_s - bead.ended_s > rules.peen_within_s + rules.peen_s:
        return leave_it(state, t_s, by_itself=False)
    entered_s = after(work.entered_s, t_s - paused_s)
    return replace(state, work=replace(work, entered_s=entered_s, paused_s=None)), ()


def on_timer(state: State, name: str, t_s: float) -> Outcome:
    """Time is up: a look in the cadence, else the temperature decides."""
    bead = state.work.bead
    if (
        name == "peened"
        and bead is not None
        and bead.ended_by == "assumed"
        and bead.counted
        and state.job.bead.look_s > 0
    ):
        return enter(state, Phase.LOOK, t_s, by_itself=True)
    return _onward(state, t_s, by_itself=True)
