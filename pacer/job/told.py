"""The plan as lines of text, each value with its unit and where it comes from.

`pacer plan` prints them, its HTML shows them; the numbers are those of `plan.py`.
Nothing here says that a repair will hold.
"""

from __future__ import annotations

from pacer.job.job import Job
from pacer.job.plan import Forecast, Plan
from pacer.job.warn import warnings
from pacer.text import clean
from pacer.trade.rows import load, row
from pacer.units import Shown

_HOT_ROWS: tuple[str, ...] = ("W14", "W15", "W16", "W20", "W19", "W30", "W33")
_COLD_ROWS = ("W18", "B13")
_DUCTILE_ROWS = ("W04", "W06", "W19")


def plan_lines(made: Plan, job: Job, shown: Shown) -> list[str]:
    """Return the plan as text, a heading a part, ready to print one a line."""
    blocks = [
        ("", [f"{clean(job.title)}: {job.method} method, {job.part.metal}"]),
        ("To decide or mend first", warnings(job)),
        ("The part and its joint", _part(job, shown)),
        ("Filler and arc", _arc(made, job, shown)),
        ("Temperatures", _band(job, shown)),
        ("What published pages say about them", _sources(job)),
        ("Beads", _beads(made, job, shown)),
        ("Afterwards", _afterwards(job, shown)),
        ("Forecasts", _forecasts(made, job, shown)),
        ("Cautions", _cautions(job)),
    ]
    lines: list[str] = []
    for heading, content in blocks:
        if content:
            lines += ["", heading] if heading else []
            lines += [f"  {line}" for line in content] if heading else content
    return lines


def _line(job: Job, key: str, name: str, value: str) -> str:
    """Return name, value and origin; long reasons stay whole, the terminal wraps them."""
    return f"{name:<20} {value:<16} {job.origin.get(key, 'computed')}"


def _part(job: Job, shown: Shown) -> list[str]:
    part, joint = job.part, job.joint
    size = " x ".join(shown.length_m(side) for side in part.size_m) if part.size_m else "unknown"
    lines = [
        _line(job, "part.mass", "mass", shown.mass_kg(part.mass_kg)),
        _line(job, "part.size", "overall size", size),
        _line(job, "part.wall", "wall", shown.length_m(part.wall_m)),
        _line(job, "part.service", "service", part.service),
        _line(job, "joint.repair", "repair", joint.repair),
        _line(job, "joint.access", "access", joint.access),
        _line(job, "joint.crack_length", "length", shown.length_m(joint.crack_length_m)),
        _line(job, "joint.tack", "tacks", joint.tack),
        _line(job, "joint.ends", "ends", joint.ends),
        _line(job, "joint.preparation", "preparation", joint.preparation),
        _line(job, "joint.angle", "angle", f"{joint.angle_deg:g} deg"),
        _line(job, "joint.depth", "depth", shown.length_m(joint.depth_m)),
        _line(job, "joint.root_face", "root face", shown.length_m(joint.root_face_m)),
        _line(job, "joint.gap", "gap", shown.length_m(joint.gap_m)),
        _line(job, "heating.with", "heated with", job.heating.source),
        _line(job, "heating.points", "places checked", str(job.heating.points)),
        _line(job, "sensor.url", "sensor", clean(job.sensor.url)),
        _line(job, "sensor.distance", "sensor from joint", shown.length_m(job.sensor.distance_m)),
    ]
    rule = row("limits", "M01")
    iso_m = min(rule.values["factor"] * part.wall_m, rule.values["max_mm"] / 1000.0)
    lines.append(
        f"{'':<20} {shown.length_m(iso_m)} by ISO 13916 clause 4.1 for this wall; "
        "25-35 mm shows the beads best (calculated)"
    )
    return lines


def _arc(made: Plan, job: Job, shown: Shown) -> list[str]:
    filler = job.filler
    name = row("processes", filler.process).values["names"][0]
    rods = f"{made.rods} rods" if made.rods else f"{shown.length_m(made.filler_m)} of wire"
    return [
        _line(job, "filler.process", "process", f"{filler.process} ({name})"),
        _line(job, "filler.designation", "filler", clean(filler.designation)),
        _line(job, "filler.diameter", "diameter", shown.length_m(filler.diameter_m)),
        _line(job, "filler.current", "current", f"{filler.current_a:g} A"),
        _line(job, "filler.voltage", "voltage", f"{filler.voltage_v:g} V"),
        _line(job, "bead.travel", "travel", shown.speed_m_s(job.bead.travel_m_s)),
        _line(job, "", "arc energy", f"{made.arc_energy_kj_mm:.3f} kJ/mm") + ": U I / v, without k",
        _line(job, "", "heat input", f"{made.heat_input_kj_mm:.3f} kJ/mm")
        + ": k U I / v, as EN 1011-1; k of trade row H03",
        _line(job, "", "filler needed", rods) + ": groove and cap, stubs and spatter taken off",
        f"one bead warms the whole part by {shown.temp_dc(made.bead_rise_dc, 1)}, "
        "without losses (computed)",
    ]


