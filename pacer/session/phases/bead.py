"""Bead: the arc burns. FINISH shortly before the planned end, STOP at it, nothing else.

With an arc signal the arc's end is a fact. With neither signal nor press the cadence
takes the arc as ended `hood_up` after STOP, marked "assumed", so that the peen is
called while the bead is red; the first press after that sets the true end.
A signal that falls silent is no signal: then the cadence ends the bead.
"""

from __future__ import annotations

import msgspec

from pacer.job.layers import is_peened
from pacer.session import arc
from pacer.session.cues import Cue, CueKind
from pacer.session.events import Act, AnyEvent
from pacer.session.phases.moves import Outcome, enter
from pacer.session.state import State
from pacer.session.timers import Timer, after
from pacer.session.track import believed
from pacer.session.work import Bead, EndedBy, Phase, StartedBy

replace = msgspec.structs.replace

FINISH_LEAD_S = 3.5
"""Fill the crater 3-4 s before the planned end (procedure.md section 5)."""

RESTRIKE_S = 3.0
"""Arc on again within this time is the same bead (procedure.md section 5)."""

COUNTS_FROM_S = 5.0
"""A shorter arc is asked about, not counted (procedure.md section 5)."""

LOST_SHARE = 0.625
"""An arc that ends before this share of the planned time was lost; later he was quick.
Common practice, no source."""

PAUSE_MOST_S = 60.0
"""A rhythm paused for longer isn't taken up again. Common practice, no source."""


def planned_end_s(state: State, bead: Bead) -> float:
    """Return when the bead has its planned arc time, s; a pause so far is not counted."""
    return after(bead.started_s + bead.broken_s, state.job.bead.planned_s)


def _finish_s(state: State, bead: Bead) -> float:
    lead_s = min(FINISH_LEAD_S, state.job.bead.planned_s / 2)
    return after(planned_end_s(state, bead), -lead_s)


def timers(state: State) -> list[Timer]:
    """FINISH, STOP and, without an arc signal, the assumed end."""
    bead, told = state.work.bead, state.work.told
    assert bead is not None
    if state.work.paused_s is not None:
        return [Timer(after(state.work.paused_s, PAUSE_MOST_S), "given up")]
    end_s = planned_end_s(state, bead)
    due = [Timer(_finish_s(state, bead), "finish"), Timer(end_s, "stop")]
    assumed_s = after(end_s, state.job.bead.hood_up_s)
    lost_s = arc.lost_after_s(state)
    if bead.started_by != "arc":
        due.append(Timer(assumed_s, "assumed end"))
    elif lost_s is not None:
        due.append(Timer(max(assumed_s, after(lost_s, 0.0)), "assumed end"))
    return [timer for timer in due if timer.name not in told]


def on_event(state: State, event: AnyEvent) -> Outcome:
    """A press or the arc going out ends the bead; a press after a pause lets it go on."""
    if not isinstance(event, Act):
        return state, ()
    t_s = event.t_s
    if event.deed == "next" and state.work.paused_s is not None:
        return _going_on(state, t_s), ()
    if event.deed == "next":
        return end(state, t_s, t_s, by="press")
    if event.deed == "arc off":
        return end(_going_on(state, t_s), after(t_s, -(event.held_s or 0.0)), t_s, by="arc")
    return state, ()


def _going_on(state: State, t_s: float) -> State:
    """Return the state with a pause at its end: it was no arc time."""
    work, bead = state.work, state.work.bead
    if work.paused_s is None or bead is None:
        return state
    broken_s = round(bead.broken_s + t_s - work.paused_s, 3)
    going_on = work.with_bead(replace(bead, broken_s=broken_s))
    return replace(state, work=replace(going_on, paused_s=None))


def on_timer(state: State, name: str, t_s: float) -> Outcome:
    """Tell FINISH or STOP, or take the arc as ended."""
    bead, paused_s = state.work.bead, state.work.paused_s
    assert bead is not None
    if name == "assumed end":
        end_s, rules = planned_end_s(state, bead), state.job.bead
        if t_s - end_s > rules.hood_up_s + rules.peen_within_s + rules.peen_s:
            # Taken up again by an undo, long after: nothing is peened cold.
            return leave_it(closed(state, end_s, by="assumed"), t_s, by_itself=True)
        return end(state, end_s, t_s, by="assumed")
    if name == "given up" and paused_s is not None:
        return leave_it(closed(state, paused_s, by="assumed"), t_s, by_itself=True)
    kind = CueKind.FINISH if name == "finish" else CueKind.STOP
    state = replace(state, work=replace(state.work, told=state.work.told | {name}))
    return state, (Cue(kind=kind, t_s=t_s, values={"bead": bead.number}),)


