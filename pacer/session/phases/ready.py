"""Ready: the next bead may start; press or arc starts it.

The temperature is watched: too hot goes to wait, too near the floor to reheat, and an
instrument that can no longer be trusted to wait (`session/watch.py` does the last).
"""

from __future__ import annotations

from pacer.session.band import DELAY_S, judge
from pacer.session.cues import Cue, CueKind
from pacer.session.events import Act, AnyEvent
from pacer.session.phases.bead import start
from pacer.session.phases.moves import BY_HIS_WORD, Outcome, decide, enter, still_ready
from pacer.session.state import State
from pacer.session.timers import Timer, after
from pacer.session.track import believed, blind
from pacer.session.work import Phase


def timers(state: State) -> list[Timer]:
    """Out of band for the on-delay, or no reading young enough to go by."""
    if state.soak_first:
        return [Timer(state.t_s, "gone cold")]
    due: list[Timer] = []
    held = state.conditions
    his_word = BY_HIS_WORD in state.work.told
    too_cold = held.below_floor if his_word else held.short_of_floor
    for since_s in (held.over_ceiling, too_cold):
        if since_s is not None:
            due.append(Timer(after(since_s, DELAY_S), "out of band"))
    now = believed(state, state.t_s)
    if now is None and not state.own_word:
        # A drop-out of a few seconds changes nothing; the number is off the screen meanwhile.
        lapse = blind(state, state.t_s)
        due_s = max(state.t_s, lapse.due_s) if lapse is not None else state.t_s
        due.append(Timer(due_s, "nothing to go by"))
    return due


def on_event(state: State, event: AnyEvent) -> Outcome:
    """A press starts the bead."""
    if isinstance(event, Act) and event.deed == "next":
        return start(state, event.t_s, by="press")
    return state, ()


def on_timer(state: State, name: str, t_s: float) -> Outcome:
    """Let the temperature decide again."""
    if name == "nothing to go by":
        cue = Cue(kind=CueKind.TYPE_A_READING, t_s=t_s)
        return enter(state, Phase.WAIT, t_s, by_itself=True, cue=cue)
    # What is learned of the part may have moved the limit since it was last compared.
    state = judge(state, t_s)
    return (state, ()) if still_ready(state, t_s) else decide(state, t_s, by_itself=True)
