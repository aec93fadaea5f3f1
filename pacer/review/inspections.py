"""The looks at a finished repair, in words and as JSON; never as a verdict on the part."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from pacer.job.job import Job
from pacer.job.penetrant import Dwell, Refused, dwell, outside, usual_s
from pacer.job.proof import NO_RATING, bending_stress_pa, beside, round_bending_stress_pa
from pacer.review.moments import utc
from pacer.session.events import Inspection
from pacer.session.inspection import Imperfection, Penetrant, Proof
from pacer.text import clean
from pacer.trade.rows import Row, load, row
from pacer.units import Shown

_SHA_SHOWN = 12


def inspection_lines(inspection: Inspection, job: Job, shown: Shown) -> Iterator[str]:
    """Yield a look without its date: what it found, each imperfection, what goes with it."""
    yield _head(inspection, shown)
    for found in inspection.imperfections:
        yield f"- {imperfection_words(found, shown)}"
    yield from _remarks(inspection, job, shown)


def dated_lines(inspection: Inspection, job: Job, shown: Shown) -> Iterator[str]:
    """Yield the same with the date on which it was written down."""
    first, *rest = inspection_lines(inspection, job, shown)
    yield f"{utc(inspection.wall or '')}  {first}"
    yield from rest


def _head(inspection: Inspection, shown: Shown) -> str:
    by_this = " by this look" if inspection.result == "nothing found" else ""
    photo = ""
    if inspection.photo:
        sha = clean(inspection.photo_sha[:_SHA_SHOWN])
        photo = f"photo {clean(inspection.photo)} (SHA-256 {sha}…)"
    parts = [
        f"{inspection.look}: {inspection.result}{by_this}",
        ", ".join(_particulars(inspection, shown)),
        clean(inspection.text),
        f"by {clean(inspection.by)}" if inspection.by else "",
        photo,
    ]
    return "; ".join(part for part in parts if part)


def _particulars(inspection: Inspection, shown: Shown) -> Iterator[str]:
    if inspection.penetrant is not None:
        yield from _penetrant(inspection.penetrant, shown)
    if inspection.ring:
        yield f"it rang {inspection.ring}"
    if inspection.liquid:
        yield clean(inspection.liquid)
    if inspection.leak_s is not None:
        yield f"stood {shown.duration(inspection.leak_s)}"
    if inspection.opened is not None:
        yield "opened from behind" if inspection.opened else "not opened from behind"
    if inspection.welded is not None:
        yield "welded from behind" if inspection.welded else "not welded from behind"
    if inspection.proof is not None:
        yield from _proof(inspection.proof, shown)


def _penetrant(tested: Penetrant, shown: Shown) -> Iterator[str]:
    if tested.surface_c is not None:
        yield f"surface at {shown.temp_c(tested.surface_c)}"
    if tested.dwell_s is not None:
        yield f"penetrant stood {shown.duration(tested.dwell_s)}"
    if tested.maker_s is not None:
        yield f"its maker's time {shown.duration(tested.maker_s)}"
    if tested.developer_s is not None:
        yield f"looked at {shown.duration(tested.developer_s)} after the developer was dry"
    if tested.product:
        yield f"product {clean(tested.product)}"
    if tested.from_service is not None:
        came_in = "service" if tested.from_service else "the welding"
        yield f"for cracks that came in {came_in}"


def _proof(loaded: Proof, shown: Shown) -> Iterator[str]:
    if loaded.load_n is not None:
        yield f"load {shown.force_n(loaded.load_n)}"
    if loaded.arm_m is not None:
        yield f"arm {shown.length_m(loaded.arm_m)}"
    if loaded.width_m is not None and loaded.height_m is not None:
        yield f"section {shown.length_m(loaded.width_m)} x {shown.length_m(loaded.height_m)}"
    if loaded.diameter_m is not None:
        yield f"round section {shown.length_m(loaded.diameter_m)}"
    if loaded.held_s is not None:
        yield f"held {shown.duration(loaded.held_s)}"
    if loaded.grade:
        yield f"grade {clean(loaded.grade)}"


def imperfection_words(found: Imperfection, shown: Shown) -> str:
    """Return one imperfection: number, name, where, how large.

    A number whose line in the standard nobody saw is marked so: else it reads as the standard's.
    """
    parts = [f"{found.number} {clean(found.name)}{_remembered(found.number)}"]
    if found.bead is not None:
        parts.append(f"at bead {found.bead}")
    if found.place:
        parts.append(f"at {clean(found.place)}")
    if found.size_m is not None:
        parts.append(shown.length_m(found.size_m))
    return ", ".join(parts)


def _remembered(number: int) -> str:
    for fact in load("imperfections"):
        if fact.id == str(number) and fact.status == "from memory":
            return f" (ISO number {fact.seen})"
    return ""


def _remarks(inspection: Inspection, job: Job, shown: Shown) -> Iterator[str]:
    """Yield what the trade's facts say beside the figures of a look, each with its source."""
    if inspection.penetrant is not None:
        yield from penetrant_remarks(inspection.penetrant, shown)
    if inspection.proof is not None:
        stress_pa = stress(inspection.proof)
        if stress_pa is not None:
            yield from beside(stress_pa, clean(inspection.proof.grade), shown, _wall_m(job))
        else:
            yield NO_RATING


