"""Cool-down and done: covered, left alone, and uncovered once cool enough.

A normal cool-down raises one cue, at its end. Uncovering early is a fact that changes
the cover to still air and starts the forecast's fit again.
"""

from __future__ import annotations

import msgspec

from pacer.heat import bins
from pacer.session import cooling
from pacer.session.band import DELAY_S
from pacer.session.cues import Cue, CueKind
from pacer.session.events import Act, AnyEvent, Reading
from pacer.session.phases.moves import Outcome, cannot, enter
from pacer.session.state import Cooling, State
from pacer.session.timers import Timer, after
from pacer.session.track import believed, known_points_c
from pacer.session.work import Phase

replace = msgspec.structs.replace

TOLD_COOL = "cool"


def cover(state: State, t_s: float) -> Outcome:
    """The part is covered, or covered again: the cool-down starts here."""
    state = _restart(state, t_s, state.job.cooldown.cover)
    return enter(state, Phase.COOL_DOWN, t_s, by_itself=False)


def _restart(state: State, t_s: float, cover_name: str) -> State:
    now = believed(state, t_s)
    start_c = now.temp_c if now else None
    if start_c is None and state.cooling is not None and state.cooling.bins:
        # Silent just now: the last temperature of the same cool-down is the best there is.
        start_c = state.cooling.bins[-1][1]
    began = Cooling(start_s=t_s, start_c=start_c, cover=cover_name)
    work = replace(state.work, cover=cover_name, covered_s=t_s)
    return replace(state, cooling=began, work=work)


def timers(state: State) -> list[Timer]:
    """Cool enough, told once, and the next look at how it cools."""
    since_s = state.conditions.at_until
    if state.phase is not Phase.COOL_DOWN or TOLD_COOL in state.work.told:
        return []
    due = cooling.timers(state)
    return due if since_s is None else [*due, Timer(after(since_s, DELAY_S), "cool")]


def on_event(state: State, event: AnyEvent) -> Outcome:
    """Collect readings; a press or `uncovered` ends it once cool enough."""
    t_s = event.t_s
    if isinstance(event, Reading) or (isinstance(event, Act) and event.joint_reading):
        return collect(state, t_s), ()
    if not isinstance(event, Act) or event.deed not in {"next", "uncovered"}:
        return state, ()
    if state.phase is Phase.DONE:
        return cannot(state, t_s, "the job is done: close it (Q), or note the outcome (N)")
    if _cool(state, t_s):
        return enter(state, Phase.DONE, t_s, by_itself=False)
    if event.deed == "uncovered":
        return _uncovered_early(state, t_s)
    return cannot(state, t_s, "the part is too hot to uncover, or was not measured")


def _cool(state: State, t_s: float) -> bool:
    now = believed(state, t_s)
    return TOLD_COOL in state.work.told or (
        now is not None
        and now.side <= 0
        and max(known_points_c(state, t_s)) <= state.job.cooldown.until_c
    )


def _uncovered_early(state: State, t_s: float) -> Outcome:
    began_s = state.work.covered_s
    state = _restart(state, t_s, "still air")
    # The forecast starts again; the cool-down itself is still the one that `covered` began.
    told = frozenset(name for name in state.work.told if not name.startswith(cooling.TOLD))
    state = replace(state, work=replace(state.work, covered_s=began_s, told=told))
    now = believed(state, t_s)
    if now is None:
        return state, (Cue(kind=CueKind.TYPE_A_READING, t_s=t_s),)
    values = {"temp_c": round(now.temp_c, 1), "until_c": state.job.cooldown.until_c}
    return state, (Cue(kind=CueKind.UNCOVERED_EARLY, t_s=t_s, values=values),)


def collect(state: State, t_s: float) -> State:
    """Return the state with the believed temperature added to the forecast's bins."""
    now = believed(state, t_s)
    if now is None or state.phase is not Phase.COOL_DOWN:
        return state
    if state.cooling is None:
        state = _restart(state, t_s, state.job.cooldown.cover)
    known = state.cooling
    assert known is not None
    if now.typed and now.at_s != t_s:
        return state
    since_s = t_s - known.start_s
    if now.side:
        known = replace(known, bounds=(*known.bounds, (since_s, now.temp_c, now.side)))
        return replace(state, cooling=known)
    grown = replace(
        known,
        # Found again after a gap it has long been cooling: where it began is the plan's word.
        start_c=now.temp_c if known.start_c is None and known.gap is None else known.start_c,
        bins=bins.add(known.bins, since_s, now.temp_c),
        typed=known.typed or now.typed,
    )
    return replace(state, cooling=grown)


def on_timer(state: State, name: str, t_s: float) -> Outcome:
    """Cool enough at the probe, or a look at how it cools."""
    if name == cooling.LOOK:
        return cooling.look(state, t_s)
    now = believed(state, t_s)
    state = replace(state, work=replace(state.work, told=state.work.told | {TOLD_COOL}))
    values = {"temp_c": round(now.temp_c, 1)} if now else {}
    return state, (Cue(kind=CueKind.UNCOVER, t_s=t_s, values=values),)
