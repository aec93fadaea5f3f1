"""What a session learns of its part between beads: events fed to the filter of `heat/pauses/between.py`.

`follow` is called once an event, after the phase has had its say; most events pass by. A
reading is taken in at most once a second, less often in a long pause, never while the arc
burns or while its noise is still in the median. From soak to post-heat, cold method: from
the first READY.
"""

from __future__ import annotations

import math
from functools import lru_cache

import msgspec

from pacer.heat import bins
from pacer.heat.arc import efficiency
from pacer.heat.part import RHO_KG_M3
from pacer.heat.pauses import beads, belief, between
from pacer.heat.pauses.belief import Bare, Estimate
from pacer.job.job import HeatSource, Job
from pacer.session.cooling import TYPED_SD_DC, reading_sd_dc
from pacer.session.events import Act, AnyEvent, ClockGap, Reading
from pacer.session.state import Learned, State, Warming
from pacer.session.track import Believed, believed
from pacer.session.work import Bead, Phase

replace = msgspec.structs.replace

STEP_S, QUIET_STEP_S, QUIET_AFTER_S = 1.0, 3.0, 30.0
"""Readings taken in: one a second for half a minute after an arc, then one in three seconds."""

SETTLED_S = 2.5
"""The arc's noise is in the median of nine readings for so long after it (`track.WINDOW_S`)."""

_START_SD_DC, _PLAN_SD_DC = 3.0, 20.0
_AFRESH_AFTER_S = 600.0
"So long without a word of the part its temperature is a new one; what was learned stays."
_STRANGE_IN_GAP = 30.0
"How much more may have happened in a second that nobody watched."
_NEAR_FLOOR_DC = 12.0
"Farther above the floor no bead asks how far the part will sink; one sinks it by a few degrees."
_LEAST_SIDE_M = 0.02

_HEATED = frozenset({Phase.SOAK, Phase.REHEAT, Phase.HOLD, Phase.INSPECT, Phase.POST_HEAT})
_BARE = frozenset({Phase.READY, Phase.BEAD, Phase.PEEN, Phase.LOOK, Phase.WAIT})
_HEATING = frozenset({Phase.PREHEAT, Phase.REHEAT, Phase.POST_HEAT})
FOLLOWED = _HEATED | _BARE | {Phase.TACK}

_UNEVEN_DC: dict[HeatSource, float] = {
    "gas grill": 10.0,
    "oven": 4.0,
    "hot plate": 8.0,
    "torch": 25.0,
}
"""How far the probe's place may lie from the part's mean after heating, sd (heat.md 4.6:
simulated spread in the whole part 19 K on a grill, 200 K with a torch)."""


_MEASURED_EFFICIENCY = {"141": 0.68}
"""TIG: published 0.36-0.90, means 0.67-0.78 (heat.md section 7, SEEN-S), above the standard's
k of 0.6; for the others k is near what was measured."""


@lru_cache(maxsize=4)
def _bare(
    mass_kg: float,
    size_m: tuple[float, float, float] | None,
    wall_m: float,
    joint_m: float,
    distance_m: float,
    ambient_c: float,
    process: str,
    source: HeatSource,
) -> Bare:
    plate_m2 = mass_kg / RHO_KG_M3 / wall_m
    aspect = 1.0
    if size_m is not None:
        _, middle_m, wide_m = sorted(size_m)
        aspect = wide_m / middle_m
    along_m = max(math.sqrt(plate_m2 * aspect), joint_m, _LEAST_SIDE_M)
    across_m = max(plate_m2 / along_m, _LEAST_SIDE_M)
    return Bare(
        mass_kg=mass_kg,
        area_m2=2.0 * plate_m2 + 2.0 * (along_m + across_m) * wall_m,
        along_m=along_m,
        across_m=across_m,
        ambient_c=ambient_c,
        distance_m=min(distance_m, 0.45 * across_m),
        joint_m=joint_m,
        efficiency=_MEASURED_EFFICIENCY.get(process, efficiency(process)),
        uneven_dc=_UNEVEN_DC[source],
    )


