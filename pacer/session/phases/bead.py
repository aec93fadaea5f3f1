"""Bead: the arc burns. FINISH shortly before the planned end, STOP at it, nothing else.

With an arc signal the arc's end is a fact. With neither signal nor press the cadence
takes the arc as ended `CADENCE_S` after STOP, marked "assumed", so that the peen is
called while the bead is red; the first press after that sets the true end.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from pacer.session.cues import Cue, CueKind
from pacer.session.events import Act, AnyEvent
from pacer.session.phases.moves import Outcome, enter
from pacer.session.state import Bead, EndedBy, Phase, State
from pacer.session.timers import Timer, after
from pacer.session.track import believed

replace = msgspec.structs.replace

FINISH_LEAD_S = 3.5
"""Fill the crater 3-4 s before the planned end (procedure.md section 5)."""

CADENCE_S = 2.0
"""Hood up takes about this long. Common practice, no source."""

RESTRIKE_S = 3.0
"""Arc on again within this time is the same bead (procedure.md section 5)."""

COUNTS_FROM_S = 5.0
"""A shorter arc is asked about, not counted (procedure.md section 5)."""


def _planned_end_s(state: State, bead: Bead) -> float:
    return after(bead.started_s + bead.broken_s, state.job.bead.planned_s)


def _finish_s(state: State, bead: Bead) -> float:
    lead_s = min(FINISH_LEAD_S, state.job.bead.planned_s / 2)
    return after(_planned_end_s(state, bead), -lead_s)


def timers(state: State) -> list[Timer]:
    """FINISH, STOP and, without an arc signal, the assumed end."""
    bead, told = state.work.bead, state.work.told
    assert bead is not None
    end_s = _planned_end_s(state, bead)
    due = [Timer(_finish_s(state, bead), "finish"), Timer(end_s, "stop")]
    if bead.started_by != "arc":
        due.append(Timer(after(end_s, CADENCE_S), "assumed end"))
    return [timer for timer in due if timer.name not in told]


def on_event(state: State, event: AnyEvent) -> Outcome:
    """A press or the arc going out ends the bead."""
    if isinstance(event, Act) and event.deed == "next":
        return end(state, event.t_s, event.t_s, by="press")
    if isinstance(event, Act) and event.deed == "arc off":
        return end(state, event.t_s, event.t_s, by="arc")
    return state, ()


def on_timer(state: State, name: str, t_s: float) -> Outcome:
    """Tell FINISH or STOP, or take the arc as ended."""
    bead = state.work.bead
    assert bead is not None
    if name == "assumed end":
        return end(state, _planned_end_s(state, bead), t_s, by="assumed")
    kind = CueKind.FINISH if name == "finish" else CueKind.STOP
    state = replace(state, work=replace(state.work, told=state.work.told | {name}))
    return state, (Cue(kind=kind, t_s=t_s, values={"bead": bead.number}),)


def start(state: State, t_s: float, *, by: Literal["press", "arc"]) -> Outcome:
    """Start the next bead, or go on with the last one after a short break of the arc."""
    work = state.work
    last = work.bead
    if (
        by == "arc"
        and work.phase is Phase.PEEN
        and last is not None
        and last.ended_by == "arc"
        and last.ended_s is not None
        and t_s <= after(last.ended_s, RESTRIKE_S)
    ):
        return _restrike(state, last, t_s)
    number = work.laid + 1
    # Striking again where the arc was lost is what the cue asked for.
    asked = work.phase is Phase.PEEN and last is not None and last.lost
    now = believed(state, t_s)
    bead = Bead(
        number=number,
        place=state.job.plan.place_of(number),
        started_s=t_s,
        start_c=now.temp_c if now else None,
        started_by=by,
        early=work.phase is not Phase.READY and not asked,
    )
    # Welded it is out of its heat, whatever was said.
    inside = None if state.inside else state.inside
    state = replace(state, inside=inside, work=replace(work, beads=(*work.beads, bead)))
    return enter(state, Phase.BEAD, t_s, by_itself=by == "arc", silent=True)


def _restrike(state: State, last: Bead, t_s: float) -> Outcome:
    assert last.ended_s is not None
    # The break is not arc time: the planned end moves by it.
    going_on = replace(
        last,
        broken_s=round(last.broken_s + t_s - last.ended_s, 3),
        ended_s=None,
        ended_by=None,
        length_m=None,
        lost=False,
        counted=True,
    )
    state = replace(state, work=state.work.with_bead(going_on))
    state, _ = enter(state, Phase.BEAD, t_s, by_itself=True, silent=True)
    told = {"finish"} if _finish_s(state, going_on) < t_s else set()
    told |= {"stop"} if _planned_end_s(state, going_on) < t_s else set()
    return replace(state, work=replace(state.work, told=frozenset(told))), ()


def end(state: State, ended_s: float, t_s: float, *, by: EndedBy) -> Outcome:
    """End the running bead at `ended_s` and go to the peen at `t_s`."""
    bead, rules = state.work.bead, state.job.bead
    assert bead is not None
    arc_s = round(bead.arc_s(ended_s), 3)
    share = min(1.0, arc_s / rules.planned_s)
    ended = replace(
        bead,
        ended_s=ended_s,
        ended_by=by,
        length_m=bead.length_m if bead.length_m is not None else rules.length_m * share,
        counted=arc_s >= min(COUNTS_FROM_S, rules.planned_s / 2),
        lost=ended_s < _finish_s(state, bead),
    )
    state = replace(state, work=state.work.with_bead(ended))
    return enter(state, Phase.PEEN, t_s, by_itself=by != "press")
