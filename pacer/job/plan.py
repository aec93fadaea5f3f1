"""The repair plan: how much work the groove is, and how long it takes.

Counts, arc energy and heat input are arithmetic on the job; preheat, session and
cool-down are forecasts with a range. Of these only the cool-down has a fitted model
(`heat/cooldown.py`, 80 % interval); preheat and session rest on assumed heating powers
and handling times (no source), so their range is a rough one.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import msgspec

from pacer.heat import arc, lumped
from pacer.heat.part import CoolingPart, Cover
from pacer.job.groove import groove_area_m2, runs_for, section_range_m2, weld_area_m2
from pacer.job.job import Job
from pacer.trade.rows import row

# Heat into each m² of iron by a source of a size that fits the part, W/m². Chosen so
# that a 3 kg plate takes what heat.md's simulated heat-ups took (grill some 16 min and
# torch 4 min from 80 to 260 °C); oven and hot plate are estimates. No source.
SOURCE_W_M2 = {"gas grill": 7000.0, "oven": 8000.0, "torch": 20000.0, "hot plate": 7000.0}
POWER_RANGE = (0.6, 1.6)
"A source's power against the assumed one; no source."
_SPARE, _LEAST_SPARE = 1.3, 1.15
"A source that fits the part can hold it at its target with this much to spare."
# Slag, brush, look, next rod: likely, least and most per bead, s (common practice, no source).
_HANDLING_S = (25.0, 10.0, 60.0)


class Forecast(msgspec.Struct, frozen=True):
    """A number that is not known yet, with its range."""

    value: float
    low: float
    high: float | None
    "None where no upper bound can be given."


class Plan(msgspec.Struct, frozen=True):
    """What a job asks for."""

    beads: int
    beads_low: int
    "If every bead comes out as thick as likely."
    beads_high: int
    "If every bead comes out as thin as likely."
    groove_m2: float
    "Cross-section without the cap."
    weld_m2: float
    "Cross-section with the cap."
    rods: int
    "0 for a wire process."
    filler_m: float
    "Length of rod or wire."
    arc_time_s: float
    arc_energy_kj_mm: float
    "Without the process factor k."
    heat_input_kj_mm: float
    "With k, as EN 1011-1 has it."
    bead_rise_dc: float
    "Rise of the whole part by one bead, without losses."
    wait_s: Forecast
    "Cold method: from one bead's end to the next, once the part is at the ceiling; hot: 0."
    preheat_s: Forecast
    session_s: Forecast
    "From the first heat (cold: the first bead) to covering the part."
    cooldown_s: Forecast
    "From covering to `until` at the probe."


def plan(job: Job) -> Plan:
    """Return the plan of a job. Total: every checked job has one."""
    beads = job.plan.beads
    weld_m2 = weld_area_m2(job.joint)
    rods, filler_m = _filler(job, weld_m2)
    filler = job.filler
    heat_j = arc.bead_heat_j(filler.voltage_v, filler.current_a, job.bead.planned_s, filler.process)
    wait, preheat = _wait(job, heat_j), _preheat(job)
    thin_m2, thick_m2 = section_range_m2(filler.diameter_m, job.bead.travel_m_s)
    low = min(beads, runs_for(weld_m2, thick_m2) * job.plan.places)
    high = max(beads, runs_for(weld_m2, thin_m2) * job.plan.places)
    counts = (beads, low, high)
    session = _cold_session(job, counts, wait, heat_j)
    if job.method == "hot":
        session = _hot_session(job, counts, heat_j)
    return Plan(
        beads=beads,
        beads_low=low,
        beads_high=high,
        groove_m2=groove_area_m2(
            job.joint.preparation, job.joint.angle_deg, job.joint.depth_m, job.joint.gap_m
        ),
        weld_m2=weld_m2,
        rods=rods,
        filler_m=filler_m,
        arc_time_s=round(beads * job.bead.planned_s, 1),
        arc_energy_kj_mm=arc.arc_energy_kj_mm(
            filler.voltage_v, filler.current_a, job.bead.travel_m_s
        ),
        heat_input_kj_mm=arc.heat_input_kj_mm(
            filler.voltage_v, filler.current_a, job.bead.travel_m_s, filler.process
        ),
        bead_rise_dc=_rise_dc(job, heat_j),
        wait_s=wait,
        preheat_s=preheat,
        session_s=session,
        cooldown_s=_cooldown(job),
    )


def plan_json(made: Plan) -> dict[str, Any]:
    """Return the plan as `pacer plan --json` prints it; the keys are a contract."""

    def interval(forecast: Forecast) -> dict[str, float | None]:
        return {"value": forecast.value, "low": forecast.low, "high": forecast.high}

    return {
        "beads": made.beads,
        "rods": made.rods,
        "arc_time_s": made.arc_time_s,
        "session_s": interval(made.session_s),
        "heat_input_kj_per_mm": round(made.heat_input_kj_mm, 4),
        "arc_energy_kj_per_mm": round(made.arc_energy_kj_mm, 4),
        "preheat_s": interval(made.preheat_s),
        "cooldown_s": interval(made.cooldown_s),
    }


def cooling_part(job: Job) -> CoolingPart:
    """Return the part as the heat models take it."""
    return CoolingPart(job.part.mass_kg, job.part.size_m, job.part.wall_m)


def cover_of(job: Job) -> Cover:
    """Return the cover as the heat models take it."""
    return Cover(job.cooldown.cover, job.cooldown.volume_m3, job.cooldown.thickness_m)


def _filler(job: Job, weld_m2: float) -> tuple[int, float]:
    """Return rods (0 for wire) and length of rod or wire, m, losses included."""
    known = row("processes", job.filler.process).values
    core_m2 = math.pi / 4.0 * job.filler.diameter_m**2
    length_m = weld_m2 * job.joint.crack_length_m / core_m2 / known["yield"]
    if "rod_mm" not in known:
        return 0, length_m
    usable_m = (known["rod_mm"] - known["stub_mm"]) / 1000.0
    return max(1, math.ceil(round(length_m / usable_m, 6))), length_m


def _rise_dc(job: Job, heat_j: float) -> float:
    at_c = job.band.preheat_c if job.band.preheat_c is not None else job.band.ceiling_c
    return arc.bulk_rise_dc(heat_j, job.part.mass_kg, lumped.heat_capacity_j_kgk(at_c))


def _power_w(job: Job, target_c: float, share: float) -> float:
    """Return the heat a source of fitting size puts into the part, W."""
    area_m2 = cooling_part(job).plate_area_m2
    loss_w = lumped.loss_w(target_c, job.cooldown.ambient_c, area_m2)
    spare = _SPARE if share >= 1.0 else _LEAST_SPARE
    return max(share * SOURCE_W_M2[job.heating.source] * area_m2, spare * loss_w)


def heating_time_s(job: Job, start_c: float, target_c: float, share: float) -> float:
    """Return how long the job's heat source takes, s, at `share` of its assumed power."""
    return lumped.time_to_heat_s(
        _power_w(job, target_c, share),
        start_c,
        target_c,
        job.cooldown.ambient_c,
        job.part.mass_kg,
        cooling_part(job).plate_area_m2,
    )


