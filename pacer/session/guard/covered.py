"""PROBE ON? under a cover: a fall that no cover makes, so that a probe in the air never ends a cool-down.

Told only after a minute (`track.blind`), and never taken for right by time alone: nobody may
stand by a covered part.
"""

from __future__ import annotations

from pacer.heat.bins import Bin
from pacer.heat.lumped import cooling_rate_c_s
from pacer.job.preheat import cooling_part
from pacer.session.cues import CueKind
from pacer.session.evidence import Doubt
from pacer.session.guard.steps import JUMP_DC, says_the_same, span_c, stepped
from pacer.session.guard.stuck import LEAST_MOVES
from pacer.session.hearing import looks_back_s
from pacer.session.state import Cooling, State, Track
from pacer.session.work import Phase

BARE_TIMES = 2.0
COVER_WARMS_S = 300.0
"""No cover draws more than so many times the heat that still air does, once it has been there for
so long: cold sand some twice after a minute (calculated). Judgement."""


LASTED_S = 120.0
"""A cool-down so young is no measure yet: the probe may only be put in. Judgement."""


def raised(state: State, old: Track, new: Track, t_s: float, *, still: bool) -> Doubt | None:
    """Return the doubt about a fall in the cool-down that no cover, nor the open air, makes.

    Compared with the value before, and later on with the means before it, for a probe in
    the air falls for a minute. A script's steps are no meter's. `still`: the last seconds hold
    no step.
    """
    if state.phase is not Phase.COOL_DOWN or new.value_c is None or new.at_s != t_s:
        return None
    cooling = state.cooling
    if cooling is None or t_s - cooling.start_s < LASTED_S:
        return None
    if old.value_c is None or old.at_s is None:
        return None
    # The means are the deciding channel's: another place may well be that much colder.
    measured = new.name == state.sensor.control and t_s - cooling.start_s > COVER_WARMS_S
    bins = cooling.bins[-2:] if measured else ()
    # Compared first, since it costs little and hardly ever is so.
    if still and not _far_above(new.value_c, old.value_c, bins):
        return None
    _, high = span_c(new, t_s, looks_back_s(state.sensor.period_s))
    before = [(old.at_s, max(high, old.value_c))]
    before += [(cooling.start_s + since_s, c) for since_s, c, _ in bins]
    fallen = [(at_s, was_c) for at_s, was_c in before if was_c - new.value_c > JUMP_DC]
    if not fallen or _scripted(old) or not _cooled_as_iron_does(state, cooling, *before[0]):
        return None
    for at_s, was_c in fallen:
        if was_c - new.value_c > _cools_dc(state, was_c, t_s - at_s):
            because = "fell from {was_c} to {now_c}, faster than iron cools"
            return stepped(CueKind.PROBE_OFF, because, was_c, new)
    return None


def _far_above(value_c: float, old_c: float, bins: tuple[Bin, ...]) -> bool:
    """True if the value before, or a mean before it, lies so far above what is read now."""
    if old_c - value_c > JUMP_DC:
        return True
    for _, c, _ in bins:  # noqa: SIM110 - a generator costs three times as much
        if c - value_c > JUMP_DC:
            return True
    return False


def _cooled_as_iron_does(state: State, cooling: Cooling, at_s: float, was_c: float) -> bool:
    """True if what came before the fall was a cool-down; a script told in a hurry falls all along."""
    start_c = cooling.start_c
    if start_c is None:
        return False
    return start_c - was_c <= _cools_dc(state, start_c, at_s - cooling.start_s)


def _cools_dc(state: State, temp_c: float, for_s: float) -> float:
    """Return more than a part sinks in the time under any cover, K."""
    job = state.job
    area_m2 = cooling_part(job).plate_area_m2
    rate_dc_s = cooling_rate_c_s(temp_c, job.cooldown.ambient_c, job.part.mass_kg, area_m2)
    return JUMP_DC + BARE_TIMES * max(rate_dc_s, 0.0) * for_s


def _scripted(track: Track) -> bool:
    """True for a source that repeats itself and has hardly ever moved; a coarse meter moves."""
    return says_the_same(track) and (track.repeats is None or track.repeats.moves < LEAST_MOVES)
