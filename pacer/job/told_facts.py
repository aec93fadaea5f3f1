"""Facts of a job that only the record needs: their names, and the plan's lines about them."""

from __future__ import annotations

from pacer.job.file.keys import keys
from pacer.job.job import Job
from pacer.text import clean

_SAID_BY_ITSELF = frozenset({"history", "joint"})
"Tables whose keys say without it what they are about."


def fact_label(name: str) -> str:
    """Return a fact's key in words; a key that a later version knows is taken as it is.

    >>> fact_label("history.earlier_repair"), fact_label("filler.gas_flow")
    ('earlier repair', 'filler gas flow')
    """
    section, _, word = clean(name, 60).partition(".")
    words = word.replace("_", " ")
    return words if section in _SAID_BY_ITSELF and words else f"{section} {words}".strip()


def fact_lines(job: Job) -> list[str]:
    """Return a line for each fact that was given, then what was not said, in a sentence."""
    lines = [f"{fact_label(name):<20} {clean(text)}" for name, text in job.facts.items()]
    missing = [
        fact_label(key.name) for key in keys().values() if key.fact and key.name not in job.facts
    ]
    if missing:
        lines.append(f"not said: {', '.join(missing)} (keys: pacer guide job-file)")
    return lines