def start(state: State, t_s: float, *, by: StartedBy, held_s: float = 0.0) -> Outcome:
    """Start the next bead, or go on with the last one after a short break of the arc.

    `held_s`: how long the arc had burnt when its signal was believed, s.
    """
    work = state.work
    last = work.bead
    since_s = after(t_s, state.job.bead.hood_down_s if by == "press" else -held_s)
    if last is not None and last.ended_s is not None:
        since_s = max(since_s, min(last.ended_s, t_s))
    if (
        by == "arc"
        and after_arc(state)
        and last is not None
        and last.ended_by == "arc"
        and last.ended_s is not None
        and since_s <= after(last.ended_s, RESTRIKE_S)
    ):
        return _restrike(state, last, since_s, t_s)
    number = work.laid + 1
    # Striking again where the arc was lost is what the cue asked for.
    asked = after_arc(state) and last is not None and last.lost
    now = believed(state, t_s)
    bead = Bead(
        number=number,
        place=state.job.plan.place_of(number),
        started_s=since_s,
        start_c=now.temp_c if now else None,
        started_by=by,
        early=work.phase is not Phase.READY and not asked,
        struck_in=work.phase,
    )
    # Welded it is out of its heat, whatever was said.
    inside = None if state.inside else state.inside
    state = replace(state, inside=inside, work=replace(work, beads=(*work.beads, bead)))
    return enter(state, Phase.BEAD, t_s, by_itself=by != "press", silent=True)


def _restrike(state: State, last: Bead, since_s: float, t_s: float) -> Outcome:
    assert last.ended_s is not None
    # The break is not arc time: the planned end moves by it.
    going_on = replace(
        last,
        broken_s=round(last.broken_s + since_s - last.ended_s, 3),
        ended_s=None,
        ended_by=None,
        length_m=None,
        lost=False,
        counted=True,
    )
    state = replace(state, work=state.work.with_bead(going_on))
    state, _ = enter(state, Phase.BEAD, t_s, by_itself=True, silent=True)
    told = {"finish"} if _finish_s(state, going_on) < t_s else set()
    told |= {"stop"} if planned_end_s(state, going_on) < t_s else set()
    return replace(state, work=replace(state.work, told=frozenset(told))), ()


def end(state: State, ended_s: float, t_s: float, *, by: EndedBy) -> Outcome:
    """End the running bead at `ended_s` and go to the peen at `t_s`, or past it to the look."""
    state, by_itself = closed(state, ended_s, by=by), by != "press"
    bead = state.work.bead
    assert bead is not None
    if _is_peened(state, bead):
        return enter(state, Phase.PEEN, t_s, by_itself=by_itself)
    return leave_it(state, t_s, by_itself=by_itself)


def after_arc(state: State) -> bool:
    """True right after a bead: in its peen, or in the look that takes the peen's place."""
    return state.phase is Phase.PEEN or (state.phase is Phase.LOOK and state.work.unpeened)


def leave_it(state: State, t_s: float, *, by_itself: bool) -> Outcome:
    """Leave the last bead as it is, too cold to peen or of a run that is not, and look at it."""
    bead = state.work.bead
    assert bead is not None
    bead = left(state, bead)
    cue = None if bead.unpeened else Cue(kind=CueKind.LEAVE_IT, t_s=t_s)
    state = replace(state, work=state.work.with_bead(bead))
    return enter(state, Phase.LOOK, t_s, by_itself=by_itself, cue=cue)


def left(state: State, bead: Bead) -> Bead:
    """Return a bead that nobody is to peen any more: it came too late, or was not planned."""
    return replace(bead, peened="left alone" if _is_peened(state, bead) else "not planned")


def _is_peened(state: State, bead: Bead) -> bool:
    return is_peened(state.job, state.job.plan.run_of(bead.number))


def closed(state: State, ended_s: float, *, by: EndedBy) -> State:
    """Return the state with the running bead ended and judged; the phase is as it was."""
    bead, rules = state.work.bead, state.job.bead
    assert bead is not None
    ended_s = max(ended_s, bead.started_s)
    arc_s = round(bead.arc_s(ended_s), 3)
    share = min(1.0, arc_s / rules.planned_s)
    ended = replace(
        bead,
        ended_s=ended_s,
        ended_by=by,
        length_m=bead.length_m if bead.length_m is not None else rules.length_m * share,
        counted=arc_s >= min(COUNTS_FROM_S, rules.planned_s / 2),
        lost=share < LOST_SHARE,
    )
    return replace(state, work=state.work.with_bead(ended))
