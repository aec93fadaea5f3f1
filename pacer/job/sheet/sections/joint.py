"""The joint of the plan: how it is opened, how much is filled, where the stop holes go."""

from __future__ import annotations

from pacer.job.groove import CAP_SHARE, ROOT_RADIUS_M, groove_volume_m3, weld_volume_m3
from pacer.job.job import Job
from pacer.job.layers import coated
from pacer.job.order import way_of
from pacer.job.outline import root_radius_m
from pacer.job.plan import Plan
from pacer.job.sheet.making import PRACTICE, by, entry, published
from pacer.job.sheet.records import Entry, Line, Step
from pacer.job.sheet.sections.filler import kind_of
from pacer.job.sheet.shapes.cross_section import section_drawing
from pacer.trade.rows import Row, row
from pacer.units import Shown, affine

_DENSITIES = {"nickel": "F09a", "nickel-iron": "F09b", "steel": "F09c"}
"Of no other kind is a density known here."


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return preparation and sizes, area and volume, a drawing, and the ends of the joint."""
    return (
        *_sizes(job, shown),
        *_filled(made, job, shown),
        section_drawing(job, shown),
        *_ends(job, shown),
    )


def area(area_m2: float, shown: Shown) -> str:
    """Return an area of a cross-section in the user's unit, given in m²."""
    if shown.system == "us":
        return f"{area_m2 * affine('m', 'in')[0] ** 2:.3g} in²"
    return f"{area_m2 * 1e6:.3g} mm²"


def volume(volume_m3: float, shown: Shown) -> str:
    """Return a small volume in the user's unit, given in m³."""
    if shown.system == "us":
        return f"{volume_m3 * affine('m', 'in')[0] ** 3:.3g} in³"
    return f"{volume_m3 * 1e6:.3g} cm³"


def density(designation: str) -> Row | None:
    """Return the row with a filler's density by its designation; None where it doesn't tell.

    >>> [found.id if (found := density(name)) else "" for name in ("ENiFe-CI", "ERNi-1", "ENiCu-B")]
    ['F09b', 'F09a', '']
    """
    known = _DENSITIES.get(kind_of(designation))
    return None if known is None else row("fillers", known)


def _sizes(job: Job, shown: Shown) -> list[Line]:
    joint = job.joint
    fillet = joint.preparation == "fillet weld"
    found: list[Line] = [
        entry(job, "joint.preparation", "preparation", joint.preparation),
        entry(job, "joint.crack_length", "length", shown.length_m(joint.crack_length_m)),
        entry(job, "joint.angle", "angle", f"{joint.angle_deg:g} deg"),
        entry(job, "joint.depth", "leg" if fillet else "depth", shown.length_m(joint.depth_m)),
        entry(job, "joint.root_face", "root face", shown.length_m(joint.root_face_m)),
        entry(job, "joint.gap", "gap", shown.length_m(joint.gap_m)),
        entry(job, "joint.butter", "faces coated first", _coat(job)),
    ]
    if joint.preparation == "U":
        radius = shown.length_m(root_radius_m(joint.depth_m))
        why = f"{shown.length_m(ROOT_RADIUS_M)}, or half the depth if less: {PRACTICE[0].told}"
        found.append(Entry("root radius", radius, "default", why))
    if joint.preparation == "double-V":
        text = f"Half of the depth, {shown.length_m(joint.depth_m / 2.0)}, is opened from each side"
        found.append(Step(f"{text}; the root face stands in the middle of the wall."))
    return found


def _coat(job: Job) -> str:
    if not job.joint.butter:
        return "no"
    return "yes" if coated(job) else "asked for, too few runs: see Beads"


def _filled(made: Plan, job: Job, shown: Shown) -> list[Line]:
    joint, weld_m3 = job.joint, weld_volume_m3(job.joint)
    between = ", the gap between the root faces" if joint.gap_m * joint.root_face_m > 0.0 else ""
    found: list[Line] = [
        Entry("groove", area(made.groove_m2, shown), "computed", "its cross-section, without cap"),
        Entry(
            "groove volume",
            volume(groove_volume_m3(joint), shown),
            "computed",
            "cross-section times length, without cap; the root face is not cut",
        ),
        Entry(
            "weld metal",
            volume(weld_m3, shown),
            "computed",
            f"groove{between} and a cap of {CAP_SHARE:.0%} of it ({PRACTICE[0].told})",
        ),
    ]
    known = density(job.filler.designation)
    if known is not None:
        mass = shown.mass_kg(weld_m3 * known.values["rho_kg_m3"])
        why = "weld metal times density, without stubs and spatter"
        found.append(Entry("weight of it", mass, "computed", why, sources=by(known)))
    return found


def _ends(job: Job, shown: Shown) -> tuple[Line, ...]:
    """Stop holes where an end lies in the wall: the sources differ, so each is shown."""
    if job.joint.repair == "patch":
        return (
            Step("The hole and its patch have rounded corners: no end, no stop hole.", PRACTICE),
        )
    if way_of(job) == "outward":
        return (Step("Both ends are at an edge: no stop hole.", PRACTICE),)
    bare, craft, longer, steel = (row("crack_ends", name) for name in ("N10", "N11", "N12", "N09"))
    which = "each end" if way_of(job) == "inward" else "the blind end"
    hole, deep, largest = (
        shown.length_m(craft.values[name] / 1e3) for name in ("hole_mm", "beyond_mm", "largest_mm")
    )
    asked = "joint.stop_holes" in job.facts
    return (
        Step(
            f"A stop hole beyond {which}, drilled through. How wide and how far: sources differ, "
            "choose.",
            PRACTICE,
            "say" if asked else "decide",
        ),
        published(bare, "stop hole", f"{shown.length_m(bare.values['hole_mm'] / 1e3)}, just past"),
        published(craft, "or, on aircraft", f"{hole}, {deep} past"),
        Step(
            f"On aircraft it is looked at again and opened to {largest}; a temporary measure there, "
            "no repair.",
            by(craft),
        ),
        Step("A hole there blunts the crack's tip.", by(longer)),
        published(
            steel,
            "steel: sound metal",
            shown.length_m(steel.values["beyond_mm"] / 1e3),
            "cut out beyond each end with the crack; no such figure was found for iron",
        ),
    )
