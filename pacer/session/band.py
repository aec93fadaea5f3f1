"""Conditions: since when the part has been too hot, too cold, hot enough, even, cool.

Each condition remembers the start of its unbroken run; timers turn a run of `DELAY_S`
into a change or a cue. A reading that isn't trusted breaks every run, so nothing stays
"in band" on old numbers; a doubted one over the ceiling is still over it.
"""

from __future__ import annotations

from functools import lru_cache

import msgspec

from pacer.heat.lumped import cooling_rate_c_s, temp_after_c
from pacer.heat.part import RHO_KG_M3
from pacer.job.job import Job
from pacer.job.preheat import cooling_part
from pacer.session.state import Conditions, State
from pacer.session.track import Believed, believed, feared, known_points_c, places_c, proven
from pacer.session.work import LAYING, Phase

replace = msgspec.structs.replace

DELAY_S = 2.0
"""On-delay of every temperature rule: 2 s on, 2 s off gave one cue where raw values gave
20-78 (reliability.md section 5, measured on simulated noise)."""

OFF_S = 5.0
"""Back within the band for so long before an excursion is over and may be told anew
(reliability.md section 6, judgement)."""

SUNK_S = 600.0
"""Known below the floor for so long while beads are laid, never seen above it between, a part
is soaked anew: longer than a rod or a torch takes (our choice, no source)."""

SPREAD_SHARE = 0.5
"""Channels count as even within this share of floor to ceiling. Common practice, no source."""


@lru_cache(maxsize=4)
def _sink_at_ceiling_dc(
    ceiling_c: float, ambient_c: float, mass_kg: float, area_m2: float, bead_s: float
) -> float:
    return max(0.0, cooling_rate_c_s(ceiling_c, ambient_c, mass_kg, area_m2)) * bead_s


def _most_sink_dc(job: Job) -> float:
    """Return more than any bead sinks the part, K: farther above the floor nothing is asked.

    What is learned of the loss stays within five times the published one.
    """
    area_m2 = 2.0 * job.part.mass_kg / RHO_KG_M3 / job.part.wall_m
    ambient_c, mass_kg = job.cooldown.ambient_c, job.part.mass_kg
    most_c = max(job.band.ceiling_c, ambient_c)
    return 1.0 + 6.0 * _sink_at_ceiling_dc(
        most_c, ambient_c, mass_kg, 1.5 * area_m2, job.bead.planned_s
    )


def bead_sink_dc(job: Job, temp_c: float) -> float:
    """Return how far the bare part sinks during one planned bead, K, to 0.1 K.

    Lumped loss of a bare part (`heat/lumped.py`). Rounded, so that another processor
    compares the same number.
    """
    area_m2 = cooling_part(job).plate_area_m2
    end_c = temp_after_c(
        temp_c, job.bead.planned_s, job.cooldown.ambient_c, job.part.mass_kg, area_m2
    )
    return round(max(0.0, temp_c - end_c), 1)


def needed_for_bead_c(state: State, temp_c: float) -> float:
    """Return the least temperature at which the part stays above the floor to a bead's end, °C.

    The floor plus what the part loses during the planned arc time, as the session has
    learned it, with the heat of earlier beads still on its way; before that a bare
    part's published loss. The arc's own heat comes later and is left out (the safe side).
    """
    job, learned = state.job, state.learned
    assert job.band.floor_c is not None
    if learned is not None and learned.sink_dc is not None:
        return job.band.floor_c + learned.sink_dc
    return job.band.floor_c + bead_sink_dc(job, temp_c)


def soak_again_c(job: Job) -> float:
    """Return the temperature at or below which a part has gone cold and is soaked anew, °C.

    Half-way from the room to the floor, or what may be uncovered: an ordinary reheat, from
    just below the floor, is far above it (our choice, no source).
    """
    assert job.band.floor_c is not None
    half_c = round((job.cooldown.ambient_c + job.band.floor_c) / 2.0, 1)
    return max(half_c, job.cooldown.until_c)


