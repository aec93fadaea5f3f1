"""The first page: weld, braze, stitch, bolt or replace?

Every question that comes before a plan, with the job file's answer; what stops the plan and
who is to be asked; then the other ways, none of which the program can pace. It is made
for a job with stops as for any other.
"""

from __future__ import annotations

from collections.abc import Iterator

from pacer.job.file.fill import THIN_WALL_M
from pacer.job.job import Job
from pacer.job.metal.doubts import against_metal
from pacer.job.plan import Plan
from pacer.job.sheet.making import by, entry, quoted, sentence, told
from pacer.job.sheet.records import Line, Step
from pacer.job.stops import Question, Stop, questions, stops
from pacer.text import clean
from pacer.trade.rows import row
from pacer.units import Shown

_SPOILT = {"part.metal", "part.iron"}
"Stops for which no heat and no drilling along the crack is advised: white, burnt or grown iron."


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return the page's lines; nothing of the plan's counts is needed for them."""
    stopped = stops_of(job)
    by_key = {stop.key: stop for stop in stopped}
    asked = [q for q in questions() if not (q.hot_only and job.method == "cold")]
    answers = [
        line
        for question in asked
        for line in (*_answer(question, by_key, job, shown), *_contradicted(question, job))
    ]
    return (*answers, _verdict(stopped, against_metal(job)), *_others(job, shown, by_key))


def stops_of(job: Job) -> tuple[Stop, ...]:
    """Return what stops this job, read with `stops=False`; nothing for any other."""
    return stops(job.part.metal, job.part.service, job.method, job.facts)


def _answer(question: Question, stopped: dict[str, Stop], job: Job, shown: Shown) -> Iterator[Line]:
    key = question.key
    if (stop := stopped.get(key)) is not None:
        yield Step(
            f"{question.label.capitalize()}: {stop.found}. {sentence(stop.why)} "
            f"Ask {stop.ask}. Instead: {stop.instead}.",
            quoted(stop.source),
            "stop",
        )
        return
    own = {"part.metal": job.part.metal, "part.service": job.part.service}
    answer = own.get(key, job.facts.get(key))
    # A default is nobody's answer: not on the one page that decides whether to weld at all.
    silent = answer is None or job.origin.get(key, "given").startswith("default")
    if silent or answer == "unknown":
        said = "Unknown" if answer == "unknown" else "Not said"
        taken = "" if answer in (None, "unknown") else f", taken as {answer}"
        yield Step(
            f"{question.asks} {said}{taken} ({key}): {question.find_out}. "
            f"Stops the plan: {', '.join(_quoted(answer) for answer in question.stops)}.",
            mark="decide",
        )
        return
    yield entry(job, key, question.label, clean(str(answer)))
    if key == "part.metal" and job.part.metal == "malleable iron":
        yield told(row("preheat", "W11"), "decide", shown)


def _contradicted(question: Question, job: Job) -> Iterator[Step]:
    """Yield what the shop tests say against the metal, beside a stop of it too."""
    if question.key == "part.metal":
        for said in against_metal(job):
            yield Step(f"Metal: {said}. Settle it first: pacer identify.", mark="decide")


def _quoted(word: str) -> str:
    return f'"{word}"'


def _verdict(stopped: tuple[Stop, ...], against: tuple[str, ...]) -> Step:
    if stopped:
        return Step(
            "No plan as the job file stands. Ask first; below is what else could be done.",
            mark="stop",
        )
    if against:
        return Step(
            "The shop tests don't settle the metal: settle it before you decide to weld. Nothing else "
            "that was said stops a plan for arc welding; that is no promise that the repair holds.",
            mark="decide",
        )
    return Step(
        "Nothing that was said stops a plan for arc welding. "
        "That is no promise that the repair holds."
    )


def _others(job: Job, shown: Shown, stopped: dict[str, Stop]) -> Iterator[Step]:
    if job.part.service == "none":
        # The same ways as the stop itself names: other ones would speak against it.
        if not _SPOILT & set(stopped):
            yield from _mended_otherwise(job, shown)
        yield _bolting()
    else:
        # Naming braze or a plate here would invite to mend what must not fail.
        yield Step(
            "Whether such a part may be mended in any way is for whoever is asked to say.",
            mark="stop",
        )
    yield Step(
        "Replacing: a new or second-hand part. "
        "The honest choice where a failure can hurt someone, or the iron itself is spoilt.",
        by(row("repair", "R19")),
        "not paced",
    )


def _mended_otherwise(job: Job, shown: Shown) -> Iterator[Step]:
    braze, after = row("repair", "R15"), row("repair", "R16")
    yield Step(
        f"Braze welding: the honest choice where the part is thin or dirty, must stay soft, or the "
        f"colour doesn't matter. {_for_braze(job, shown)}",
        by(braze),
        "not paced",
    )
    yield Step(
        "Braze can't follow nickel, nor nickel follow braze: choose once. "
        + _mended_before(job.facts.get("history.earlier_repair")),
        by(after),
        "not paced",
    )
    yield Step(
        "Stitching: a cold mechanical repair, with locks and screws across and along the crack. "
        "The honest choice for oily or very large iron that can still be drilled, "
        "or where no heat is allowed.",
        by(row("repair", "R17")),
        "not paced",
    )


def _bolting() -> Step:
    return Step(
        "Bolting: a plate carries the load past the crack. "
        "The honest choice where there is room for it and sound iron to bolt to.",
        by(row("repair", "R18")),
        "not paced",
    )


def _for_braze(job: Job, shown: Shown) -> str:
    """Say what of this job speaks for braze or against it, as far as it was said."""
    speaks = []
    if job.part.metal == "malleable iron":
        speaks.append("malleable iron (row W11)")
    if job.part.wall_m < THIN_WALL_M:
        least = shown.length_m(THIN_WALL_M)
        speaks.append(
            f"a wall of {shown.length_m(job.part.wall_m)} is thin (under {least}, our choice)"
        )
    if job.facts.get("part.oil") == "burns out":
        speaks.append("the iron is oily")
    if job.facts.get("filler.machined_after") == "yes":
        speaks.append("it is to be machined, so it must stay soft")
    if job.facts.get("filler.colour_matters") == "no":
        speaks.append("the colour doesn't matter")
    against = "its colour matters" if job.facts.get("filler.colour_matters") == "yes" else ""
    if not speaks and not against:
        return "Nothing that was said speaks for it here."
    told_for = f"Here speaks for it: {'; '.join(speaks)}." if speaks else ""
    return f"{told_for} {f'Against it: {against}.' if against else ''}".strip()


def _mended_before(repair: str | None) -> str:
    if repair is None:
        return "Whether it was mended before is not said (history.earlier_repair)."
    return f"Mended before: {clean(repair)}."
