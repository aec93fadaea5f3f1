"""The prompt: the one cue that waits for an answer, told again while nobody gives one.

1. A new prompt takes the place of an older one of its urgency or below; nothing queues up.
2. One that no longer holds is dropped without a word; the step told meanwhile takes its place.
3. Unanswered it is told again after `AGAIN_S`, three times, never louder; then it only
   stands on the screen (`screen/parts/quiet.py`). Never while the arc burns.
4. What the welder does answers it, if he can have seen it. A press answers an unanswered WARN or FAULT that
   fills the screen before it moves anything on: what is seen is what is answered.
5. Put aside (`shelve`), a kind is silent for `SHELF_S`; what still holds then is told anew.
   A FAULT stays on the screen all the same.
"""

from __future__ import annotations

import msgspec

from pacer.session.cues import BLIND, Cue, CueKind, Urgency
from pacer.session.events import Act
from pacer.session.state import Prompt, Shelved, State
from pacer.session.timers import Timer, after
from pacer.session.track import Lapse, believed, proven
from pacer.session.work import KEPT_HOT, Phase

replace = msgspec.structs.replace

AGAIN_S: dict[Urgency, tuple[float, ...]] = {
    Urgency.STEP: (30.0, 60.0, 60.0),
    Urgency.WARN: (60.0, 60.0, 60.0),
    Urgency.FAULT: (60.0, 60.0, 60.0),
}
"""Waits before each repeat: an alarm each minute, a step first after half a minute; three,
then a quiet line (procedure.md section 15). Judgement: at reliability.md's 10 s most READYs
would be told twice, for a new rod takes longer; so none is told three times in a minute."""

SHELF_S = 300.0
"""How long a cue put aside stays silent (reliability.md section 6, judgement)."""

UNSEEN_S = 0.5
"""A press so soon after an alarm was told can't be its answer (reliability.md T-37, judgement)."""

HANDS = frozenset({"key", "pedal", "contact"})
"""Presses of a hand or foot, which may come by accident; a script is taken at its word."""

NEEDS_NO_NUMBER = frozenset(
    {Phase.PREPARE, Phase.TACK, Phase.PEEN, Phase.LOOK, Phase.BURY, Phase.DONE}
)
"""A peen lasts seconds and needs no number; before and after the heat nothing waits for one."""

_OF_PHASE: dict[CueKind, Phase] = {
    CueKind.READY: Phase.READY,
    CueKind.ALL_LAID: Phase.READY,
    CueKind.REHEAT: Phase.REHEAT,
    CueKind.PUT_BACK: Phase.REHEAT,
    CueKind.LOOK_FOR_CRACKS: Phase.INSPECT,
    CueKind.POST_HEAT: Phase.POST_HEAT,
    CueKind.BURY: Phase.BURY,
    CueKind.UNCOVER: Phase.COOL_DOWN,
}
"""Steps that wait for the welder in one phase."""

_DEPARTURES = frozenset({CueKind.COOLING_FAST, CueKind.PROBE_MOVED})
_ONCE = _DEPARTURES | {CueKind.UNCOVER}
"""Told once: nobody has to run to a covered part, longer is safer, and a burial is silent."""

_WAITING = (
    frozenset(_OF_PHASE)
    | _ONCE
    | BLIND
    | {
        CueKind.TYPE_A_READING,
        CueKind.GAP,
        CueKind.UNTIMED_GAP,
        CueKind.TOO_HOT,
        CueKind.TOO_COLD,
    }
)
_NO_ANSWER = frozenset({"arc off", "checked", "prepared", "pause"})
_OF_READING = frozenset({"reading", "shelve"})
_ASKS_FOR_A_READING = BLIND | {CueKind.TYPE_A_READING, CueKind.GAP, CueKind.UNTIMED_GAP}

AGAIN, SHELF = "tell again", "shelf ends"
NAMES = frozenset({AGAIN, SHELF})


