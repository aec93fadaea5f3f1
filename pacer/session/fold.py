"""The fold: `step`, `advance`, `deadline`. Dispatch only; the rules are in `phases/`.

    state, cues = begin(opened)
    state, cues = step(state, event)      # advances to the event's time, then applies it
    state, cues = advance(state, t_s)     # fires every timer due at or before t_s, in order

Live running, recovery, replay and review all call these over the same log.
Two rules make replay equal live whenever the driver woke: a cue's time is its deadline,
and a timer due at the same instant as an event goes first.
"""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from pacer.session import arc, log_news, prompt, watch
from pacer.session.band import judge
from pacer.session.cues import OF_THE_LOG, Cue
from pacer.session.events import (
    NOT_FOLDED,
    Act,
    AnyEvent,
    ClockGap,
    Ended,
    Opened,
    Reading,
    Resumed,
    SensorChanged,
    Trouble,
)
from pacer.session.guard import doubts
from pacer.session.guard.listen import take
from pacer.session.learning import follow
from pacer.session.phases import acts
from pacer.session.phases.moves import Outcome, decide, enter, standing
from pacer.session.phases.table import RULES
from pacer.session.port import sensor_changed
from pacer.session.state import Sensor, State
from pacer.session.timers import Timer
from pacer.session.work import Phase, Work

replace = msgspec.structs.replace

_MOST_AT_ONCE = 50


def begin(opened: Opened) -> Outcome:
    """Return the state at a recording's head and the first cue."""
    state = State(
        job=opened.job,
        t_s=opened.t_s,
        work=Work(phase=Phase.PREPARE, entered_s=opened.t_s),
        sensor=Sensor(
            channel=opened.channel,
            hand=opened.hand,
            period_s=opened.period_s or 1.0,
            period_given=opened.period_s is not None,
        ),
    )
    if opened.start_phase == "cool-down":
        # The cool-down of an import starts at its first reading (`phases/cooldown.py`).
        return enter(state, Phase.COOL_DOWN, opened.t_s, by_itself=True)
    cue = standing(state, opened.t_s)
    return replace(state, active=cue), ((cue,) if cue else ())


def deadline(state: State) -> Timer | None:
    """Return what is due next, or None. Never earlier than the state's own time."""
    if state.ended or state.stalled:
        return None
    due = [
        # Overdue after an undo or a gap means now; then rank decides who comes first.
        timer if timer.t_s >= state.t_s else replace(timer, t_s=state.t_s)
        for timer in (*watch.timers(state), *RULES[state.phase].timers(state))
    ]
    return min(due, key=Timer.key, default=None)


def advance(state: State, t_s: float) -> Outcome:
    """Return the state at `t_s` with every timer due by then fired, and their cues."""
    told: tuple[Cue, ...] = ()
    at_once = 0
    while (timer := deadline(state)) is not None and timer.t_s <= t_s:
        # Rules that answer each other for ever are a bug; it must not hang a welder's screen.
        at_once = at_once + 1 if timer.t_s == state.t_s else 0
        if at_once > _MOST_AT_ONCE:
            state = replace(state, stalled=True)
            break
        state = replace(state, t_s=timer.t_s)
        rules = watch.on_timer if timer.name in watch.NAMES else RULES[state.phase].on_timer
        state, cues = _shown(*rules(state, timer.name, timer.t_s))
        told += cues
    return replace(state, t_s=max(state.t_s, t_s)), told


def step(state: State, event: AnyEvent) -> Outcome:
    """Return the state after `event`, and the cues told on the way. Never raises."""
    state, before = advance(state, event.t_s)
    if isinstance(event, NOT_FOLDED):
        # A live session never folds them. They only say that somebody was awake: timers due by
        # then have fired.
        return state, before
    if state.stalled:
        state = replace(state, stalled=False)
    state, cues = _shown(*_apply(state, event))
    return follow(state, event), before + cues


def fold(opened: Opened, events: Iterable[AnyEvent]) -> Outcome:
    """Return the state and every cue after a whole recording."""
    state, told = begin(opened)
    cues = list(told)
    for event in events:
        state, more = step(state, event)
        cues.extend(more)
    return state, tuple(cues)


def _apply(state: State, event: AnyEvent) -> Outcome:
    match event:
        case Reading():
            return _read(state, event)
        case Act():
            return _acted(state, event)
        case SensorChanged():
            return sensor_changed(state, event), ()
        case ClockGap():
            return watch.gap(state, event)
        case Resumed():
            return watch.resumed(state, event)
        case Trouble():
            return acts.failed(state, event), ()
        case Ended():
            return replace(state, ended=True), ()
        case _:
            return state, ()


def _read(state: State, reading: Reading) -> Outcome:
    state = judge(take(state, reading), reading.t_s)
    state, act = arc.heard(state, reading)
    state, cues = RULES[state.phase].on_event(state, reading)
    if act is None:
        return state, cues
    state, more = _acted(state, act)
    return state, cues + more


def _acted(state: State, act: Act) -> Outcome:
    before, cooling = state.work, state.cooling
    if (answered := log_news.answered(state, act)) is not None:
        return answered, ()
    if (asked := doubts.asked_first(state, act)) is not None:
        return asked, ()
    if doubts.answers(state, act):
        cold, state = state.cold_yet, judge(doubts.accepted(state), act.t_s)
        if act.deed == "next" and act.by in prompt.HANDS and not cold:
            return _answered(state, act)
    state = acts.typed(state, act)
    outcome = acts.apply(state, act)
    state, cues = outcome if outcome is not None else RULES[state.phase].on_event(state, act)
    if act.deed in acts.UNDOABLE and state.work != before:
        state = replace(state, undo=before, undo_at_s=act.t_s, undo_cooling=cooling)
    elif act.deed in {"arc on", "arc off"} and state.work != before:
        # An arc is a fact: an older press can't be undone across it.
        state = replace(state, undo=None)
    return prompt.answered(state, act, before.phase), cues


def _answered(state: State, act: Act) -> Outcome:
    """The press answered a doubt and does nothing else; now the temperature decides."""
    phase = state.phase
    cues: tuple[Cue, ...] = ()
    if phase is Phase.WAIT:
        state, cues = decide(state, act.t_s, by_itself=True)
    return prompt.answered(state, act, phase), cues


def _shown(state: State, cues: tuple[Cue, ...]) -> Outcome:
    """Return the state with what stands on the screen; only where something happened."""
    if state.prompt is not None or cues:
        state = prompt.told(state, cues)
    # What is told of the recording takes no step's place.
    of_the_work = [cue for cue in cues if cue.kind not in OF_THE_LOG]
    return (replace(state, active=of_the_work[-1]) if of_the_work else state), cues
