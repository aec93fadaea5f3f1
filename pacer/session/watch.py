"""What is watched in every phase: the sensor's trust and the band, and what a clock gap does.

Nothing here speaks while the arc burns; what is still true afterwards is told then.
"""

from __future__ import annotations

import msgspec

from pacer.session import cooling, log_news, prompt
from pacer.session.band import DELAY_S, judge
from pacer.session.cues import DOUBTS, Cue, CueKind
from pacer.session.events import ClockGap, Resumed
from pacer.session.guard import arcing, doubts, noisy
from pacer.session.phases.bead import closed, left
from pacer.session.phases.moves import (
    OTHER_DAY_S,
    UNWATCHED,
    Outcome,
    decide,
    enter,
    go_on,
    to_inspect,
)
from pacer.session.port import taken_up
from pacer.session.state import ArcSeen, Conditions, State
from pacer.session.timers import Timer, after
from pacer.session.track import believed, blind, doubted_until_s, feared, known_points_c, trusted
from pacer.session.work import KEPT_HOT, LAYING, Phase, Work

replace = msgspec.structs.replace

_WATCH_TOO_COLD = KEPT_HOT - {Phase.PREHEAT}

_MID_REPAIR = LAYING | {Phase.TACK, Phase.PREHEAT, Phase.SOAK}

_STAYS = frozenset({Phase.HOLD, Phase.INSPECT})
"""Ended by a press, and then the temperature decides: a short gap changes nothing there."""

_CALLED = LAYING - {Phase.HOLD, Phase.WAIT}
"""Where a press alone, or the clock, may go on to a bead: never taken up again as it was."""

SHORT_GAP_S = 120.0
"""A gap up to this long in mid-repair needs a fresh reading, a longer one a new preheat and
soak (procedure.md section 7). The figure is common practice, no source."""

UNTOLD_GAP_S = 5.0
"""A shorter one changes nothing, where the program ran and a steady clock counted it."""

AGAIN_AFTER_S = 60.0
"""A reading lost again and again is told once a minute (reliability.md section 6, re-alarm)."""

BACK_S = 10.0
"""A reading that was lost is back, and calls a bead again, after so long without a break:
a loose plug is told once (reliability.md section 4: ten clean seconds)."""


def timers(state: State) -> list[Timer]:
    """Belief running out, no reading, the reading back, too hot, too cold, a doubt's end."""
    phase, held = state.phase, state.conditions
    due = doubts.timers(state)
    now = believed(state, state.t_s) or feared(state, state.t_s)
    if now is not None and held.typed not in {None, now.typed}:
        # The instrument fell silent and a typed reading took over, or the other way round.
        due.append(Timer(state.t_s, "belief ends", rank=0))
    elif now is not None:
        due.append(Timer(now.until_s, "belief ends", rank=0))
    elif held != Conditions():
        due.append(Timer(state.t_s, "belief ends", rank=0))
    due += log_news.timers(state)
    if phase in {Phase.BEAD, Phase.PEEN, Phase.LOOK, Phase.DONE}:
        # The peen has seconds: what is still true after it is told then.
        return due
    due += _of_the_reading(state)
    control = state.control
    if control is not None and control.noisy_s is not None:
        due += noisy.timers(state)
    if control is not None and control.arc_seen_s is not None:
        due += arcing.timers(state)
    hot_tacks = phase is Phase.TACK and not state.cold_yet
    if (
        (hot_tacks or phase in KEPT_HOT)
        and held.over_ceiling is not None
        and not state.told_over
        and not prompt.aside(state, CueKind.TOO_HOT)
    ):
        due.append(Timer(after(held.over_ceiling, DELAY_S), "too hot", rank=0))
    if (
        (hot_tacks or phase in _WATCH_TOO_COLD)
        and held.below_floor is not None
        and not state.told_under
        and not prompt.aside(state, CueKind.TOO_COLD)
    ):
        due.append(Timer(after(held.below_floor, DELAY_S), "too cold", rank=0))
    return due + prompt.timers(state)