def waits(kind: CueKind) -> bool:
    """True for a cue that goes on waiting until somebody answers it."""
    return kind in _WAITING and kind not in _DEPARTURES


def aside(state: State, kind: CueKind) -> bool:
    """True while a kind of cue is put aside."""
    return any(shelf.kind is kind for shelf in state.shelved)


def unanswered(state: State) -> Cue | None:
    """Return the cue that waits for an answer now, or None."""
    prompt = state.prompt
    return prompt.cue if prompt is not None and not prompt.answered else None


def alarm(state: State) -> bool:
    """True while a WARN or FAULT waits for an answer and no arc burns."""
    cue = unanswered(state)
    return cue is not None and cue.urgency is not Urgency.STEP and state.phase is not Phase.BEAD


def alarm_fills(state: State) -> bool:
    """True while such a WARN or FAULT fills the screen: a press answers it."""
    return alarm(state) and state.phase not in NEEDS_NO_NUMBER


def told(state: State, cues: tuple[Cue, ...]) -> State:
    """Return the state with the newest cue that waits for an answer as its prompt."""
    prompt = state.prompt
    if prompt is not None and not holds(state, prompt.cue):
        prompt = _next_in_line(state)
    for cue in cues:
        if cue.kind not in _WAITING or cue.again or not holds(state, cue):
            continue
        stands = prompt is not None and not prompt.answered
        if prompt is None or not stands or cue.urgency.rank >= prompt.cue.urgency.rank:
            silent = aside(state, cue.kind)
            prompt = Prompt(cue=cue, first_s=cue.t_s, told_s=cue.t_s, answered=silent)
    return state if prompt is state.prompt else replace(state, prompt=prompt)


def _next_in_line(state: State) -> Prompt | None:
    """Return the step that an alarm, now over, stood before."""
    cue = state.active
    if cue is None or cue.kind not in _WAITING or not holds(state, cue):
        return None
    return Prompt(cue=cue, first_s=cue.t_s, told_s=state.t_s)


def holds(state: State, cue: Cue) -> bool:
    """True while what a prompt says is still so."""
    kind = cue.kind
    if kind in _OF_PHASE:
        return state.phase is _OF_PHASE[kind]
    match kind:
        case CueKind.TOO_HOT:
            return state.told_over and state.phase in KEPT_HOT | {Phase.TACK}
        case CueKind.TOO_COLD:
            return state.told_under and state.phase in KEPT_HOT | {Phase.TACK}
        case _ if kind in BLIND:
            return state.sensor.is_told(kind)
        case CueKind.TYPE_A_READING:
            return not proven(state, believed(state, state.t_s))
        case CueKind.GAP | CueKind.UNTIMED_GAP:
            # Covered it goes on cooling, whoever watches.
            return state.phase is not Phase.COOL_DOWN
        case _:
            return state.phase is Phase.COOL_DOWN


def untold(state: State, lapse: Lapse) -> bool:
    """True for a lapse that the welder was neither told of nor has put aside."""
    return not (state.sensor.is_told(lapse.kind) or aside(state, lapse.kind))


def timers(state: State) -> list[Timer]:
    """When the prompt is told again, and when shelves end."""
    due = [Timer(shelf.until_s, SHELF, rank=0) for shelf in state.shelved]
    prompt = state.prompt
    if prompt is None or prompt.answered:
        return due
    waits = () if prompt.cue.kind in _ONCE else AGAIN_S[prompt.cue.urgency]
    if prompt.again < len(waits) and not _out_of_place(state.phase, prompt.cue):
        due.append(Timer(after(prompt.told_s, waits[prompt.again]), AGAIN, rank=0))
    return due


def _out_of_place(phase: Phase, cue: Cue) -> bool:
    """True where the screen shows something else."""
    return cue.kind in BLIND and phase in NEEDS_NO_NUMBER


