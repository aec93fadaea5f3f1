"""Peen: at once, while the bead is red; ends by time or by a press.

Too late is skipped, never made up. A peen that nobody confirmed is "not confirmed".
"""

from __future__ import annotations

import msgspec

from pacer.session.events import Act, AnyEvent
from pacer.session.phases.moves import Outcome, decide
from pacer.session.state import State
from pacer.session.timers import Timer, after

replace = msgspec.structs.replace


def timers(state: State) -> list[Timer]:
    """The peen's end."""
    return [Timer(after(state.work.entered_s, state.job.bead.peen_s), "peened")]


def on_event(state: State, event: AnyEvent) -> Outcome:
    """A press sets an assumed arc end right; the next one ends the peen."""
    if not (isinstance(event, Act) and event.deed == "next"):
        return state, ()
    bead = state.work.bead
    assert bead is not None
    if bead.ended_by == "assumed":
        ended = replace(bead, ended_s=event.t_s, ended_by="press")
        work = replace(state.work.with_bead(ended), entered_s=event.t_s, by_itself=False)
        return replace(state, work=work), ()
    ended = replace(bead, peened="ended by press")
    state = replace(state, work=state.work.with_bead(ended))
    return decide(state, event.t_s, by_itself=False)


def on_timer(state: State, name: str, t_s: float) -> Outcome:
    """Time is up: the temperature decides."""
    return decide(state, t_s, by_itself=True)
