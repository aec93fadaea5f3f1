"""The repair plan: how much work the groove is, and how long it takes.

Counts, arc energy and heat input are arithmetic on the job; all else is a forecast with
its range. Only the cool-down has a fitted model (`heat/cooldown/`, 80 % interval). The
others rest on assumed heating powers (`job/preheat.py`) and handling times (`job/walk.py`),
so their range is a rough one.
"""

from __future__ import annotations

import math
from typing import Any

import msgspec

from pacer.heat import arc, behind_arc, t85
from pacer.job.forecast import Cause, Forecast, rounded
from pacer.job.groove import groove_area_m2, runs_for, section_range_m2, weld_area_m2
from pacer.job.job import Job
from pacer.job.local_heat import Start, start_below

# Those below this floor ask the plan for them.
from pacer.job.preheat import cooling_part, cover_of, heat_in_iron_j, preheat_energy, preheat_time
from pacer.job.walk import bead_rise_dc, reheats, session_time, wait_time
from pacer.trade.rows import row

RED_C = 550.0
"Where iron still glows for eyes used to a bright shop; dull red begins near 525 °C (from memory)."
_STUB = (0.6, 1.6)
"Stubs thrown away, against the usual length: 30 to 80 mm of a covered electrode (no source)."


class Plan(msgspec.Struct, frozen=True):
    """What a job asks for."""

    beads: int
    beads_range: Forecast
    "By how thick or thin the beads are likely to come out."
    groove_m2: float
    "Cross-section without the cap."
    weld_m2: float
    "Cross-section with the cap."
    rods: int
    "0 for a wire process."
    rods_range: Forecast
    "By section, stubs, and whether a rod's rest is used up."
    filler_m: float
    "Length of rod or wire."
    arc_time_s: float
    arc_energy_kj_mm: float
    "Without the process factor k."
    heat_input_kj_mm: float
    "With k, as EN 1011-1 has it."
    bead_rise_dc: float
    "Rise of the whole part by one bead, without losses."
    t85: t85.Cooling
    "At the preheat target, cold: at the ceiling. For ferritic steel; it compares beads only."
    red_s: tuple[float, float]
    "How long weld metal stays above `RED_C`: behind the arc, and at a bead's end."
    wait_s: Forecast
    "Cold method: from one bead's end to the next, once the part is at the ceiling; hot: 0."
    preheat_s: Forecast
    preheat_energy_j: Forecast
    "Heat into the part; what the source wastes is not in it."
    iron_heat_j: float
    "What of it is still in the iron at the target."
    reheats: Forecast
    session_s: Forecast
    "From the first heat (cold: the first bead) to covering the part."
    cooldown_s: Forecast
    "From covering to `until` at the probe."
    start: Start | None
    "The quickest beat that keeps every place below the ceiling; None: there is none, or a patch."


def plan(job: Job) -> Plan:
    """Return the plan of a job. Total: every checked job has one."""
    filler, bead, weld_m2 = job.filler, job.bead, weld_area_m2(job.joint)
    beads_range = _beads_range(job, weld_m2)
    counts = (beads_range.value, beads_range.low, beads_range.high or beads_range.value)
    arc_numbers = (filler.voltage_v, filler.current_a, bead.travel_m_s)
    heat_input_kj_mm = arc.heat_input_kj_mm(*arc_numbers, filler.process)
    rods, rods_range, filler_m = _filler(job, weld_m2)
    start = start_below(job)
    return Plan(
        beads=job.plan.beads,
        beads_range=beads_range,
        groove_m2=groove_area_m2(
            job.joint.preparation, job.joint.angle_deg, job.joint.depth_m, job.joint.gap_m
        ),
        weld_m2=weld_m2,
        rods=rods,
        rods_range=rods_range,
        filler_m=filler_m,
        arc_time_s=round(job.plan.beads * bead.planned_s, 1),
        arc_energy_kj_mm=arc.arc_energy_kj_mm(*arc_numbers),
        heat_input_kj_mm=heat_input_kj_mm,
        bead_rise_dc=bead_rise_dc(job),
        t85=t85.t85(
            heat_input_kj_mm, laid_at_c(job), job.part.wall_m, t85.SHAPE_FACTORS[run_shape(job)]
        ),
        red_s=_red_s(job, heat_input_kj_mm),
        wait_s=wait_time(job),
        preheat_s=preheat_time(job),
        preheat_energy_j=preheat_energy(job),
        iron_heat_j=heat_in_iron_j(job),
        reheats=reheats(job, counts),
        session_s=_session(job, counts, start),
        cooldown_s=_cooldown(job),
        start=start,
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
        "reheats": interval(made.reheats),
        "preheat_energy_j": interval(made.preheat_energy_j),
        "beads_range": interval(made.beads_range),
        "rods_range": interval(made.rods_range),
        "bead_rise_dc": round(made.bead_rise_dc, 2),
        "t85_s": round(made.t85.time_s, 2) if math.isfinite(made.t85.time_s) else None,
    }


