"""What only the record needs: facts of the job file, and the names of those nobody gave."""

from __future__ import annotations

from pacer.job.file.keys import keys
from pacer.job.job import Job
from pacer.job.plan import Plan
from pacer.job.sheet.making import fact
from pacer.job.sheet.records import Line, Step
from pacer.text import clean
from pacer.units import Shown

_SAID_BY_ITSELF = frozenset({"history", "job", "joint", "part", "tests"})
"Tables whose keys say without it what they are about."
_DECIDE = frozenset(
    {
        "history.load",
        "heating.even",
        "job.shop",
        "joint.penetrant",
        "joint.position",
        "filler.machined_after",
        "filler.joined_to_steel",
        "filler.colour_matters",
        "sensor.face",
        "sensor.fixing",
    }
)
"Facts that decide something in another section; so do all of the part and its tests."


def fact_label(name: str) -> str:
    """Return a fact's key in words; a key that a later version knows is taken as it is.

    >>> fact_label("history.earlier_repair"), fact_label("filler.gas_flow")
    ('earlier repair', 'filler gas flow')
    """
    section, _, word = clean(name, 60).partition(".")
    words = word.replace("_", " ")
    return words if section in _SAID_BY_ITSELF and words else f"{section} {words}".strip()


def recorded() -> tuple[str, ...]:
    """Return the keys of facts that only the record needs, in the order of the guide."""
    return tuple(
        name
        for name, key in keys().items()
        if key.fact and key.section not in ("part", "tests") and name not in _DECIDE
    )


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return each fact that was given, then what was not said, in a sentence."""
    known = [fact(job, name, fact_label(name)) for name in recorded()]
    given: list[Line] = [line for line in known if line is not None]
    missing = [fact_label(name) for name in recorded() if name not in job.facts]
    if missing:
        given.append(Step(f"not said: {', '.join(missing)} (keys: pacer guide job-file)"))
    return tuple(given)