def bare(job: Job) -> Bare:
    """Return the part of a job as the filter takes it: a plate with the joint along it."""
    return _bare(
        job.part.mass_kg,
        job.part.size_m,
        job.part.wall_m,
        job.joint.crack_length_m,
        job.sensor.distance_m,
        job.cooldown.ambient_c,
        job.filler.process,
        job.heating.source,
    )


def target_c(state: State) -> float | None:
    """Return what the present phase heats the part to, °C; None where it doesn't heat."""
    if state.phase in {Phase.PREHEAT, Phase.REHEAT}:
        return state.job.band.preheat_c
    return state.job.postheat.temperature_c if state.phase is Phase.POST_HEAT else None


def follow(state: State, event: AnyEvent) -> State:
    """Return the state with what `event` tells of the part's heating and of its pauses."""
    phase = state.phase
    if phase in _HEATING:
        state = _warmed(state, event)
    if phase not in FOLLOWED or state.cold_yet:
        return state
    learned = state.learned
    if learned is not None and isinstance(event, Reading) and event.t_s - learned.read_s < STEP_S:
        # What the phase did meanwhile keeps its time and waits for the next second.
        return state
    return _paused(state, event)


def _warmed(state: State, event: AnyEvent) -> State:
    """Return the state with a reading more of the present heating."""
    t_s, warming, now = event.t_s, state.warming, believed(state, event.t_s)
    if warming is None or warming.start_s != state.work.entered_s:
        warming = Warming(state.work.entered_s, now.temp_c if now is not None else None)
        state = replace(state, warming=warming)
    typing = isinstance(event, Act) and event.joint_reading
    if now is None or not (isinstance(event, Reading) or typing) or (now.typed and not typing):
        return state
    since_s = t_s - warming.start_s
    if now.side:
        warming = replace(warming, bounds=(*warming.bounds, (since_s, now.temp_c, now.side)))
    else:
        warming = replace(
            warming,
            start_c=now.temp_c if warming.start_c is None else warming.start_c,
            bins=bins.add(warming.bins, since_s, now.temp_c),
            typed=warming.typed or now.typed,
        )
    return replace(state, warming=warming)


def _paused(state: State, event: AnyEvent) -> State:
    """Return the state with what `event` tells of the part between beads."""
    part, learned, t_s = bare(state.job), state.learned, event.t_s
    begun = learned is None or (
        t_s - learned.estimate.t_s > _AFRESH_AFTER_S and _plain_reading(state, t_s) is not None
    )
    if learned is None or begun:
        learned = _begun(part, state, t_s, learned)
    estimate = _phased(part, learned.estimate, state, event)
    taken = begun and _plain_reading(state, t_s) is not None
    if not taken and _due(state, event, learned, estimate):
        estimate = _read(part, estimate, state, event.t_s)
        learned = replace(learned, read_s=event.t_s)
    if learned is not state.learned or estimate is not learned.estimate:
        sink_dc = _sink_dc(part, estimate, state)
        learned = replace(learned, estimate=estimate, sink_dc=sink_dc)
    return replace(state, learned=learned) if learned is not state.learned else state


def _begun(part: Bare, state: State, t_s: float, old: Learned | None) -> Learned:
    """Start, or start again after a stop with what was learned of the part before it."""
    now, job = _plain_reading(state, t_s), state.job
    planned_c = job.cooldown.ambient_c if job.band.preheat_c is None else job.band.preheat_c
    temp_c, sd_dc = planned_c, _PLAN_SD_DC
    if now is not None:
        temp_c, sd_dc = now.temp_c, TYPED_SD_DC if now.typed else _START_SD_DC
    estimate = belief.begin(part, t_s, temp_c, sd_dc, heated=state.phase in _HEATED)
    if old is not None:
        estimate = belief.remembering(estimate, old.estimate)
    return Learned(estimate=estimate._replace(readings=int(now is not None)), read_s=t_s)


def _plain_reading(state: State, t_s: float) -> Believed | None:
    """Return what is believed, but not a crayon's one side."""
    now = believed(state, t_s)
    return now if now is not None and not now.side else None


