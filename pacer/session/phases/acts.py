"""Deeds that mean the same in every phase: undo, finish, hold, cover, arc, readings, notes.

`apply` answers a deed here or gives None: then the phase's own module has the word.
"""

from __future__ import annotations

import msgspec

from pacer.session import log_news, prompt
from pacer.session.band import judge
from pacer.session.events import LOG_WORDS, Act, Trouble
from pacer.session.guard.arcing import never_burnt
from pacer.session.guard.doubts import weighed
from pacer.session.phases import after, bead, cooldown
from pacer.session.phases.moves import (
    LATE_PRESS_S,
    Outcome,
    cannot,
    decide,
    enter,
    go_on,
    standing,
    still_ready,
)
from pacer.session.state import State, Typed
from pacer.session.track import believed
from pacer.session.work import Phase, StartedBy

replace = msgspec.structs.replace

UNDO_WITHIN_S = 60.0
"""An undo later than this would rewrite what has long happened. Common practice, no source."""

DOUBLE_TAP_S = 1.5
"""A foot that taps twice must not end the bead it began. Common practice, no source."""

BELOW_DC = 1.0
"""How far below its temperature a crayon that did not melt is taken to be."""

UNDOABLE = frozenset({"next", "finish", "hold", "covered", "uncovered", "bead", "pause"})

_BETWEEN_BEADS = frozenset(
    {Phase.READY, Phase.PEEN, Phase.LOOK, Phase.WAIT, Phase.REHEAT, Phase.INSPECT}
)
_MAY_FINISH = _BETWEEN_BEADS | {Phase.SOAK, Phase.HOLD}
_MAY_HOLD = _BETWEEN_BEADS | {Phase.SOAK, Phase.TACK}
_NO_ARC = frozenset({Phase.PREPARE, Phase.TACK, Phase.COOL_DOWN, Phase.DONE})


def apply(state: State, act: Act) -> Outcome | None:
    """Return what a deed common to all phases does, or None."""
    t_s, phase = act.t_s, state.phase
    match act.deed:
        case "undo":
            return _undo(state, t_s)
        case "finish":
            if phase in _MAY_FINISH:
                return after.finish(state, t_s)
            return cannot(state, t_s, f"finish is for between beads, not in {phase}")
        case "hold":
            return _hold(state, t_s)
        case "covered":
            if state.cold_yet or phase in {Phase.BEAD, Phase.DONE}:
                return cannot(state, t_s, f"there is nothing to cover in {phase}")
            return cooldown.cover(state, t_s)
        case "uncovered":
            if phase is Phase.COOL_DOWN:
                return None
            return cannot(state, t_s, "nothing is covered")
        case "arc on":
            return _arc_on(state, act)
        case "crack":
            # Seen between two beads it is looked at before the next one is called.
            return _pause(state, t_s) if state.phase is not Phase.BEAD else (state, ())
        case "pause":
            return _pause(state, t_s)
        case "shelve":
            return _shelve(state, t_s)
        case "checked":
            return replace(state, unconfirmed=act.text or ""), ()
        case "bead":
            return _bead_length(state, act)
        case "next" if prompt.alarm_first(state, act):
            # Too soon to be its answer it answers nothing; else `prompt.answered` takes it.
            ignored = state.ignored + (1 if prompt.too_soon(state, t_s) else 0)
            return replace(state, ignored=ignored), ()
        case "next" if _late_press(state, t_s) or _double_tap(state, act):
            return replace(state, ignored=state.ignored + 1), ()
        case "next" | "arc off" | "reading":
            return None
        case "wrap" | "unwrap":
            return replace(state, wrapped=act.deed == "wrap"), ()
        case "peen":
            return _peening(state, t_s)
        case "turned":
            return replace(state, turned_s=t_s), ()
        case "out" | "back":
            return replace(state, inside=act.deed == "back"), ()
        case _:
            # Notes, tinks, the preparation list: facts for the record and the review.
            return state, ()


def _peening(state: State, t_s: float) -> Outcome:
    """Take the last bead's peen as begun; when it began stands in the record."""
    last = state.work.bead
    if last is None or last.ended_s is None or state.phase not in _BETWEEN_BEADS | {Phase.HOLD}:
        return cannot(state, t_s, f"there is no bead to peen in {state.phase}")
    if last.peened != "not confirmed":
        return state, ()
    return replace(state, work=state.work.with_bead(replace(last, peened="begun"))), ()


def _late_press(state: State, t_s: float) -> bool:
    """True if a press answers the phase before one that came by itself."""
    last = state.work.bead
    sets_arc_end = bead.after_arc(state) and last is not None and last.ended_by == "assumed"
    return (
        state.work.by_itself
        and not sets_arc_end
        and t_s - state.work.entered_s < LATE_PRESS_S - 1e-9
    )


def _double_tap(state: State, act: Act) -> bool:
    """True if the press that began a bead comes twice: no bead is over so soon."""
    return (
        act.by in prompt.HANDS
        and state.phase is Phase.BEAD
        and state.work.paused_s is None
        and act.t_s - state.work.entered_s < DOUBLE_TAP_S
    )


