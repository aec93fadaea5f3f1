"""Prepare and tack: nothing is hot yet; one press each.

Cold tacks come before the preheat, hot tacks after the soak (procedure.md section 2).
On another day the preparation is checked again, tacks are not made again.
"""

from __future__ import annotations

import msgspec

from pacer.session.events import Act, AnyEvent
from pacer.session.phases.moves import Outcome, decide, enter
from pacer.session.state import State
from pacer.session.timers import Timer
from pacer.session.work import Phase

replace = msgspec.structs.replace


def timers(state: State) -> list[Timer]:
    """Nothing here is due by the clock."""
    return []


def on_event(state: State, event: AnyEvent) -> Outcome:
    """A press moves on."""
    if not (isinstance(event, Act) and event.deed == "next"):
        return state, ()
    t_s = event.t_s
    cold_tacks = state.job.joint.tack == "cold"
    if state.phase is Phase.PREPARE and cold_tacks and not state.work.tacked:
        return enter(state, Phase.TACK, t_s, by_itself=False)
    if state.phase is Phase.TACK:
        state = replace(state, work=replace(state.work, tacked=True))
        if state.job.joint.tack == "hot":
            return decide(state, t_s, by_itself=False)
    if state.job.method == "cold":
        return decide(state, t_s, by_itself=False)
    return enter(state, Phase.PREHEAT, t_s, by_itself=False)


def on_timer(state: State, name: str, t_s: float) -> Outcome:
    """No timers."""
    return state, ()