def _preheat(job: Job) -> Forecast:
    if job.band.preheat_c is None:
        return Forecast(0.0, 0.0, 0.0)
    times = [
        heating_time_s(job, job.cooldown.ambient_c, job.band.preheat_c, share)
        for share in (1.0, POWER_RANGE[1], POWER_RANGE[0])
    ]
    return _rounded(*times)


def _wait(job: Job, heat_j: float) -> Forecast:
    """Return the cold method's time between beads, from the part's own still-air loss."""
    if job.method == "hot":
        return Forecast(0.0, 0.0, 0.0)
    ceiling_c, ambient_c = job.band.ceiling_c, job.cooldown.ambient_c
    area_m2, rise_dc = cooling_part(job).plate_area_m2, _rise_dc(job, heat_j)

    def cool_s(scale: float) -> float:
        return lumped.time_to_cool_s(
            ceiling_c + rise_dc, ceiling_c, ambient_c, job.part.mass_kg, area_m2, scale=scale
        )

    # The wall at the joint stands for the whole part: its area may be 40 % off.
    return _rounded(cool_s(1.0), cool_s(1.4), cool_s(0.6))


def _hot_session(job: Job, counts: tuple[int, int, int], heat_j: float) -> Forecast:
    """Add up heat, soak, beads with their reheats or waits, and the post-heat."""

    def total_s(beads: float, handling_s: float, share: float) -> float:
        cycle_s = job.bead.planned_s + job.bead.peen_s + handling_s
        cycle_s += _balance_s(job, heat_j, cycle_s, share)
        heating_s = heating_time_s(job, job.cooldown.ambient_c, job.band.preheat_c or 0.0, share)
        # The last bead leaves the part anywhere in its band, on average half-way down.
        last_s = 0.5 * heating_time_s(
            job, job.band.floor_c or 0.0, job.postheat.temperature_c, share
        )
        hold_s = job.band.soak_s + job.postheat.hold_s
        return heating_s + hold_s + beads * cycle_s + last_s

    return _spread(total_s, counts, _HANDLING_S, (1.0, POWER_RANGE[1], POWER_RANGE[0]))


