"""What kind of repair it is, from which sides, and what holds the pieces meanwhile."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.job.job import Job
from pacer.job.plan import Plan
from pacer.job.sheet.making import MEMORY, PRACTICE, by, entry, fact, told
from pacer.job.sheet.records import Line, Step
from pacer.trade.rows import row
from pacer.units import Shown

_KINDS = {
    "crack": "A crack: the part hangs together. It is opened along its whole length, between its "
    "true ends.",
    "break": "A piece broken off: it is fitted back along the marks, tacked, and welded along the "
    "whole break.",
    "patch": "A piece missing: a patch of the same kind of iron, or of steel, with rounded corners, "
    "welded around its edge from opposite sides in turn.",
}


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return kind, access, tacks and clamps, each with what it asks for."""
    return (
        entry(job, "joint.repair", "repair", job.joint.repair),
        *_kind(job),
        *_fitting(job),
        entry(job, "joint.tack", "tacks", job.joint.tack),
        *_tacks(job),
        entry(job, "joint.access", "access", job.joint.access),
        *_access(job),
        *_loosening(job),
    )


def _kind(job: Job) -> Iterator[Step]:
    kind = job.joint.repair
    yield Step(_KINDS[kind], by(row("repair", "R12")) if kind == "patch" else PRACTICE)
    if kind == "patch":
        yield Step(
            "Sharp corners of a patch crack: round them before anything else, in the patch and in "
            "the hole.",
            by(row("repair", "R12")),
            "do",
        )


def _access(job: Job) -> Iterator[Step]:
    if job.joint.access == "one side":
        yield Step(
            "From one side: the root can't be opened from behind, so it must be right the first "
            "time. Look at the back when it is cold, if it can be seen.",
            PRACTICE,
        )
        return
    turning = row("repair", "R11")
    yield Step(
        "From both sides: turn the part over after the root and after each pair of layers.",
        by(turning),
        "do",
    )
    if job.method == "hot":
        yield Step(
            "Turning a hot part burns: gloves, tongs, a stand ready, the way clear, then turn.",
            PRACTICE,
            "do",
        )
    yield Step(
        "After turning fix the sensor anew: what was learnt of the part's cooling starts again.",
        mark="do",
    )
    yield Step("Grind the back to sound metal before its first run.", by(turning), "do")
    if job.method == "hot":
        cool = row("penetrant", "N14")
        yield Step(
            "Whether the back is sound is seen by eye: penetrant can't be used hot.", by(cool)
        )


def _tacks(job: Job) -> Iterator[Line]:
    tack, loose = job.joint.tack, job.joint.repair != "crack"
    if tack == "none":
        if loose:
            yield Step(
                "A loose piece without tacks: say what holds it until the first beads do "
                "(joint.clamps), or tack it.",
                by(row("repair", "R08")),
                "decide",
            )
        else:
            yield Step("A crack that doesn't separate needs no tacks.", PRACTICE)
        return
    where = fact(job, "joint.tack_places", "tacks where")
    if where is not None:
        yield where
    else:
        yield Step(
            "Where the tacks stand and how long they are is not said (joint.tack_places): "
            "they are suspects if it cracks.",
            mark="decide",
        )
    if tack == "cold" and job.method == "cold":
        yield Step(
            "Cold tacks are small and may crack. Here the part is never hot, so a tack is welded in "
            "for good and carries the load: as sound as any bead, or ground out.",
            PRACTICE,
        )
    elif tack == "cold":
        yield told(row("repair", "R08"))
    else:
        yield told(row("repair", "R09"))
    if job.method == "hot" and tack == "cold":
        yield Step(
            "After the preheat: look at the tacks. Cracked ones are ground out and made anew, hot.",
            by(row("repair", "R08")),
            "do",
        )
    else:
        yield Step(
            "Look at the tacks before the first bead. Cracked ones are ground out and made anew.",
            by(row("repair", "R08")),
            "do",
        )


def _fitting(job: Job) -> Iterator[Line]:
    fit = "Check it" if job.joint.repair == "crack" else "Fit it to the marks; check it"
    yield Step(f"{fit} where it bolts down, or on a flat.", PRACTICE, "do")
    given = fact(job, "joint.clamps", "clamps")
    if given is not None:
        yield given
    elif _loose(job):
        yield Step("What clamps it is not said (joint.clamps).", mark="decide")
    if job.joint.repair == "patch":
        yield Step(
            "A patch of steel shrinks more than the iron around it when it cools: another reason "
            "for opposite sides in turn and short beads.",
            MEMORY,
        )


def _loosening(job: Job) -> Iterator[Step]:
    if "joint.clamps" in job.facts or _loose(job):
        yield Step(
            "Loosen the clamps before the cool-down, so that the part can shrink.",
            by(row("repair", "R10")),
            "do",
        )


def _loose(job: Job) -> bool:
    """Tell whether something has to be held in its place."""
    return job.joint.repair != "crack" or job.joint.tack != "none"
