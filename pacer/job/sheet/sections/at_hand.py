"""What has to lie ready before anything is heated or welded, in the order it is used.

The same short lines, after those of the preparation, are confirmed in one press when a
session begins.
"""

from __future__ import annotations

from collections.abc import Iterator

from pacer.job.cover import amount
from pacer.job.job import Job
from pacer.job.metal.doubts import in_few_words
from pacer.job.plan import Plan, rods_for
from pacer.job.shade import shade, shade_row
from pacer.job.sheet.making import PRACTICE, by
from pacer.job.sheet.records import Line, Source, Sources, Step
from pacer.job.sheet.sections.cautions import calls
from pacer.job.sheet.sections.ends import has_ends
from pacer.job.sheet.sections.preparation import POISON
from pacer.text import clean
from pacer.trade.fillers import may_hold
from pacer.trade.rows import row
from pacer.units import Shown

LONGEST = 60
"Characters of one item: it is read at arm's length."
_COMPUTED: Sources = (Source("computed, see the forecasts"),)
Item = tuple[str, Sources]


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return the items as steps to be ticked off, with the source of those that have one."""
    return tuple(Step(text, sources, "do") for text, sources in _items(job, shown))


def items(job: Job, shown: Shown | None = None) -> tuple[str, ...]:
    """Return what has to lie ready, an item a line of at most `LONGEST` characters."""
    return tuple(text for text, _ in _items(job, shown or Shown()))


def prepared(job: Job) -> tuple[str, ...]:
    """Return the preparation as short lines to be confirmed, 60 characters at most."""
    facts, crack = job.facts, job.joint.repair == "crack"
    said = [
        *in_few_words(job),
        "Why it broke is known, and what will be changed",
        "Marked how it bolts down and aligns",
        "Degreased, then brushed; no solvent left in the room",
        "True ends found with penetrant, all of it cleaned off"
        if crack
        else "Cracks that run on looked for, penetrant cleaned off",
        *(["Stop holes drilled beyond the true ends"] if has_ends(job) else []),
        *(["Closed hollow spaces vented"] if facts.get("part.hollow") != "none" else []),
        *(["Poisonous coating off"] if facts.get("part.coating") in POISON else []),
        *(["Sharp corners of the patch rounded"] if job.joint.repair == "patch" else []),
        "Grooved to sound metal, no sharp root, no old repair",
        "Skin, paint and rust off each side, front and back",
        *(["Oil burnt out, cooled, wiped"] if facts.get("part.oil") != "none seen" else []),
        *(["Dry, and not cold (the plan has the figure)"] if job.method == "cold" else []),
        "Trial bead ground back clean",
    ]
    return tuple(said)


def _items(job: Job, shown: Shown) -> Iterator[Item]:
    hot = job.method == "hot"
    for text, sources in (
        *_measuring(job),
        ("Fire extinguisher", by(row("cautions", "extinguisher"))),
        ("Somebody for the fire watch", by(row("cautions", "fire watch"))),
        *_heating(job),
        *_holding(job),
        *_welding(job, shown),
        *_peening(job),
        _gloves(hot=hot),
        *_burying(job, shown),
        *(() if hot else (("No fan, no water near the part", by(row("preheat", "W18"))),)),
    ):
        yield text if len(text) <= LONGEST else text[: LONGEST - 1] + "…", sources


def _measuring(job: Job) -> Iterator[Item]:
    yield "Probe fixed and read, a spare for it", PRACTICE
    if job.sensor.url.startswith("hand"):
        yield "Thermometer or crayons for the readings typed by hand", PRACTICE
    elif job.heating.points > 1 and job.method == "hot":
        yield "Crayon or second thermometer: thick, far and back", PRACTICE
    yield "Work clamp near the joint, on bare metal", PRACTICE


def _heating(job: Job) -> Iterator[Item]:
    if job.method == "hot":
        yield f"Heat: {job.heating.source}, with fuel for reheats too", PRACTICE
    # A cold job has a flame too where oil is burnt out.
    if "gas" in calls(job):
        yield "Carbon monoxide alarm, doors open", by(row("cautions", "monoxide"))


def _holding(job: Job) -> Iterator[Item]:
    joint = job.joint
    if joint.tack != "none" or joint.repair != "crack" or "joint.clamps" in job.facts:
        yield "Clamps, and something flat to clamp to", PRACTICE
    if joint.tack != "none":
        yield "Grinder for tacks that crack", PRACTICE
    if joint.access == "both sides":
        yield "Stand for the part when it is turned over; grinder", PRACTICE


def _welding(job: Job, shown: Shown) -> Iterator[Item]:
    filler, (rods, rods_range, wire_m) = job.filler, rods_for(job)
    what = f"{clean(filler.designation, 24)} {shown.stock_m(filler.diameter_m)}"
    if rods:
        most = round(rods_range.high or rods)
        rod = "rod" if most == 1 else "rods"
        yield f"Filler: {most} {rod} of {what}", _COMPUTED
    else:
        yield f"Filler: {shown.length_m(wire_m)} of {what}", _COMPUTED
    if filler.process == "111":
        yield "Rods dried as their packet says", PRACTICE
    else:
        yield "Shielding gas enough, its flow set, no draught", PRACTICE
    if filler.process == "141":
        yield "Tungsten ground, a spare one", PRACTICE
    try:
        number = shade(filler.process, filler.current_a)
        yield f"Welding helmet, shade {number} or darker", by(shade_row(filler.process))
    except ValueError:
        yield "Welding helmet, its shade by its maker's word", PRACTICE
    nickel = may_hold(filler.designation, "nickel")
    indoors = by(row("cautions", "nickel indoors")) if nickel else ()
    yield "Fume drawn off at the arc", by(row("cautions", "fume")) + indoors
    # Of the processes only a covered stick leaves slag.
    slag = " and slag hammer" if filler.process == "111" else ""
    yield f"Wire brush{slag}", PRACTICE


def _peening(job: Job) -> Iterator[Item]:
    if job.bead.peen_s > 0.0:
        yield "Peening hammer with a rounded tool", by(row("beads", "B10"))
        yield "Eye and ear protection for peening", by(row("cautions", "peening"))


def _gloves(*, hot: bool) -> Item:
    moved = "; tongs; a clear way and a place ready" if hot else ""
    return f"Gloves, dry{moved}", by(row("cautions", "burns"))


def _burying(job: Job, shown: Shown) -> Iterator[Item]:
    cover, needed = job.cooldown.cover, amount(job)
    if needed is not None and needed.area_m2 is None:
        what = f"{shown.volume_m3(needed.medium_m3)} of {cover}"
        dry = "" if cover.startswith("dry") else ", dry"
        if job.method == "hot":
            yield f"Box with {what}{dry}, better warm", by(row("repair", "R21"))
        else:
            yield f"Box with {what}{dry}", by(row("covers", "depth"))
    elif needed is not None:
        thick = shown.length_m(needed.layer_m)
        yield f"Ceramic blanket, {thick} all round, all turns together", PRACTICE
    elif cover == "furnace":
        yield "Furnace free, and at the hold's temperature", PRACTICE
    if needed is not None and cover == "dry sand":
        yield "Respirator for the sand's dust", by(row("cautions", "sand dust"))
    if job.method == "hot":
        yield "Card HOT with the time it ends", PRACTICE