def _cold_session(
    job: Job, counts: tuple[int, int, int], wait: Forecast, heat_j: float
) -> Forecast:
    """Beads until the part is at the ceiling follow each other, then waiting governs."""
    free = int((job.band.ceiling_c - job.cooldown.ambient_c) / max(_rise_dc(job, heat_j), 1e-9))

    def total_s(beads: float, handling_s: float, wait_s: float) -> float:
        cycle_s = job.bead.planned_s + job.bead.peen_s + handling_s
        first = min(beads, free + 1)
        return first * cycle_s + (beads - first) * max(cycle_s, job.bead.planned_s + wait_s)

    waits = (wait.value, wait.low, wait.high if wait.high is not None else wait.value)
    return _spread(total_s, counts, _HANDLING_S, waits)


def _spread(total_s: Callable[..., float], *causes: tuple[float, float, float]) -> Forecast:
    """Vary one cause at a time between its ends and add the differences in quadrature."""
    middle = [cause[0] for cause in causes]
    value = total_s(*middle)
    less, more = 0.0, 0.0
    for i, cause in enumerate(causes):
        for end in cause[1:]:
            change = total_s(*middle[:i], end, *middle[i + 1 :]) - value
            less, more = less + min(change, 0.0) ** 2, more + max(change, 0.0) ** 2
    return _rounded(value, value - math.sqrt(less), value + math.sqrt(more))


def _balance_s(job: Job, heat_j: float, cycle_s: float, share: float) -> float:
    """Return the reheat or wait that one bead's cycle needs, so that the part stays in band."""
    middle_c = 0.5 * ((job.band.floor_c or 0.0) + job.band.ceiling_c)
    loss_w = lumped.loss_w(middle_c, job.cooldown.ambient_c, cooling_part(job).plate_area_m2)
    missing_j = loss_w * cycle_s - heat_j
    if missing_j <= 0.0:
        return -missing_j / loss_w
    return missing_j / (_power_w(job, job.band.ceiling_c, share) - loss_w)


def _cooldown(job: Job) -> Forecast:
    from pacer.heat.cooldown import fit, forecast_eta, prior

    start_c = job.postheat.temperature_c if job.method == "hot" else job.band.ceiling_c
    until_c, rate_c_h = job.cooldown.until_c, job.cooldown.max_rate_c_h
    if start_c <= until_c:
        return Forecast(0.0, 0.0, 0.0)
    eta = forecast_eta(
        fit(prior(cooling_part(job), cover_of(job), job.cooldown.ambient_c, start_c), ()),
        until_c,
        0.0,
    )
    # A controlled furnace takes at least what its rate limit asks for, above 150 °C.
    ruled_s = 0.0
    if job.cooldown.cover == "furnace" and rate_c_h:
        ruled_s = max(0.0, start_c - max(until_c, 150.0)) / rate_c_h * 3600.0
    high_s = None if eta.high_s is None else max(eta.high_s, ruled_s)
    return Forecast(max(eta.eta_s, ruled_s), max(eta.low_s, ruled_s), high_s)


def _rounded(value: float, low: float, high: float) -> Forecast:
    return Forecast(
        float(round(value)), float(round(min(low, value))), float(round(max(high, value)))
    )