def rods_for(job: Job) -> tuple[int, Forecast, float]:
    """Return rods (0 for a wire process), their range, and the length of rod or wire, m."""
    return _filler(job, weld_area_m2(job.joint))


def laid_at_c(job: Job) -> float:
    """Return the part's temperature that a bead is judged at: preheat target, or ceiling."""
    return job.band.preheat_c if job.band.preheat_c is not None else job.band.ceiling_c


def run_shape(job: Job) -> t85.Run:
    """Return what the joint is to t8/5's shape factors."""
    return "T fillet" if job.joint.preparation == "fillet weld" else "run in a groove"


def _beads_range(job: Job, weld_m2: float) -> Forecast:
    beads, places = job.plan.beads, job.plan.places
    thin_m2, thick_m2 = section_range_m2(job.filler.diameter_m, job.bead.travel_m_s)
    return rounded(beads, runs_for(weld_m2, thick_m2) * places, runs_for(weld_m2, thin_m2) * places)


def _filler(job: Job, weld_m2: float) -> tuple[int, Forecast, float]:
    """Return rods (0 for wire), their range, and length of rod or wire, m, losses included."""
    known = row("processes", job.filler.process).values
    core_m2 = math.pi / 4.0 * job.filler.diameter_m**2
    per_m2 = job.joint.crack_length_m / core_m2 / known["yield"]
    length_m = weld_m2 * per_m2
    if "rod_mm" not in known:
        return 0, Forecast(0.0, 0.0, 0.0), length_m

    def usable_m(stub: float) -> float:
        return max(float(known["rod_mm"]) - stub * float(known["stub_mm"]), 1.0) / 1000.0

    def whole(rods: float) -> int:
        return max(1, math.ceil(round(rods, 6)))

    rods = whole(length_m / usable_m(1.0))
    # At most: every run is filled to its full section, no bead is made of two rods.
    most = []
    for section_m2 in section_range_m2(job.filler.diameter_m, job.bead.travel_m_s):
        beads = runs_for(weld_m2, section_m2) * job.plan.places
        a_rod = usable_m(_STUB[1]) / (section_m2 * per_m2 / job.plan.places)
        most.append(whole(beads / (math.floor(a_rod) if a_rod >= 1.0 else a_rod)))
    return rods, rounded(rods, whole(length_m / usable_m(_STUB[0])), max(most)), length_m


def _red_s(job: Job, heat_input_kj_mm: float) -> tuple[float, float]:
    plate = behind_arc.Plate(laid_at_c(job), job.part.wall_m)
    return (
        behind_arc.above_s(heat_input_kj_mm, plate, RED_C),
        behind_arc.end_above_s(
            heat_input_kj_mm, plate, job.bead.travel_m_s, job.bead.planned_s, RED_C
        ),
    )


def _session(job: Job, beads: Cause, start: Start | None) -> Forecast:
    """Cold: no less than the beat that keeps every place below the ceiling, where one does."""
    by_part = session_time(job, beads)
    if start is None or job.method == "hot":
        return by_part
    likely_s, low_s, high_s = (count * start.beat_s for count in beads)
    return rounded(
        max(by_part.value, likely_s),
        max(by_part.low, low_s),
        max(by_part.high or by_part.value, high_s),
    )


def _cooldown(job: Job) -> Forecast:
    from pacer.heat.cooldown.eta import forecast_eta
    from pacer.heat.cooldown.fitted import fit
    from pacer.heat.cooldown.prior import prior

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