def _sunk(state: State, now: Believed, t_s: float) -> State:
    """Return the state with what the deciding reading says of a part going cold between beads."""
    floor_c = state.job.band.floor_c
    if floor_c is None or (state.phase not in LAYING and state.phase is not Phase.TACK):
        return state
    if now.most_c >= floor_c:
        known_above = now.least_c >= floor_c and state.sunk_s is not None
        return replace(state, sunk_s=None) if known_above else state
    if state.cold_yet or not proven(state, now):
        return state
    since_s = t_s if state.sunk_s is None else state.sunk_s
    cold = now.most_c <= soak_again_c(state.job) or t_s - since_s >= SUNK_S
    return replace(state, sunk_s=since_s, soak_first=state.soak_first or cold)


def _enough_for_bead(state: State, at_c: float, temp_c: float) -> bool:
    """True if `at_c`, a side of the believed `temp_c`, is enough for a whole bead.

    The same answer as `needed_for_bead_c` gives, without its arithmetic where no bead can
    sink the part so far.
    """
    job, learned = state.job, state.learned
    assert job.band.floor_c is not None
    if learned is None or learned.sink_dc is None:
        if at_c < job.band.floor_c:
            return False
        if at_c >= job.band.floor_c + _most_sink_dc(job):
            return True
    return at_c >= needed_for_bead_c(state, temp_c)


def judge(state: State, t_s: float) -> State:
    """Return the state with every condition judged on what is believed at `t_s`."""
    now, old = believed(state, t_s), state.conditions
    if now is None:
        over = feared(state, t_s) is not None
        since_s = t_s if old.over_ceiling is None else old.over_ceiling
        return replace(state, conditions=Conditions(over_ceiling=since_s if over else None))
    state = _sunk(state, now, t_s)
    job, band = state.job, state.job.band
    # "At least" never says cool enough, "below" never hot enough.
    least_c, most_c = now.least_c, now.most_c
    points = known_points_c(state, t_s) or (now.temp_c,)
    coldest = min(points) if now.side >= 0 else least_c
    coldest_most = min(points) if now.side <= 0 else most_c
    hottest = max(points) if now.side <= 0 else most_c
    even = places_c(state, t_s) if state.phase is Phase.SOAK else points
    floor, preheat = band.floor_c, band.preheat_c

    def run(held: bool, since: float | None) -> float | None:
        return (since if since is not None else t_s) if held else None

    conditions = Conditions(
        over_ceiling=run(least_c > band.ceiling_c, old.over_ceiling),
        below_floor=run(floor is not None and coldest_most < floor, old.below_floor),
        short_of_floor=run(
            floor is not None and not _enough_for_bead(state, most_c, now.temp_c),
            old.short_of_floor,
        ),
        cool_enough=run(
            now.side == 0 and most_c <= band.ceiling_c - band.deadband_dc, old.cool_enough
        ),
        warm_enough=run(
            now.side >= 0 and (floor is None or coldest >= floor + band.deadband_dc),
            old.warm_enough,
        ),
        hot_enough=run(
            preheat is not None
            and least_c >= preheat - band.deadband_dc
            and (floor is None or _enough_for_bead(state, least_c, now.temp_c)),
            old.hot_enough,
        ),
        at_preheat=run(preheat is not None and coldest >= preheat, old.at_preheat),
        above_floor=run(floor is None or coldest >= floor, old.above_floor),
        even=run(
            floor is None
            or max(even, default=0.0) - min(even, default=0.0)
            <= SPREAD_SHARE * (band.ceiling_c - floor),
            old.even,
        ),
        at_postheat=run(least_c >= job.postheat.temperature_c - band.deadband_dc, old.at_postheat),
        at_until=run(hottest <= job.cooldown.until_c, old.at_until),
        typed=now.typed,
    )
    return replace(
        state,
        conditions=conditions,
        # Told once for each excursion; back by the dead-band, and for a while, ends it.
        told_over=state.told_over and not _over(now, conditions.cool_enough, t_s),
        told_under=state.told_under
        and floor is not None
        and not _over(now, conditions.warm_enough, t_s),
    )


def _over(now: Believed, since_s: float | None, t_s: float) -> bool:
    """True once an excursion is over: for a reading typed it is so at once."""
    return since_s is not None and (now.typed or t_s - since_s >= OFF_S)