def _wall_m(job: Job) -> float | None:
    """Return the wall at the joint, m, where somebody said it: a default is no measurement."""
    return None if job.origin.get("part.wall", "").startswith("default") else job.part.wall_m


def told_dwell(tested: Penetrant) -> Dwell | Refused | None:
    """Return how long the penetrant had to stand; None where the surface is not known.

    Where the maker's time isn't, it is taken to be the least there is (row N01).
    """
    if tested.surface_c is None:
        return None
    base_s = tested.maker_s or usual_s()[0]
    return dwell(base_s, tested.surface_c, service_crack=bool(tested.from_service))


def penetrant_remarks(tested: Penetrant, shown: Shown) -> Iterator[str]:
    """Yield what is published on dwell and developer beside what was done."""
    told = told_dwell(tested)
    if isinstance(told, Refused):
        yield told.told(shown)
    elif told is not None:
        yield dwell_words(tested, told, shown)
    yield from _beyond(tested, shown)
    for fact in outside(tested.surface_c) if tested.surface_c is not None else ():
        yield f"outside of what another source has: {fact.told}"
    if tested.developer_s is not None:
        for fact in (row("penetrant", "N06"), row("penetrant", "N07")):
            least_s, most_s = fact.values["developer_s"]
            if not least_s <= tested.developer_s <= most_s:
                yield f"looked at outside of {developer_span(fact)} ({fact.source}; {fact.seen})"


def _beyond(tested: Penetrant, shown: Shown) -> Iterator[str]:
    """Yield which times are outside of row N01; too short a stand is told by `dwell_words`."""
    least_s, longest_s = usual_s()
    fact = row("penetrant", "N01")
    span = f"{shown.duration(least_s)} to {shown.duration(longest_s)}"
    by = f"outside of {span} ({fact.source}; {fact.seen})"
    if tested.maker_s is not None and not least_s <= tested.maker_s <= longest_s:
        yield f"the maker's time of {shown.duration(tested.maker_s)} is {by}"
    if tested.dwell_s is not None and tested.dwell_s > longest_s:
        yield f"{shown.duration(tested.dwell_s)} on the part is {by}"


def developer_span(fact: Row) -> str:
    """Return when to look, after the developer is dry: `10 to 30 min`."""
    least_s, most_s = fact.values["developer_s"]
    return f"{least_s / 60:.0f} to {most_s / 60:.0f} min"


def dwell_words(tested: Penetrant, told: Dwell, shown: Shown) -> str:
    """Return the least time told for a surface, whether it stood so long, and by whom."""
    by = "; ".join(f"{fact.source}; {fact.seen}" for fact in told.rows[-1:])
    unsaid = "" if tested.maker_s else "with a maker's time of 5 min, the least there is; "
    short = ""
    if tested.dwell_s is not None and tested.dwell_s < told.time_s:
        short = f"; it stood only {shown.duration(tested.dwell_s)}"
    least = shown.duration(told.time_s)
    return f"the penetrant has to stand at least {least}{short} ({unsaid}{by})"


def stress(loaded: Proof) -> float | None:
    """Return the nominal bending stress of a proof load, Pa; None where its figures don't do."""
    if loaded.load_n is None or loaded.arm_m is None:
        return None
    if loaded.width_m and loaded.height_m:
        return bending_stress_pa(loaded.load_n, loaded.arm_m, loaded.width_m, loaded.height_m)
    if loaded.diameter_m:
        return round_bending_stress_pa(loaded.load_n, loaded.arm_m, loaded.diameter_m)
    return None


def inspection_json(inspection: Inspection) -> dict[str, object]:
    """Return a look as the review's JSON has it; what was not said is null."""
    told = told_dwell(inspection.penetrant) if inspection.penetrant is not None else None
    return {
        "look": inspection.look,
        "result": inspection.result,
        "imperfections": [
            {
                "number": found.number,
                "name": clean(found.name),
                "bead": found.bead,
                "place": clean(found.place) or None,
                "size_m": found.size_m,
            }
            for found in inspection.imperfections
        ],
        "penetrant": _part(
            inspection.penetrant, told_dwell_s=told.time_s if isinstance(told, Dwell) else None
        ),
        "ring": inspection.ring,
        "leak_s": inspection.leak_s,
        "liquid": clean(inspection.liquid) or None,
        "opened": inspection.opened,
        "welded": inspection.welded,
        "proof": _part(
            inspection.proof,
            nominal_stress_pa=stress(inspection.proof) if inspection.proof else None,
        ),
        "text": clean(inspection.text),
        "by": clean(inspection.by) or None,
        "photo": clean(inspection.photo) or None,
        "photo_sha256": clean(inspection.photo_sha) or None,
        "wall": inspection.wall,
    }


def _part(part: Penetrant | Proof | None, **computed: float | None) -> dict[str, object] | None:
    if part is None:
        return None
    members = {
        name: (clean(value) or None) if isinstance(value, str) else value
        for name, value in msgspec.structs.asdict(part).items()
    }
    return {**members, **computed}