def _done(part: Bare, estimate: Estimate, event: AnyEvent) -> Estimate:
    """Return the estimate after what was done to the part, arc and flame aside."""
    if isinstance(event, ClockGap):
        return between.moved(part, estimate, event.to_s, _STRANGE_IN_GAP)
    if isinstance(event, Act) and event.deed == "turned":
        return between.turned(part, estimate, event.t_s)
    return estimate


def _phased(part: Bare, estimate: Estimate, state: State, event: AnyEvent) -> Estimate:
    """Return the estimate with arc and flame as the phase has them since it began."""
    work, beads = state.work, state.work.beads
    running = beads[-1] if state.phase is Phase.BEAD and beads else None
    if estimate.beads:
        estimate = _ended(part, estimate, beads)
    estimate = _done(part, estimate, event)
    if state.wrapped != estimate.wrapped:
        estimate = between.wrapped(part, estimate, event.t_s, state.wrapped)
    heated = state.phase in _HEATED if state.inside is None else state.inside
    if heated != estimate.heated:
        estimate = between.flamed(part, estimate, max(work.entered_s, estimate.t_s), heated)
    if running is not None and not estimate.burning:
        if estimate.beads and work.entered_s <= estimate.beads[-1].start_s:
            # The press that ended it is undone: it has burnt on.
            return between.lit_again(part, estimate)
        # Struck again after a short break it is the same bead, but no older than this.
        at_s = max(work.entered_s, estimate.t_s)
        filler = state.job.filler
        power_w = filler.voltage_v * filler.current_a
        estimate = between.struck(part, estimate, at_s, _along_m(state.job, running), power_w)
    return estimate


def _ended(part: Bare, estimate: Estimate, beads: tuple[Bead, ...]) -> Estimate:
    """Return the estimate with its last bead ended when the session says, or never struck."""
    last = estimate.beads[-1]
    own = next((bead for bead in reversed(beads) if bead.started_s <= last.start_s), None)
    if own is None or (own.ended_s is not None and own.ended_s < last.start_s):
        # Undone: there was no arc.
        return between.mended(part, estimate, None)
    if own.ended_s is None:
        return estimate
    if last.end_s is None:
        return between.put_out(part, estimate, max(own.ended_s, estimate.t_s))
    # An end that was assumed and is now set right.
    return between.mended(part, estimate, own.ended_s) if own.ended_s > last.end_s else estimate


def _along_m(job: Job, bead: Bead) -> float:
    """Return a bead's place along the joint, m from its middle."""
    return ((bead.place + 0.5) / job.plan.places - 0.5) * job.joint.crack_length_m


def _due(state: State, event: AnyEvent, learned: Learned, estimate: Estimate) -> bool:
    """True for a reading that is to be taken in."""
    if estimate.burning:
        return False
    if isinstance(event, Act):
        return event.joint_reading
    if not isinstance(event, Reading):
        return False
    since_arc_s = event.t_s - (estimate.beads[-1].end_s or 0.0) if estimate.beads else math.inf
    step_s = STEP_S if since_arc_s < QUIET_AFTER_S else QUIET_STEP_S
    return event.t_s - learned.read_s >= step_s and since_arc_s >= SETTLED_S


def _read(part: Bare, estimate: Estimate, state: State, t_s: float) -> Estimate:
    now = believed(state, t_s)
    # A typed reading is news once, at its own time.
    if now is None or (now.typed and now.at_s != t_s):
        return estimate
    return between.took(part, estimate, t_s, now.temp_c, reading_sd_dc(now.typed), now.side)


def _sink_dc(part: Bare, estimate: Estimate, state: State) -> float | None:
    """Return how far the probe's reading sinks during one planned bead, K, to 0.1 K.

    None while it doesn't matter or isn't known: then the published loss of a bare part
    decides. Rounded, so that another processor compares the same.
    """
    floor_c, now = state.job.band.floor_c, believed(state, estimate.t_s)
    if floor_c is None or estimate.burning or now is None or now.temp_c > floor_c + _NEAR_FLOOR_DC:
        return None
    sinks_dc = beads.sink_dc(part, estimate, state.job.bead.planned_s)
    return None if sinks_dc is None else round(sinks_dc, 1)
