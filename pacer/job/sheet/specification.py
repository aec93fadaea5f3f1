"""Every item of a welding procedure specification, and what this plan says to it.

The list is that of ISO 15609-1 clause 4 (row Q01): an item that does not apply says why.
This is no qualified procedure: nothing here was tested on a test piece.
"""

from __future__ import annotations

from collections.abc import Iterator

from pacer.job.job import Job
from pacer.job.plan import Plan
from pacer.job.sheet.arc import energy
from pacer.job.sheet.making import entry, told
from pacer.job.sheet.records import Entry, Line, Step
from pacer.text import clean
from pacer.trade.rows import row
from pacer.units import Shown

_NONE = "not applicable"
_WITHOUT_GAS = frozenset({"111"})


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return the list's source, its twenty items in its order, and what they are not."""
    return (
        told(row("specification", "Q01")),
        *_metal(job, shown),
        *_joint(job, shown),
        *_filler(job, shown),
        *_heat(made, job, shown),
        Step(
            "A list of items and no qualified procedure: no test piece was welded and tested for "
            "it. Who needs one asks a qualified welding engineer."
        ),
    )


def _metal(job: Job, shown: Shown) -> Iterator[Entry]:
    part = job.part
    yield Entry(
        "manufacturer", "not said", "default", "our choice, no key: write the shop's name by hand"
    )
    grade = job.facts.get("part.grade")
    metal = f"{part.metal}, {clean(grade)}" if grade else part.metal
    yield entry(job, "part.metal", "parent material type", metal)
    yield entry(job, "part.wall", "dimensions", f"wall {shown.length_m(part.wall_m)}")


def _joint(job: Job, shown: Shown) -> Iterator[Entry]:
    joint, both = job.joint, job.joint.access == "both sides"
    name = row("processes", job.filler.process).values["names"][0]
    yield entry(job, "filler.process", "process", f"{job.filler.process} ({name})")
    length = shown.length_m(joint.crack_length_m)
    design = f"{joint.repair}, {joint.preparation}, {length}, {joint.access}"
    yield entry(job, "joint.preparation", "joint design", design)
    yield Entry(
        "welding position",
        "not said",
        "default",
        "our choice, no key: turn the part so that the joint lies flat, where it can be turned",
    )
    measures = [
        f"{joint.angle_deg:g} deg",
        f"depth {shown.length_m(joint.depth_m)}",
        f"root face {shown.length_m(joint.root_face_m)}",
        f"gap {shown.length_m(joint.gap_m)}",
    ]
    yield Entry(
        "joint preparation", ", ".join(measures), "computed", "by the values of section The joint"
    )
    peened = "not peened" if job.bead.peen_s <= 0.0 else f"peened runs: {job.bead.peen_runs}"
    bead = f"stringers of {shown.length_m(job.bead.length_m)}, no weave, {peened}"
    how = "by bead.length, bead.peen_runs and row B05; order: section Beads"
    yield Entry("technique", bead, "computed", how)
    yield Entry(
        "back gouging",
        "to sound metal" if both else _NONE,
        "computed",
        "ground, before the second side is welded" if both else "it is welded from one side",
    )
    root = "no backing strip is planned: the root face or the first run holds the metal"
    yield Entry("backing", _NONE, "default", f"our choice, {root}")


def _filler(job: Job, shown: Shown) -> Iterator[Entry]:
    filler, facts = job.filler, job.facts
    rod = f"{clean(filler.designation)}, {shown.length_m(filler.diameter_m)}"
    yield entry(job, "filler.designation", "consumables", rod)
    polarity = facts.get("filler.polarity", "polarity not said")
    arc = f"{filler.current_a:g} A, {filler.voltage_v:g} V, {clean(polarity)}"
    yield entry(job, "filler.current", "electrical parameters", arc)
    yield Entry(
        "mechanisation", _NONE, "default", "our choice: by hand, the program paces a welder"
    )


def _heat(made: Plan, job: Job, shown: Shown) -> Iterator[Entry]:
    band, hot = job.band, job.method == "hot"
    cold = "the cold method has a ceiling only"
    if band.preheat_c is not None and band.floor_c is not None:
        floor = f"at least {shown.temp_c(band.floor_c)}"
        yield entry(job, "band.preheat", "preheating", shown.temp_c(band.preheat_c))
        span = f"{shown.temp_c(band.floor_c)} to {shown.temp_c(band.ceiling_c)}"
        yield entry(job, "band.ceiling", "interpass temperature", span)
        yield entry(job, "band.floor", "preheat maintenance", floor)
    else:
        most = f"at most {shown.temp_c(band.ceiling_c)}"
        yield Entry("preheating", _NONE, "computed", cold)
        yield entry(job, "band.ceiling", "interpass temperature", most)
        yield Entry("preheat maintenance", _NONE, "computed", cold)
    if hot:
        post = job.postheat
        hold = f"{shown.temp_c(post.temperature_c)} for {shown.duration(post.hold_s)}"
        yield entry(job, "postheat.temperature", "post-heating", hold)
    else:
        yield Entry("post-heating", _NONE, "computed", cold)
    yield Entry(
        "post-weld heat treatment",
        _NONE,
        "default",
        "our choice, none is planned: an equalising hold and a slow cool-down are no heat "
        "treatment (row S01)",
    )
    yield _gas(job)
    heat = energy(made.heat_input_kj_mm, shown)
    without = energy(made.arc_energy_kj_mm, shown)
    yield Entry("heat input", heat, "computed", f"with k, as EN 1011-1; without k {without}")


def _gas(job: Job) -> Entry:
    if job.filler.process in _WITHOUT_GAS:
        return Entry("shielding gas", _NONE, "computed", "a covered electrode makes its own")
    said = [job.facts[key] for key in ("filler.gas", "filler.gas_flow") if key in job.facts]
    if said:
        return Entry("shielding gas", clean(", ".join(said)), "given", key="filler.gas")
    why = "common practice: argon for TIG (from memory); write filler.gas and filler.gas_flow"
    return Entry("shielding gas", "not said", "default", why)
