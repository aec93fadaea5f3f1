"""Every item of a welding procedure specification, and what this plan says to it.

The list is that of ISO 15609-1 clause 4 (row Q01): an item that does not apply says why.
This is no qualified procedure: nothing here was tested on a test piece.
"""

from __future__ import annotations

from collections.abc import Iterator

from pacer.job.job import Job
from pacer.job.plan import Plan
from pacer.job.sheet.making import by, entry, fact
from pacer.job.sheet.records import Entry, Line, Step
from pacer.job.sheet.sections.arc import energy
from pacer.job.sheet.sections.filler import usual_gas
from pacer.job.sheet.sections.hold import BRIEFLY, kind_of_hold
from pacer.text import clean
from pacer.trade.rows import row
from pacer.units import Shown

_NONE = "not applicable"
_WITHOUT_GAS = frozenset({"111"})


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return the list's source, its twenty items in its order, and what they are not."""
    return (
        Step("The 20 items of ISO 15609-1 clause 4.", by(row("specification", "Q01"))),
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
    unsaid = "our choice: none; write it by hand, or write job.shop"
    shop = fact(job, "job.shop", "manufacturer")
    yield shop or Entry("manufacturer", "not said", "default", unsaid, "job.shop")
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
    yield _position(job)
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
    how = "row B05; order: section Beads"
    yield Entry("technique", bead, "computed", how)
    yield Entry(
        "back gouging",
        "to sound metal" if both else _NONE,
        "computed",
        "ground, before the second side is welded" if both else "it is welded from one side",
    )
    root = "no strip is planned"
    yield Entry("backing", _NONE, "default", f"our choice, {root}")


def _position(job: Job) -> Entry:
    """The position in the welder's word and by its letters, which a fillet has of its own."""
    said, key = job.facts.get("joint.position"), "joint.position"
    if said is None:
        why = "our choice: none; turn the part so that the joint lies flat, if it can be"
        return Entry("welding position", "not said", "default", why, key)
    names = row("specification", "Q06")
    form = "fillet" if job.joint.preparation == "fillet weld" else "groove"
    letters = names.values[form].get(said)
    value = f"{said} ({letters})" if letters else said
    return Entry("welding position", value, "given", "", key, by(names))


def _filler(job: Job, shown: Shown) -> Iterator[Entry]:
    filler, facts = job.filler, job.facts
    rod = f"{clean(filler.designation)}, {shown.stock_m(filler.diameter_m)}"
    yield entry(job, "filler.designation", "consumables", rod)
    polarity = facts.get("filler.polarity", "polarity not said")
    arc = f"{filler.current_a:g} A, {filler.voltage_v:g} V, {clean(polarity)}"
    yield entry(job, "filler.current", "electrical parameters", arc)
    yield Entry("mechanisation", _NONE, "default", "our choice: by hand")


def _heat(made: Plan, job: Job, shown: Shown) -> Iterator[Entry]:
    band = job.band
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
    yield from _after(job, shown)
    yield _gas(job)
    heat = energy(made.heat_input_kj_mm, shown)
    without = energy(made.arc_energy_kj_mm, shown)
    yield Entry("heat input", heat, "computed", f"with k, as EN 1011-1; without k {without}")


def _after(job: Job, shown: Shown) -> Iterator[Entry]:
    """Post-heating is the standard's word for hydrogen; what relieves stress is the next item."""
    kind, post = kind_of_hold(job), job.postheat
    hold = f"{shown.temp_c(post.temperature_c)} for {shown.duration(post.hold_s)}"
    why = "none planned: by it heat is held so that hydrogen gets out of steel"
    if kind == "equalising":
        why += f"; the hold, {hold}, evens the heat out"
    yield Entry("post-heating", _NONE, "computed", why, sources=by(row("specification", "Q05")))
    treated, little = "post-weld heat treatment", by(row("stress_relief", "S01"))
    if kind == "none":
        yield Entry(treated, _NONE, "computed", "no hold is planned")
    elif kind == "equalising":
        yield Entry(treated, _NONE, "computed", f"{hold} relieves no stress", sources=little)
    else:
        known = entry(job, "postheat.temperature", treated, hold)
        note = "; ".join(part for part in (known.note, BRIEFLY[kind]) if part)
        yield Entry(treated, hold, known.origin, note, known.key, little)


def _gas(job: Job) -> Entry:
    if job.filler.process in _WITHOUT_GAS:
        return Entry("shielding gas", _NONE, "computed", "a covered electrode makes its own")
    said = [job.facts[key] for key in ("filler.gas", "filler.gas_flow") if key in job.facts]
    if said:
        return Entry("shielding gas", clean(", ".join(said)), "given", key="filler.gas")
    usual = usual_gas(job.filler.process)
    why = f"usual: {usual.values['gas']}; write filler.gas and filler.gas_flow"
    return Entry("shielding gas", "not said", "default", why, "filler.gas", by(usual))
