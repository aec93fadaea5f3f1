"""The part: mass, size, wall, metal with the shop tests behind it, and what state it is in."""

from __future__ import annotations

from pacer.job.file.keys import keys
from pacer.job.job import Job
from pacer.job.metal.identified import identified
from pacer.job.metal.shop_tests import Answer, meant, shop_test
from pacer.job.plan import Plan
from pacer.job.sheet.making import entry, fact, said_by
from pacer.job.sheet.records import Entry, Line, Step
from pacer.job.sheet.sections.for_the_record import fact_label
from pacer.text import clean
from pacer.units import Shown

_LEFT = "tests.left"
_RULE = (
    "what the answers in the job file leave; two tests must speak against a metal to rule it out: "
    "common practice, no source. Shop tests are no proof"
)


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return what is welded; what nobody has said of it is named, in one sentence."""
    part = job.part
    size = " x ".join(shown.length_m(side) for side in part.size_m) if part.size_m else "unknown"
    return (
        entry(job, "part.metal", "metal", part.metal),
        *_tests(job),
        entry(job, "part.mass", "mass", shown.mass_kg(part.mass_kg)),
        entry(job, "part.size", "overall size", size),
        entry(job, "part.wall", "wall", shown.length_m(part.wall_m)),
        entry(job, "part.service", "service", part.service),
        *_condition(job),
    )


def _tests(job: Job) -> list[Line]:
    """The answers that the job file holds, what each speaks for, and what they leave together."""
    answers = {
        name.removeprefix("tests."): text
        for name, text in job.facts.items()
        if name.startswith("tests.") and name != _LEFT
    }
    if not answers:
        return [
            Step(
                "No shop test stands in the job file, so the metal is only what it says: "
                "pacer identify asks the tests one by one."
            )
        ]
    known = {name: _known(name, text) for name, text in answers.items()}
    found = identified({name: answer.word for name, answer in known.items() if answer})
    lines: list[Line] = [_answer(name, text, known[name]) for name, text in answers.items()]
    if (left := fact(job, _LEFT, "the tests left")) is not None:
        lines.append(left)
    lines.append(Entry("not ruled out", ", ".join(found.left) or "none", "computed", _RULE))
    return [*lines, *(Step(line, mark="decide") for line in found.contradictions)]


def _known(name: str, text: str) -> Answer | None:
    test = shop_test(name)
    return meant(test, text) if test is not None else None


def _answer(name: str, text: str, answer: Answer | None) -> Entry:
    key, label = f"tests.{name}", f"test: {name.replace('_', ' ')}"
    if answer is None:
        return Entry(label, clean(text), "given", "no answer of pacer identify", key)
    speaks = [f"for {', '.join(answer.fits)}"] if answer.fits else []
    speaks += [f"against {', '.join(answer.against)}"] if answer.against else []
    said = f"speaks {'; '.join(speaks)}" if speaks else "says nothing"
    who = (said_by(answer.source, answer.status),)
    return Entry(label, clean(text), "given", said, key, who)


def _condition(job: Job) -> list[Line]:
    """Iron, oil, hollow spaces, coating, grade, phosphorus: given, or named as not said."""
    names = [name for name, key in keys().items() if key.fact and key.section == "part"]
    lines: list[Line] = []
    for name in names:
        given = fact(job, name, fact_label(name))
        if given is not None:
            lines.append(given)
    missing = [fact_label(name) for name in names if name not in job.facts]
    if missing:
        lines.append(Step(f"Not said of the part: {', '.join(missing)}."))
    return lines