def _of_the_reading(state: State) -> list[Timer]:
    """When the lack of a reading is told, and when it is back."""
    sensor, control, due = state.sensor, state.control, []
    lapse = blind(state, state.t_s)
    if lapse is not None and prompt.untold(state, lapse):
        last_s = sensor.told_s(lapse.kind)
        due_s = lapse.due_s if last_s is None else max(lapse.due_s, after(last_s, AGAIN_AFTER_S))
        due.append(Timer(due_s, "no reading", rank=0))
    if lapse is not None and control is not None and lapse.kind in DOUBTS:
        # Silent as well it is another thing: there is no number any more.
        due.append(Timer(doubted_until_s(state, control), "no reading", rank=0))
    if sensor.told_no_reading and control is not None and control.good_since_s is not None:
        back_s = after(control.good_since_s, BACK_S)
        # Only if it is still heard then; each line that comes moves that on.
        if trusted(state, control, max(back_s, state.t_s)):
            due.append(Timer(back_s, "reading back", rank=0))
    return due


NAMES = prompt.NAMES | {
    log_news.NAME,
    *("belief ends", "no reading", "reading back", "too hot", "too cold"),
    *(doubts.TAKEN, noisy.NAME, arcing.NAME),
}


def on_timer(state: State, name: str, t_s: float) -> Outcome:
    """Tell what is due."""
    if name in prompt.NAMES:
        return prompt.on_timer(state, name, t_s)
    if name == log_news.NAME:
        return log_news.on_timer(state, t_s)
    if name == noisy.NAME:
        return noisy.told(state, t_s)
    if name == arcing.NAME:
        return arcing.told(state, t_s)
    if name == doubts.TAKEN:
        return judge(doubts.taken(state, t_s), t_s), ()
    now, band = believed(state, t_s) or feared(state, t_s), state.job.band
    temp = {"temp_c": round(now.temp_c, 1)} if now else {}
    if name == "belief ends":
        # No condition outlives the readings it was judged on.
        return judge(state, t_s), ()
    if name == "no reading":
        return _no_reading(state, t_s)
    if name == "reading back":
        state = replace(state, sensor=replace(state.sensor, told_no_reading=False))
        back = Cue(kind=CueKind.READING_BACK, t_s=t_s, values=temp)
        if state.phase is not Phase.WAIT:
            return state, (back,)
        # Nobody knew what the part did meanwhile: now the temperature decides.
        state, cues = decide(judge(state, t_s), t_s, by_itself=True)
        return state, (back, *cues)
    if name == "too hot":
        values = {**temp, "ceiling_c": band.ceiling_c}
        state = replace(state, told_over=True)
        return state, (Cue(kind=CueKind.TOO_HOT, t_s=t_s, values=values),)
    coldest = {"temp_c": round(min(known_points_c(state, t_s)), 1)} if now else {}
    values = {**coldest, "floor_c": band.floor_c} if band.floor_c is not None else coldest
    state = replace(state, told_under=True)
    return state, (Cue(kind=CueKind.TOO_COLD, t_s=t_s, values=values),)


def _no_reading(state: State, t_s: float) -> Outcome:
    lapse = blind(state, t_s)
    kind = CueKind.NO_READING if lapse is None else lapse.kind
    because = lapse.why if lapse else "sensor silent"
    cue = Cue(kind=kind, t_s=t_s, values=dict(lapse.values) if lapse else {}, because=because)
    told = replace(
        state.sensor,
        told_no_reading=True,
        no_reading_s=t_s,
        told_kind=kind,
        told_at=state.sensor.telling(kind, t_s),
    )
    state = replace(state, sensor=told)
    if state.phase is Phase.READY and believed(state, t_s) is None:
        # A bead is not called without a trusted reading.
        return enter(state, Phase.WAIT, t_s, by_itself=True, cue=cue)
    return state, (cue,)


