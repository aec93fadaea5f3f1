"""Moves that every phase shares: enter a phase, let the temperature decide, refuse.

Also the standing cue of each phase (`standing`), told on entry and again after an undo.
"""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from pacer.session import prompt
from pacer.session.band import needed_for_bead_c
from pacer.session.cues import Cue, CueKind
from pacer.session.state import State
from pacer.session.track import believed, blind, feared, known_points_c, proven
from pacer.session.work import HEATING, Phase

replace = msgspec.structs.replace
Outcome = tuple[State, tuple[Cue, ...]]

BY_HIS_WORD = "by his word"
"""Ready above the floor though too near it for a whole bead: the welder pressed."""

UNWATCHED = "unwatched"
"""Waiting after time nobody watched: even his word counts only once he was asked to measure."""

OTHER_DAY_S = 4 * 3600.0
"""After a stop so long the preparation is checked again: rust, dirt, moisture, a bench used
by others (procedure.md section 7 says "another day"; the figure is our choice, no source)."""

LATE_PRESS_S = 1.0
"""A press this soon after a change that came by itself answers the old phase (design.md)."""


def enter(
    state: State,
    phase: Phase,
    t_s: float,
    *,
    by_itself: bool,
    cue: Cue | None = None,
    silent: bool = False,
) -> Outcome:
    """Return the state in `phase`, with its standing cue, or `cue` in its place."""
    old = state.work
    struck = old.phase is Phase.PEEN or (old.phase is Phase.LOOK and not old.unpeened)
    work = replace(
        old,
        phase=phase,
        entered_s=t_s,
        by_itself=by_itself,
        told=frozenset(),
        since_s=None,
        peened_s=t_s if struck else old.peened_s,
        heated_s=t_s if old.phase in HEATING else old.heated_s,
        paused_s=None,
    )
    state = replace(state, work=work)
    told = cue or (None if silent else standing(state, t_s))
    return state, ((told,) if told else ())


def cannot(state: State, t_s: float, because: str) -> Outcome:
    """Return the state as it was and a cue that says why; nothing is told while the arc burns."""
    if state.phase is Phase.BEAD and state.work.paused_s is None:
        return replace(state, ignored=state.ignored + 1), ()
    return state, (Cue(kind=CueKind.CANNOT, t_s=t_s, because=because),)


def decide(state: State, t_s: float, *, by_itself: bool) -> Outcome:
    """Let the temperature choose: ready, wait, reheat, or measure first."""
    phase = _chosen(state, t_s)
    if phase is Phase.READY:
        return call(state, t_s, by_itself=by_itself)
    if phase is Phase.REHEAT and state.soak_first:
        return go_on(state, t_s, 0.0, by_itself=by_itself)
    silent = phase is Phase.WAIT and _fault_says_it(state, t_s)
    return enter(state, phase, t_s, by_itself=by_itself, silent=silent)


def call(state: State, t_s: float, *, by_itself: bool) -> Outcome:
    """Call the next bead; a part gone cold is soaked, and after a stop looked at, before it."""
    if state.soak_first:
        return go_on(state, t_s, 0.0, by_itself=by_itself)
    phase = Phase.INSPECT if state.work.inspect_first else Phase.READY
    return enter(state, phase, t_s, by_itself=by_itself)


def to_inspect(state: State) -> State:
    """Return the state with a look for new cracks before the next bead, where there is one."""
    return replace(state, work=replace(state.work, inspect_first=bool(state.work.beads)))


def go_on(
    state: State, t_s: float, stopped_s: float | None, *, by_itself: bool, cue: Cue | None = None
) -> Outcome:
    """Go on after a long stop, never straight into a bead (procedure.md section 7).

    Preheat, soak and a look for new cracks come first; on another day, or where the part
    has gone cold, a check of the preparation before them. `stopped_s`: how long the stop
    was, None where nobody knows. A cool-down before it is over: the next begins afresh.
    """
    hot = state.job.method == "hot"
    state = replace(to_inspect(state), soak_first=hot, cooling=None)
    if stopped_s is None or stopped_s >= OTHER_DAY_S or _gone_cold(state, t_s):
        return enter(state, Phase.PREPARE, t_s, by_itself=by_itself, cue=cue)
    if hot:
        return enter(state, Phase.PREHEAT, t_s, by_itself=by_itself, cue=cue)
    if cue is None:
        return decide(state, t_s, by_itself=by_itself)
    return enter(state, Phase.WAIT, t_s, by_itself=by_itself, cue=cue)


def _gone_cold(state: State, t_s: float) -> bool:
    """True for a hot job's part that reads as cold as one that may be uncovered."""
    now = believed(state, t_s)
    cold = now is not None and now.most_c <= state.job.cooldown.until_c
    return cold and state.job.method == "hot"


def _fault_says_it(state: State, t_s: float) -> bool:
    """True where a fault due at this very moment says it better than "measure".

    What may be too hot is told as ever, the doubt about it besides.
    """
    if believed(state, t_s) is not None or feared(state, t_s) is not None:
        return False
    lapse = blind(state, t_s)
    return lapse is not None and lapse.due_s <= t_s and prompt.untold(state, lapse)