def _undo(state: State, t_s: float) -> Outcome:
    if state.undo is None:
        return cannot(state, t_s, "there is no press to undo")
    if t_s - state.undo_at_s > UNDO_WITHIN_S:
        return cannot(state, t_s, f"the last press is more than {UNDO_WITHIN_S:.0f} s old")
    now, then, burnt = state.cooling, state.undo_cooling, state.phase is Phase.BEAD
    began_s, then_s = (None if c is None else c.start_s for c in (now, then))
    state = replace(
        state,
        work=state.undo,
        undo=None,
        undone=state.undone + 1,
        # A cover put on or taken off by mistake began the forecast anew, or ended it.
        cooling=now if began_s == then_s else then,
    )
    if burnt and state.phase is not Phase.BEAD:
        state = never_burnt(state)
    if state.phase is Phase.READY and not still_ready(state, t_s):
        # What was so before the press isn't any more: a bead is not called on old numbers.
        return decide(state, t_s, by_itself=False)
    if state.phase is Phase.READY and not state.own_word and believed(state, t_s) is None:
        # In a drop-out READY stands, but isn't called again.
        return state, ()
    cue = standing(state, t_s)
    return state, ((cue,) if cue else ())


def _hold(state: State, t_s: float) -> Outcome:
    if state.phase in _MAY_HOLD and not state.cold_yet:
        return enter(state, Phase.HOLD, t_s, by_itself=False)
    covered_s, over = state.work.covered_s, state.phase in {Phase.COOL_DOWN, Phase.DONE}
    if over and not state.work.finished:
        # A long stop ends; out of its cover the part is cold, however long it was there.
        timed = not (state.phase is Phase.DONE or state.cooling is None or state.cooling.untimed)
        stopped_s = t_s - covered_s if timed and covered_s is not None else None
        return go_on(state, t_s, stopped_s, by_itself=False)
    return cannot(state, t_s, f"hold is for between beads, not in {state.phase}")


def _arc_on(state: State, act: Act) -> Outcome:
    t_s = act.t_s
    if state.phase in _NO_ARC:
        return state, ()
    running = state.work.bead
    if state.phase is Phase.BEAD and running is not None:
        if running.started_by == "arc":
            return state, ()
        # Started by a press, now seen to burn: it began when it was seen, and so will it end.
        since_s = max(state.work.entered_s, round(t_s - (act.held_s or 0.0), 3))
        seen = replace(running, started_by="arc", started_s=since_s, broken_s=0.0)
        work = replace(state.work.with_bead(seen), paused_s=None, told=frozenset())
        return replace(state, work=work), ()
    by: StartedBy = "inferred" if act.by == "noise" else "arc"
    return bead.start(state, t_s, by=by, held_s=act.held_s or 0.0)


def failed(state: State, event: Trouble) -> State:
    """Return the state after a part of the program failed.

    A pedal that held the arc and is gone will never say that it is out: as after a press
    alone the cadence ends the bead, unless a signal tells of the arc.
    """
    if event.what in LOG_WORDS:
        return log_news.heard(state, event)
    running = state.work.bead
    held = event.what == "pedal" and state.sensor.channel.arc is None
    if not held or state.phase is not Phase.BEAD or running is None:
        return state
    by_clock = replace(running, started_by="press")
    return replace(state, work=state.work.with_bead(by_clock))


def _pause(state: State, t_s: float) -> Outcome:
    """Let the cadence stand still; where no cadence runs a stray key does nothing."""
    if not state.paced or state.work.paused_s is not None:
        return state, ()
    state = replace(state, work=replace(state.work, paused_s=t_s))
    cue = standing(state, t_s)
    return state, ((cue,) if cue else ())


def _shelve(state: State, t_s: float) -> Outcome:
    if state.phase is Phase.BEAD:
        return state, ()
    put_aside = prompt.shelve(state, t_s)
    if put_aside is None:
        return cannot(state, t_s, "there is no cue to put aside")
    return put_aside, ()


def _bead_length(state: State, act: Act) -> Outcome:
    last = state.work.bead
    if last is None or act.length_m is None:
        return cannot(state, act.t_s, "there is no bead whose length could be set")
    corrected = replace(last, length_m=act.length_m, counted=True, lost=False)
    return replace(state, work=state.work.with_bead(corrected)), ()


def typed(state: State, act: Act) -> State:
    """Return the state with a typed reading believed; the phase then hears it like any other."""
    if act.deed != "reading" or act.temp_c is None:
        return state
    # "Below 200 °C" is not 200: a limit at the crayon's own temperature is not met.
    temp_c = act.temp_c if act.side >= 0 else act.temp_c - BELOW_DC
    entry = Typed(temp_c, act.t_s, act.side, act.text or "")
    if state.phase is Phase.SOAK and not act.side:
        # A soak is the time to measure other places: the thick one, the far one, the back.
        here = tuple(
            p
            for p in state.places
            if p.at_s >= state.work.entered_s and not (entry.place and p.place == entry.place)
        )
        state = replace(state, places=(*here, entry)[-max(1, state.job.heating.points) :])
    if entry.place:
        # Of another place: it tells how even the part is, and neither decides nor doubts.
        return judge(state, act.t_s)
    return judge(weighed(replace(state, typed=entry), entry), act.t_s)
