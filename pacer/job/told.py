"""The plan as lines of text, each value with its unit and where it comes from.

`pacer plan` prints them, its HTML shows them; the numbers are those of `plan.py`.
Nothing here says that a repair will hold.
"""

from __future__ import annotations

from pacer.job.columns import WIDTH, laid_out, row_of
from pacer.job.job import Job
from pacer.job.measuring import iso13916, shows_beads, wait_s
from pacer.job.plan import Plan
from pacer.job.told_facts import fact_lines
from pacer.job.told_forecasts import arc_rows, counted, forecast_rows
from pacer.job.told_order import order_lines
from pacer.job.warn import warnings
from pacer.text import clean
from pacer.trade.rows import load, row
from pacer.units import Shown

_HOT_ROWS: tuple[str, ...] = ("W14", "W15", "W16", "W20", "W19", "W30", "W33")
_COLD_ROWS = ("W18", "B13")
_DUCTILE_ROWS = ("W04", "W06", "W19")


def plan_lines(made: Plan, job: Job, shown: Shown, width: int = WIDTH) -> list[str]:
    """Return the plan as text, a heading a part, ready to print one a line of `width`."""
    blocks = [
        ("", [f"{clean(job.title)}: {job.method} method, {job.part.metal}"]),
        ("To decide or mend first", warnings(job)),
        ("The part and its joint", _part(job, shown)),
        ("Filler and arc", _arc(made, job, shown)),
        ("Temperatures", _band(job, shown)),
        ("What published pages say about them", _sources(job)),
        ("Beads", _beads(made, job, shown)),
        ("Afterwards", _afterwards(job, shown)),
        ("For the record only", fact_lines(job)),
        ("Forecasts", forecast_rows(made, job, shown)),
        ("Cautions", _cautions(job)),
    ]
    lines: list[str] = []
    for heading, content in blocks:
        if content:
            lines += ["", heading] if heading else content
            lines += [out for line in content for out in laid_out(line, width)] if heading else []
    return lines


def _line(job: Job, key: str, name: str, value: str) -> str:
    return row_of(name, value, job.origin.get(key, "computed"))


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
    return [*lines, *_measuring(job, shown)]


def _measuring(job: Job, shown: Shown) -> list[str]:
    """The standard's place beside the one that shows the beads: two different aims."""
    asked, clause = iso13916(job.part.wall_m), "by ISO 13916 clause 4.1 for this wall"
    if asked.distance_m is not None:
        place = row_of("", shown.length_m(asked.distance_m), f"{clause}; {shows_beads(shown)}")
    else:
        band = f"{clause}: the temperature must exist so far in any direction; {shows_beads(shown)}"
        place = row_of("hot all round for", shown.length_m(asked.band_m or 0.0), band)
    if job.method == "cold" or job.heating.source not in ("gas grill", "torch"):
        return [place]
    wait = f"{row('limits', 'M07').about} (from memory)"
    return [place, row_of("wait before reading", shown.duration(wait_s(job.part.wall_m)), wait)]


def _arc(made: Plan, job: Job, shown: Shown) -> list[str]:
    filler = job.filler
    name = row("processes", filler.process).values["names"][0]
    return [
        _line(job, "filler.process", "process", f"{filler.process} ({name})"),
        _line(job, "filler.designation", "filler", clean(filler.designation)),
        _line(job, "filler.diameter", "diameter", shown.length_m(filler.diameter_m)),
        _line(job, "filler.current", "current", f"{filler.current_a:g} A"),
        _line(job, "filler.voltage", "voltage", f"{filler.voltage_v:g} V"),
        _line(job, "bead.travel", "travel", shown.speed_m_s(job.bead.travel_m_s)),
        *arc_rows(made, job, shown),
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
    return [
        f"{made.beads} beads: {plan.runs} runs of {plan.places} places "
        f"({counted(made.beads_range)} by how thick the beads come out)",
        f"groove {made.groove_m2 * 1e6:.0f} mm², with cap {made.weld_m2 * 1e6:.0f} mm² "
        f"(computed); bead: {row('beads', 'A01').told}, scaled with rod and travel",
        *order_lines(job, shown),
        _line(job, "bead.length", "bead length", shown.length_m(bead.length_m)),
        _line(job, "bead.peen", "peen for", shown.duration(bead.peen_s)),
        _line(job, "bead.peen_within", "peen within", shown.duration(bead.peen_within_s)),
        _line(job, "bead.hood_down", "hood down", shown.duration(bead.hood_down_s)),
        _line(job, "bead.hood_up", "hood up", shown.duration(bead.hood_up_s)),
        _line(job, "bead.look", "look at the bead", shown.duration(bead.look_s)),
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


def _cautions(job: Job) -> list[str]:
    said = {"always", job.cooldown.cover}
    if "ni" in job.filler.designation.casefold():
        said.add("nickel")
    if job.heating.source in ("gas grill", "torch") and job.method == "hot":
        said.add("gas")
    return [fact.told for fact in load("cautions") if fact.values["when"] in said]