def _chosen(state: State, t_s: float) -> Phase:
    now = believed(state, t_s)
    band = state.job.band
    if now is None or not proven(state, now) or now.least_c > band.ceiling_c:
        return Phase.WAIT
    if band.floor_c is not None:
        needed_c = needed_for_bead_c(state, now.temp_c)
        if now.most_c < needed_c:
            return Phase.REHEAT
        if now.least_c < needed_c:
            return Phase.WAIT
    # In a wait it has to be known that the part is no longer too hot.
    return Phase.WAIT if state.phase is Phase.WAIT and now.side > 0 else Phase.READY


def still_ready(state: State, t_s: float) -> bool:
    """True if READY may stand: the temperature says so, or the welder's own word does."""
    if state.soak_first:
        return False
    now, band = believed(state, t_s), state.job.band
    if now is None:
        # A drop-out of a few seconds changes nothing.
        lapse = blind(state, t_s)
        return state.own_word or (lapse is not None and lapse.due_s > t_s)
    if BY_HIS_WORD in state.work.told and now.least_c <= band.ceiling_c:
        coldest = min((now.temp_c, *known_points_c(state, t_s)))
        return band.floor_c is None or coldest >= band.floor_c
    return _chosen(state, t_s) is Phase.READY


def standing(state: State, t_s: float) -> Cue | None:
    """Return the cue that stands while this phase lasts; None while the arc burns."""
    make = _STANDING.get(state.phase)
    if state.work.paused_s is not None and state.phase is not Phase.BEAD:
        make = _at(CueKind.PAUSED)
    return replace(make(state, t_s), t_s=t_s) if make else None


def _plain(kind: CueKind, **values: float | None) -> Cue:
    return Cue(kind=kind, t_s=0.0, values={k: v for k, v in values.items() if v is not None})


def _ready(state: State, t_s: float) -> Cue:
    plan, bead = state.job.plan, state.work.laid + 1
    now = believed(state, t_s)
    temp_c = round(now.temp_c, 1) if now else None
    if bead > plan.beads:
        return _plain(CueKind.ALL_LAID, planned=plan.beads, temp_c=temp_c)
    return _plain(CueKind.READY, bead=bead, place=plan.place_of(bead) + 1, temp_c=temp_c)


def _wait(state: State, t_s: float) -> Cue:
    now, band = believed(state, t_s) or feared(state, t_s), state.job.band
    if now is None or (now.side and now.least_c <= band.ceiling_c):
        return _plain(CueKind.TYPE_A_READING)
    if not proven(state, now) and not now.side:
        return _plain(CueKind.SETTLING, temp_c=round(now.temp_c, 1))
    return _plain(
        CueKind.WAIT,
        temp_c=round(now.temp_c, 1),
        ceiling_c=band.ceiling_c,
        until_c=band.ceiling_c - band.deadband_dc,
    )


def _reheat(state: State, t_s: float) -> Cue:
    now, band = believed(state, t_s), state.job.band
    return _plain(
        CueKind.PUT_BACK if state.inside is False else CueKind.REHEAT,
        temp_c=round(now.temp_c, 1) if now else None,
        floor_c=band.floor_c,
        until_c=band.preheat_c,
    )


def _peen(state: State, t_s: float) -> Cue:
    bead, rules = state.work.bead, state.job.bead
    assert bead is not None
    arc_s = round(bead.arc_s(t_s), 1)
    if not bead.counted:
        return _plain(CueKind.SHORT_BEAD, arc_s=arc_s)
    if bead.lost:
        cue = _plain(CueKind.ARC_LOST, arc_s=arc_s, bead=bead.number)
        return replace(cue, because="no peen in this run" if bead.unpeened else "peen it")
    if bead.unpeened:
        run = state.job.plan.run_of(bead.number)
        return _plain(CueKind.LOOK_UNPEENED, bead=bead.number, run=run)
    return _plain(CueKind.PEEN, peen_s=rules.peen_s, within_s=rules.peen_within_s, bead=bead.number)


def _look(state: State, t_s: float) -> Cue:
    bead = state.work.bead
    if bead is not None and bead.unpeened:
        return _peen(state, t_s)
    return _plain(CueKind.LOOK_AT_BEAD, bead=None if bead is None else bead.number)


_Make = Callable[[State, float], Cue]


def _at(kind: CueKind) -> _Make:
    return lambda state, t_s: _plain(kind)


_STANDING: dict[Phase, _Make] = {
    Phase.PREPARE: _at(CueKind.PREPARE),
    Phase.TACK: _at(CueKind.TACK),
    Phase.PREHEAT: lambda s, t: _plain(CueKind.PREHEAT, preheat_c=s.job.band.preheat_c),
    Phase.SOAK: lambda s, t: _plain(CueKind.SOAK, soak_s=s.job.band.soak_s),
    Phase.READY: _ready,
    Phase.PEEN: _peen,
    Phase.LOOK: _look,
    Phase.WAIT: _wait,
    Phase.REHEAT: _reheat,
    Phase.HOLD: _at(CueKind.HOLD),
    Phase.INSPECT: lambda s, t: _plain(CueKind.LOOK_FOR_CRACKS, bead=s.work.laid + 1),
    Phase.POST_HEAT: lambda s, t: _plain(
        CueKind.POST_HEAT, temp_c=s.job.postheat.temperature_c, hold_s=s.job.postheat.hold_s
    ),
    Phase.BURY: _at(CueKind.BURY),
    Phase.COOL_DOWN: lambda s, t: _plain(CueKind.COVERED, until_c=s.job.cooldown.until_c),
    Phase.DONE: _at(CueKind.DONE),
}
