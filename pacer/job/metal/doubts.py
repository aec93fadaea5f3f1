"""What a job's own shop tests say against its metal, for its plan and its run.

In full lines for the plan; and in a few words for what is read at arm's length: the bench
card, and the list before the first flame. What white iron is likely for stops the job
(`stops.py`) and isn't told again here.
"""

from __future__ import annotations

from collections.abc import Iterator

from pacer.job.job import Job
from pacer.job.metal.answers import LEFT
from pacer.job.metal.into_job import NONE_LEFT
from pacer.job.metal.shop_tests import answers_of
from pacer.job.metal.standing import Standing, answers_told, left_of, standings
from pacer.job.metal.told import contradiction_lines
from pacer.job.metal.white import rim_told, white_likely, white_told
from pacer.text import clean


def contradicts(job: Job) -> list[str]:
    """Return lines where the shop tests in a job file speak against its metal, or aren't known."""
    given = {
        key.removeprefix("tests."): word
        for key, word in job.facts.items()
        if key.startswith("tests.") and key != f"tests.{LEFT}"
    }
    answers = answers_of(job.facts)
    lines = [
        f'tests.{name}: "{clean(word, 60)}" is no answer of this test and says nothing; '
        "pacer identify asks them"
        for name, word in given.items()
        if name not in answers
    ]
    lines += [f"part.metal: {said}" for said in against_metal(job)]
    found = standings(answers)
    if not white_likely(found) and (said := white_told(found)):
        lines.append(f"tests: {said}")
    if said := rim_told(answers):
        lines.append(f"tests: {said}")
    return [*lines, *_left_otherwise(job, found)]


def against_metal(job: Job) -> tuple[str, ...]:
    """Return what the shop tests say against the metal that the job has, with the answers.

    Of an unknown metal: that no metal fits them all.
    """
    metal, answers = job.part.metal, answers_of(job.facts)
    if not answers:
        return ()
    found = standings(answers)
    if metal == "unknown":
        said = "unknown, and no metal fits all answers of the shop tests"
        return (said,) if contradiction_lines(found) else ()
    own = next(one for one in found if one.metal == metal)
    if own.state == "open":
        return ()
    says = "shop tests rule it out" if own.state == "ruled out" else _doubt(own)
    return (f"{metal}, but {says}: {answers_told(own.against)}",)


def in_few_words(job: Job) -> tuple[str, ...]:
    """Return what is to be settled about the metal before any heat, at most 60 characters each."""
    return tuple(_few_words(job))


def _few_words(job: Job) -> Iterator[str]:
    metal, answers = job.part.metal, answers_of(job.facts)
    if metal == "unknown":
        yield "Metal unknown: find it out by shop tests"
        if against_metal(job):
            yield "Shop tests contradict each other: settle it first"
    elif against_metal(job):
        yield f"Metal: settle it, shop tests contradict '{metal}'"
    if metal == "malleable iron":
        yield "Malleable iron: braze it (row W11)"
    if answers and white_told(standings(answers)):
        yield "Signs of white iron: test below the skin at the weld"
    if rim_told(answers):
        yield "White rim: grind it away at the weld, test below it"


def _doubt(own: Standing) -> str:
    return "a shop test doubts it" if len(own.against) == 1 else "shop tests doubt it"


def _left_otherwise(job: Job, found: tuple[Standing, ...]) -> list[str]:
    """Return the line about a `tests.left` that isn't what the answers leave."""
    said, left = job.facts.get(f"tests.{LEFT}"), left_of(found)
    if said is None or {metal.strip() for metal in said.casefold().split(",")} == {*left}:
        return []
    names = ", ".join(left) or NONE_LEFT
    if said == names:
        return []
    return [
        f'tests.{LEFT}: "{clean(said, 100)}", but the answers in the file leave {names}; '
        "pacer identify writes it anew"
    ]
