"""Peen and look: peen at once, while the bead is red; then, in the cadence, a look at it.

Too late is skipped, never made up. A peen that nobody confirmed is "not confirmed".
The look is the cadence's alone: whoever pressed has looked.
"""

from __future__ import annotations

import msgspec

from pacer.session.cues import Cue, CueKind
from pacer.session.events import Act, AnyEvent
from pacer.session.phases.bead import PAUSE_MOST_S
from pacer.session.phases.moves import Outcome, decide, enter
from pacer.session.state import State
from pacer.session.timers import Timer, after
from pacer.session.work import Phase

replace = msgspec.structs.replace


def timers(state: State) -> list[Timer]:
    """The end of the peen, of the look, or of the patience with a pause."""
    work, rules = state.work, state.job.bead
    if work.paused_s is not None:
        return [Timer(after(work.paused_s, PAUSE_MOST_S), "given up")]
    if state.phase is Phase.LOOK:
        return [Timer(after(work.entered_s, rules.look_s), "looked")]
    return [Timer(after(work.entered_s, rules.peen_s), "peened")]


def on_event(state: State, event: AnyEvent) -> Outcome:
    """A press sets an assumed arc end right; the next one ends the peen, or the look."""
    if not (isinstance(event, Act) and event.deed == "next"):
        return state, ()
    t_s, bead = event.t_s, state.work.bead
    assert bead is not None
    if state.work.paused_s is not None:
        return _going_on(state, state.work.paused_s, t_s)
    if state.phase is Phase.LOOK:
        return decide(state, t_s, by_itself=False)
    if bead.ended_by == "assumed":
        ended = replace(bead, ended_s=t_s, ended_by="press")
        work = replace(state.work.with_bead(ended), entered_s=t_s, by_itself=False)
        return replace(state, work=work), ()
    ended = replace(bead, peened="ended by press")
    state = replace(state, work=state.work.with_bead(ended))
    return decide(state, t_s, by_itself=False)


def _going_on(state: State, paused_s: float, t_s: float) -> Outcome:
    """Go on after a pause, but never peen cold."""
    work, bead = state.work, state.work.bead
    assert bead is not None
    assert bead.ended_s is not None
    rules = state.job.bead
    if state.phase is Phase.PEEN and t_s - bead.ended_s > rules.peen_within_s + rules.peen_s:
        left = work.with_bead(replace(bead, peened="left alone"))
        state, cues = decide(replace(state, work=left), t_s, by_itself=False)
        return state, (*cues, Cue(kind=CueKind.LEAVE_IT, t_s=t_s))
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
    return decide(state, t_s, by_itself=True)
