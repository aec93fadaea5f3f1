"""Entries and steps made from what a job says and what the trade tables hold.

The origin of a value is told in one way everywhere: by the job file's own word for it, or
by how far the source of a trade row was seen.
"""

from __future__ import annotations

from pacer.job.job import Job
from pacer.job.sheet.records import Entry, Mark, Origin, Step
from pacer.text import clean
from pacer.trade.gaps import means, sides
from pacer.trade.rows import Row, row
from pacer.trade.wording import about, reworded
from pacer.units import Shown

PRACTICE = "common practice, no source"
MEMORY = "from memory, no source seen"

_ORIGINS: dict[str, Origin] = {
    "seen in the primary text": "published",
    "seen in a secondary page": "published",
    "calculated": "computed",
    "from memory": "from memory",
    "common practice": "common practice",
}


def by(known: Row) -> str:
    """Return who says a fact and how far that was seen, with the row's name."""
    return f"row {known.id}: {known.source}; {known.seen}"


def entry(job: Job, key: str, label: str, value: str) -> Entry:
    """Return a value of the job with the origin that the reader noted for its key.

    A fact has none noted: it is there because it was given.
    """
    told = job.origin.get(key, "given" if key in job.facts else "computed")
    word, _, why = told.partition(": ")
    origin: Origin = "default" if word == "default" else "given" if word == "given" else "computed"
    return Entry(label, value, origin, why, key)


def fact(job: Job, key: str, label: str) -> Entry | None:
    """Return what the job file says to a key that is for the record, if it says anything."""
    text = job.facts.get(key)
    return None if text is None else Entry(label, clean(text), "given", "", key)


def published(known: Row, label: str, value: str) -> Entry:
    """Return a value of a trade row, shown in the user's units, with its source."""
    return Entry(label, value, _ORIGINS[known.status], by(known))


def told(known: Row, mark: Mark = "say", shown: Shown | None = None) -> Step:
    """Return a trade row in its own words, its quantities in the user's units."""
    return Step(_sentence(about(known, shown or Shown())), by(known), mark)


def disagreeing(row_id: str, shown: Shown) -> tuple[Step, ...]:
    """Return a row of `disagreements`: each side as found, then what follows; no middle."""
    found = row("disagreements", row_id)
    said = (
        Step(
            f"{_sentence(found.about).rstrip('.')}: {reworded(side.says, shown, found.as_published)}.",
            f"row {row_id}: {side.source}; {side.status}",
        )
        for side in sides(found)
    )
    return (*said, Step(reworded(means(found), shown, found.as_published), f"row {row_id}"))


def _sentence(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}."
