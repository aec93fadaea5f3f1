"""What is done before any heat, in the order it is done.

The order matters: the crack's ends are found before anything smears over them, and the stop
holes are drilled before the first flame, for a crack runs on when it is heated.
"""

from __future__ import annotations

from collections.abc import Iterator

from pacer.job.job import Job
from pacer.job.plan import Plan
from pacer.job.sheet.making import PRACTICE, by, told
from pacer.job.sheet.records import Line, Step
from pacer.job.sheet.sections.ends import stop_holes, true_ends
from pacer.text import clean
from pacer.trade.rows import row
from pacer.units import Shown

POISON = ("lead", "zinc", "cadmium", "chromium")
"Coatings whose fume is poison."


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return the steps with what the job file says to each."""
    return (
        _cause(job),
        Step(
            "Mark how it bolts down and aligns: punch marks across the joint, "
            "a sketch or a picture.",
            PRACTICE,
            "do",
        ),
        *_degreasing(),
        *true_ends(job, shown),
        *stop_holes(job, shown),
        *_hollow(job),
        *_earlier_repair(job),
        *_groove(job, shown),
        *_surface(job, shown),
        *_oil(job, shown),
        *_dry(job, shown),
        Step(
            "Lay a trial bead and grind it back, again until it comes out clean.",
            by(row("repair", "R07")),
            "do",
        ),
    )


def _cause(job: Job) -> Step:
    cause, load = job.facts.get("history.cause"), job.facts.get("history.load")
    why = f"What broke it: {clean(cause)}." if cause else "Not said (history.cause)."
    change = (
        f"The load that broke it: {load}." if load else "What will change: not said (history.load)."
    )
    return Step(
        "Find out why it broke (overload, misfit, vibration, frost, old repair) and what will "
        f"change. {why} {change}",
        mark="do",
    )


def _degreasing() -> Iterator[Step]:
    yield Step("Degrease, then brush: a brush spreads what is left.", PRACTICE, "do")
    yield Step(
        "No chlorinated solvent: arc and flame make poison gas of it. Any other is dry and out of "
        "the room before any flame or arc.",
        by(row("cautions", "solvent")) + by(row("cautions", "flammable solvent")),
    )


def _mm(length_mm: float, shown: Shown) -> str:
    return shown.length_m(length_mm / 1000.0)


def _hollow(job: Job) -> Iterator[Step]:
    rule, said = by(row("cautions", "hollow")), job.facts.get("part.hollow")
    if said == "none":
        return
    if said == "vented":
        yield Step("Hollow spaces: vented. Check that the vents are open and dry.", rule, "do")
        return
    known = f"Hollow spaces: {said}." if said else "Hollow spaces are not said (part.hollow)."
    yield Step(
        f"{known} Vent every closed one before any heat: cores, jackets.",
        rule,
        "do",
    )
    yield Step(
        "A blind hole, a blind stop hole too, is a closed space: heated shut it can burst.",
        by(row("cautions", "trapped")),
    )


def _earlier_repair(job: Job) -> Iterator[Step]:
    said = job.facts.get("history.earlier_repair")
    known = f"Mended before: {clean(said)}." if said else "Mended before: not said."
    yield Step(
        f"Earlier braze, solder or glue comes out completely. {known}",
        by(row("repair", "R05")),
        "do",
    )


def _groove(job: Job, shown: Shown) -> Iterator[Step]:
    joint = job.joint
    if joint.preparation == "fillet weld":
        text = "Clean the corner to sound metal."
    else:
        deep = shown.length_m(joint.depth_m)
        angle = f", {joint.angle_deg:g} deg" if joint.angle_deg else ""
        text = f"Groove to sound metal: {joint.preparation}{angle}, {deep} deep. No sharp root."
    yield Step(text, PRACTICE, "do")
    yield told(row("repair", "R03"), shown=shown)
    yield told(row("repair", "R03b"), shown=shown)


def _surface(job: Job, shown: Shown) -> Iterator[Step]:
    bare = row("repair", "R04")
    low, high = (_mm(length_mm, shown) for length_mm in bare.values["clean_mm"])
    yield Step(
        f"Casting skin, paint and rust off for {low} to {high} on each side of the joint, front "
        "and back.",
        by(bare),
        "do",
    )
    coating, rule = job.facts.get("part.coating"), by(row("cautions", "coating"))
    if coating in POISON:
        yield Step(
            f"The coating is {coating}: all of it off before any heat, wet or with extraction, "
            "never burnt off. Its fume is poison.",
            rule,
            "do",
        )
    elif coating in (None, "unknown"):
        yield Step(
            "What coats it is not known (part.coating): lead, zinc, cadmium and chromium come off "
            "before any heat. Find out.",
            rule,
            "decide",
        )


def _oil(job: Job, shown: Shown) -> Iterator[Step]:
    page, shop = row("repair", "R01"), row("repair", "R01b")
    oil, how = job.facts.get("part.oil"), job.facts.get("history.oil")
    done = f" Noted: {clean(how)}." if how else ""
    cure = (
        "heat slowly until the smoking stops, cool, wipe, and again. A separate heat, not the "
        "preheat"
    )
    if oil == "none seen":
        yield Step(f"No oil seen.{done} If it smokes when heated: {cure}.", by(shop))
    else:
        known = "Oil in the iron" if oil else "If the iron is oily"
        yield Step(f"{known}: {cure}. If it never stops: no weld.{done}", by(shop), "do")
    at, time = shown.temp_c(page.values["temp_c"]), shown.duration(page.values["hold_s"])
    yield Step(
        f"Another way: swab it with paraffin, then about {at} for about {time}. What was swabbed "
        "on is dried off before any flame.",
        by(page) + by(row("cautions", "oil smoke")),
    )
    yield told(row("repair", "R02"))


def _dry(job: Job, shown: Shown) -> Iterator[Step]:
    if job.method == "hot":
        return
    least = row("repair", "R13")
    low, high = (shown.temp_c(temp_c) for temp_c in least.values["least_c"])
    cold = job.cooldown.ambient_c < least.values["least_c"][0]
    text = f"The part is dry and not below {low} to {high}."
    yield Step(text, by(least), "decide" if cold else "do")