def on_timer(state: State, name: str, t_s: float) -> tuple[State, tuple[Cue, ...]]:
    """Tell the prompt again, or take what is over from its shelf."""
    if name == SHELF:
        return _off_the_shelf(state, t_s)
    prompt = state.prompt
    assert prompt is not None
    if _being_answered(state, prompt.cue, t_s):
        return replace(state, prompt=replace(prompt, answered=True)), ()
    if _unread(state, prompt.cue, t_s):
        # In a drop-out no bead is called again; the next repeat finds the number back.
        return replace(state, prompt=replace(prompt, told_s=t_s)), ()
    again = prompt.again + 1
    cue = replace(_now(state, prompt.cue, t_s), again=again)
    return replace(state, prompt=replace(prompt, again=again, told_s=t_s)), (cue,)


def _unread(state: State, cue: Cue, t_s: float) -> bool:
    """True for a call to weld while no number, nor the welder's own word, carries it."""
    if _OF_PHASE.get(cue.kind) is not Phase.READY or believed(state, t_s) is not None:
        return False
    return not state.own_word


def _now(state: State, cue: Cue, t_s: float) -> Cue:
    """Return the cue with the temperature of this moment."""
    now = believed(state, t_s)
    values = cue.values
    if "temp_c" in values and now is not None and cue.kind is not CueKind.POST_HEAT:
        values = {**values, "temp_c": round(now.temp_c, 1)}
    return replace(cue, t_s=t_s, values=values)


def _being_answered(state: State, cue: Cue, t_s: float) -> bool:
    """True where the reading shows what no press has told: the flame is on the part."""
    if cue.kind is CueKind.POST_HEAT:
        return state.work.since_s is not None
    now, then_c = believed(state, t_s), cue.values.get("temp_c")
    if cue.kind not in {CueKind.REHEAT, CueKind.PUT_BACK} or now is None or then_c is None:
        return False
    return now.temp_c >= then_c + state.job.band.deadband_dc


def answered(state: State, act: Act, seen_in: Phase) -> State:
    """Return the state after something the welder did: the prompt has its answer.

    `seen_in`: the phase in which he did it; what the screen didn't show then isn't answered.
    """
    prompt = state.prompt
    if prompt is None or prompt.answered or act.deed in _NO_ANSWER:
        return state
    if _out_of_place(seen_in, prompt.cue) and act.deed not in _OF_READING:
        return state
    if alarm_first(state, act) and too_soon(state, act.t_s):
        return state
    elsewhere = act.deed == "reading" and not act.joint_reading
    if elsewhere and prompt.cue.kind in _ASKS_FOR_A_READING:
        return state
    return replace(state, prompt=replace(prompt, answered=True))


def alarm_first(state: State, act: Act) -> bool:
    """True where a press answers the alarm that fills the screen and does nothing else."""
    return act.deed == "next" and act.by in HANDS and alarm_fills(state)


def too_soon(state: State, t_s: float) -> bool:
    """True where the alarm was told so late that nobody can have seen it."""
    prompt = state.prompt
    return prompt is not None and t_s - prompt.told_s < UNSEEN_S - 1e-9


def shelve(state: State, t_s: float) -> State | None:
    """Return the state with the prompt put aside, or None where there is none."""
    prompt = state.prompt
    if prompt is None:
        return None
    return replace(put_aside(state, prompt.cue.kind, t_s), prompt=replace(prompt, answered=True))


def put_aside(state: State, kind: CueKind, t_s: float) -> State:
    """Return the state with a kind of cue silent for a while."""
    kept = tuple(shelf for shelf in state.shelved if shelf.kind is not kind)
    return replace(state, shelved=(*kept, Shelved(kind, after(t_s, SHELF_S))))


def _off_the_shelf(state: State, t_s: float) -> tuple[State, tuple[Cue, ...]]:
    over = [shelf.kind for shelf in state.shelved if shelf.until_s <= t_s]
    state = replace(state, shelved=tuple(s for s in state.shelved if s.kind not in over))
    prompt = state.prompt
    if prompt is None or prompt.cue.kind not in over:
        return state, ()
    # It still stands there: told as if for the first time.
    return state, (_now(state, prompt.cue, t_s),)
