"""Post-heat and bury: the equalising hold (not stress relief), then cover the part."""

from __future__ import annotations

import msgspec

from pacer.session.band import DELAY_S
from pacer.session.events import Act, AnyEvent
from pacer.session.phases.cooldown import cover
from pacer.session.phases.moves import Outcome, enter
from pacer.session.state import State
from pacer.session.timers import Timer, after
from pacer.session.track import believed
from pacer.session.work import Phase

replace = msgspec.structs.replace

GIVEN_UP_S = 10.0
"""The clock alone counts the hold once a lost reading has been told for so long. Judgement."""


def finish(state: State, t_s: float) -> Outcome:
    """No more beads: hold at temperature where the job has a hold, else cover."""
    state = replace(state, work=replace(state.work, finished=True))
    if state.job.method == "cold" or state.job.postheat.hold_s <= 0:
        return enter(state, Phase.BURY, t_s, by_itself=False)
    state, cues = enter(state, Phase.POST_HEAT, t_s, by_itself=False)
    return _counted(state, t_s), cues


def timers(state: State) -> list[Timer]:
    """The end of the hold."""
    if state.phase is Phase.POST_HEAT and state.work.since_s is not None:
        return [Timer(after(state.work.since_s, state.job.postheat.hold_s), "held")]
    return []


def on_event(state: State, event: AnyEvent) -> Outcome:
    """A press moves on; readings start and stop the hold's count."""
    if isinstance(event, Act) and event.deed == "next":
        if state.phase is Phase.POST_HEAT:
            return enter(state, Phase.BURY, event.t_s, by_itself=False)
        return cover(state, event.t_s)
    if state.phase is Phase.POST_HEAT:
        return _counted(state, event.t_s), ()
    return state, ()


def _counted(state: State, t_s: float) -> State:
    if state.work.since_s is not None:
        # Sunk below the floor the part is no longer evening out: the hold counts anew.
        below_s = state.conditions.below_floor
        typed = bool(state.conditions.typed)
        sunk = below_s is not None and (typed or t_s - below_s >= DELAY_S)
        return replace(state, work=replace(state.work, since_s=None)) if sunk else state
    by_clock = _nothing_measures(state, t_s) and believed(state, t_s) is None
    start = by_clock or state.conditions.at_postheat is not None
    return replace(state, work=replace(state.work, since_s=t_s)) if start else state


def _nothing_measures(state: State, t_s: float) -> bool:
    """True without an instrument, or with one that has been given up: no drop-out counts."""
    sensor = state.sensor
    if sensor.hand:
        return True
    told_s = sensor.no_reading_s if sensor.told_no_reading else None
    return told_s is not None and t_s - told_s >= GIVEN_UP_S


def on_timer(state: State, name: str, t_s: float) -> Outcome:
    """The hold is over: cover the part."""
    return enter(state, Phase.BURY, t_s, by_itself=True)