def _band(job: Job, shown: Shown) -> list[str]:
    band = job.band
    lines = []
    if band.preheat_c is not None and band.floor_c is not None:
        lines += [
            _line(job, "band.preheat", "preheat target", shown.temp_c(band.preheat_c)),
            _line(job, "band.floor", "floor", shown.temp_c(band.floor_c)),
        ]
    lines.append(_line(job, "band.ceiling", "ceiling", shown.temp_c(band.ceiling_c)))
    if job.method == "hot":
        lines.append(_line(job, "band.soak", "soak", shown.duration(band.soak_s)))
    lines.append(_line(job, "band.deadband", "dead-band", shown.temp_dc(band.deadband_dc, 1)))
    if job.method == "hot":
        lines.append("200, 260 and 300 °C are common practice without a source")
    else:
        lines.append(
            "no preheat, no floor, no reheat; part dry and not below 15-20 °C; never fan or water; "
            "no touch test above 43 °C"
        )
    return lines


def _sources(job: Job) -> list[str]:
    rows = _HOT_ROWS if job.method == "hot" else _COLD_ROWS
    if job.method == "hot" and job.part.metal == "ductile iron":
        rows = _DUCTILE_ROWS
    found = [row("preheat", name) for name in rows]
    return [f"{fact.id}: {fact.told}" for fact in found]


def _beads(made: Plan, job: Job, shown: Shown) -> list[str]:
    plan, bead = job.plan, job.bead
    order = "-".join(str(place + 1) for place in plan.order[:24])
    more = f" and so on to {plan.places} places" if plan.places > 24 else ""
    return [
        f"{made.beads} beads: {plan.runs} runs of {plan.places} places "
        f"({made.beads_low} to {made.beads_high} by how thick the beads come out)",
        f"groove {made.groove_m2 * 1e6:.0f} mm², with cap {made.weld_m2 * 1e6:.0f} mm² "
        f"(computed); bead: {row('beads', 'A01').told}, scaled with rod and travel",
        f"order in a run, places counted from the left: {order}{more}; each bead is drawn "
        "toward the start of the last",
        _line(job, "bead.length", "bead length", shown.length_m(bead.length_m)),
        _line(job, "bead.peen", "peen for", shown.duration(bead.peen_s)),
        _line(job, "bead.peen_within", "peen within", shown.duration(bead.peen_within_s)),
        row("beads", "B10").told,
    ]


def _afterwards(job: Job, shown: Shown) -> list[str]:
    cooldown, lines = job.cooldown, []
    if job.method == "hot":
        hold = f"{shown.temp_c(job.postheat.temperature_c)}, {shown.duration(job.postheat.hold_s)}"
        lines += [
            _line(job, "postheat.temperature", "equalising hold", hold),
            f"this evens the heat out, it is no stress relief: {row('stress_relief', 'S01').told}",
        ]
    lines.append(_line(job, "cooldown.cover", "cover", cooldown.cover))
    if cooldown.volume_m3 is not None:
        lines.append(_line(job, "cooldown.volume", "box", shown.volume_m3(cooldown.volume_m3)))
    if cooldown.thickness_m is not None:
        thick = shown.length_m(cooldown.thickness_m)
        lines.append(_line(job, "cooldown.thickness", "blanket", thick))
    lines += [
        _line(job, "cooldown.ambient", "shop", shown.temp_c(cooldown.ambient_c)),
        _line(job, "cooldown.until", "covered until", shown.temp_c(cooldown.until_c))
        + "; at the probe, cover and thick parts can be hotter",
    ]
    if cooldown.max_rate_c_h is not None:
        rate = shown.rate_c_h(cooldown.max_rate_c_h)
        lines.append(_line(job, "cooldown.max_rate", "greatest rate", rate))
    return lines


def _span(forecast: Forecast, shown: Shown) -> str:
    high = "no bound" if forecast.high is None else shown.duration(forecast.high)
    return f"{shown.duration(forecast.value)} ({shown.duration(forecast.low)} to {high})"


def _forecasts(made: Plan, job: Job, shown: Shown) -> list[str]:
    hot = job.method == "hot"
    lines = [f"arc time {shown.duration(made.arc_time_s)} in all, {made.beads} beads"]
    if hot:
        lines.append(
            f"preheat {_span(made.preheat_s, shown)}: a {job.heating.source} of a size that fits "
            "the part, assumed power, no source"
        )
    else:
        lines.append(
            f"waiting governs: {_span(made.wait_s, shown)} from one bead to the next once the "
            "part is at the ceiling; computed from its loss in still air"
        )
    begin = "from the first flame" if hot else "from the first bead"
    lines.append(
        f"session {_span(made.session_s, shown)}: {begin} to covering the part; "
        "handling 10-60 s a bead assumed, no source"
    )
    if made.cooldown_s.value > 0.0:
        lines.append(
            f"cool-down {_span(made.cooldown_s, shown)} in {job.cooldown.cover} to "
            f"{shown.temp_c(job.cooldown.until_c)} at the probe: 80 % interval before any "
            "reading, not checked against measured castings"
        )
    else:
        lines.append("cool-down: the part is below its end temperature when the last bead is laid")
    return lines


def _cautions(job: Job) -> list[str]:
    said = {"always", job.cooldown.cover}
    if "ni" in job.filler.designation.casefold():
        said.add("nickel")
    if job.heating.source in ("gas grill", "torch") and job.method == "hot":
        said.add("gas")
    return [fact.told for fact in load("cautions") if fact.values["when"] in said]