def gap(state: State, event: ClockGap) -> Outcome:
    """Return the state after time that nobody watched, phase by phase.

    Bead and peen timers are dropped with one cue, a soak or a hold counts anew, welding
    goes on only after a fresh reading, after a long gap only after a new preheat, soak and
    a look for new cracks; a cool-down goes on over real time. A gap of which nobody knows
    the length may be another day's. What the wall clock or the welder says of one may be
    wrong: however short, it needs that reading.
    """
    ran = event.by == "steady"
    to_s, untimed = max(event.to_s, state.t_s), event.by == "unknown"
    gap_s = round(to_s - event.t_s, 3)
    if gap_s < UNTOLD_GAP_S and ran:
        return replace(state, t_s=to_s), ()
    work = replace(bead_dropped(state, event.t_s), since_s=None)
    state = _unwatched(replace(state, work=work, t_s=to_s), event)
    stop_s = None if untimed else gap_s
    if state.phase is Phase.DONE:
        return state, ()
    if state.cold_yet:
        if state.phase is Phase.TACK and (untimed or gap_s >= OTHER_DAY_S):
            return go_on(state, to_s, stop_s, by_itself=True)
        return state, ()
    cue = Cue(kind=CueKind.GAP, t_s=to_s, values={"gap_s": gap_s})
    if untimed:
        cue = Cue(kind=CueKind.UNTIMED_GAP, t_s=to_s)
    long = untimed or gap_s > SHORT_GAP_S
    if long and state.phase is not Phase.COOL_DOWN:
        state = to_inspect(state)
    if state.phase in _MID_REPAIR and long:
        warm = state.job.method == "cold" and state.phase in _STAYS
        if not warm or untimed or gap_s >= OTHER_DAY_S:
            return go_on(state, to_s, stop_s, by_itself=True, cue=cue)
    elif state.phase in LAYING - (_STAYS if ran else {Phase.HOLD}):
        state, cues = enter(state, Phase.WAIT, to_s, by_itself=True, cue=cue)
        return replace(state, work=replace(state.work, told=frozenset({UNWATCHED}))), cues
    return state, (cue,)


def resumed(state: State, event: Resumed) -> Outcome:
    """Return the state taken up again, never in a bead or before one that was called.

    The gap before it, folded already, has seen to that; a recording may lack it.
    """
    work = bead_dropped(state, event.t_s)
    # A log of its own: what was wrong with the last one's file isn't with this one's.
    state = replace(state, work=work, undo=None, typed=None, log=None)
    state = taken_up(state, event)
    if state.phase not in _CALLED:
        return state, ()
    return enter(state, Phase.WAIT, event.t_s, by_itself=True)


def _unwatched(state: State, event: ClockGap) -> State:
    """Return the state without what was believed, judged and asked before the gap."""
    to_s, sensor = state.t_s, replace(state.sensor, told_no_reading=False, gaps_s=())
    if event.by != "steady":
        # The program wasn't running: a sensor just connected gets its time to speak.
        sensor = replace(sensor, control=None, last_line_s=to_s, waiting_since_s=to_s)
    return replace(
        state,
        conditions=Conditions(),
        sensor=sensor,
        cooling=cooling.over_gap(state.cooling, event),
        # What is learned of the part's losses is kept, unless its age isn't known either.
        learned=None if event.by == "unknown" else state.learned,
        told_over=False,
        told_under=False,
        prompt=None,
        undo=None,
        # What was typed before the gap says nothing about the part now.
        typed=None,
        # An arc that burns on is seen anew: its bead was dropped.
        arc=ArcSeen(),
    )


def bead_dropped(state: State, t_s: float) -> Work:
    """Return the work with a running bead or peen closed as nobody saw it end."""
    work, last = state.work, state.work.bead
    if last is None or work.phase not in {Phase.BEAD, Phase.PEEN, Phase.LOOK}:
        return work
    if last.ended_s is None:
        ended_s = work.paused_s if work.paused_s is not None else t_s
        work = closed(state, ended_s, by="assumed").work
        last = work.beads[-1]
    return work if work.phase is Phase.LOOK else work.with_bead(left(state, last))
