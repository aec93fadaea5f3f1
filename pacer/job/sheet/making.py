"""Entries and steps made from what a job says and what the trade tables hold.

The origin of a value is told in one way everywhere: by the job file's own word for it, or
by how far the source of a trade row was seen.
"""

from __future__ import annotations

import re

from pacer.job.job import Job
from pacer.job.sheet.records import Entry, Mark, Origin, Source, Sources, Step
from pacer.text import clean
from pacer.trade.gaps import Side, means, sides
from pacer.trade.rows import STATUSES, Row, row
from pacer.trade.wording import about, reworded
from pacer.units import Shown

PRACTICE: Sources = (Source("common practice, no source"),)
MEMORY: Sources = (Source("from memory, no source seen"),)

_TENTHS_BELOW_S = 100.0
_NOBODY = (
    "(?:said in shops|(?:safe )?shop practice)?,? ?(?:no page found|no page seen|source not seen)"
)
"Words of a row for having no source."
_NO_SOURCE = {
    "common practice": PRACTICE[0].status,
    "from memory": MEMORY[0].status,
}
_ORIGINS: dict[str, Origin] = {
    "seen in the primary text": "published",
    "seen in a secondary page": "published",
    "calculated": "computed",
    "from memory": "from memory",
    "common practice": "common practice",
}


def by(known: Row) -> Sources:
    """Return who says a fact and how far that was seen, with the row's name."""
    return (said_by(known.source, known.seen, known.id),)


def said_by(source: str, seen: str, row_id: str = "") -> Source:
    """Return a source in the tables' words; one that only points to a row is taken as that row's.

    >>> said_by("row W18: a seller's page", "seen in a secondary page", "D03").row
    'D03, W18'
    >>> said_by("no page found", "common practice", "R06").told
    'row R06: common practice, no source'
    """
    found = re.match(r"rows? ([A-Z]\d[^:;]*): ", source)
    rows = [row_id, found[1] if found else ""]
    text = source[found.end() :] if found else source
    told = ", ".join(dict.fromkeys(name for name in rows if name))
    if re.fullmatch(_NOBODY, text):
        return Source(_NO_SOURCE.get(seen, f"{seen}, no source"), row=told)
    return Source(seen, text, told)


def quoted(words: str) -> Sources:
    """Return a source that the program's rules tell in one line; other words stand as they are.

    >>> quoted("row W08: a foundry's page; seen in a secondary page")[0].status
    'seen in a secondary page'
    """
    text, _, seen = words.rpartition("; ")
    known = seen.partition(",")[0] in STATUSES
    return (said_by(text, seen) if known else Source(words),)


def entry(job: Job, key: str, label: str, value: str) -> Entry:
    """Return a value of the job with the origin that the reader noted for its key.

    A fact has none noted: it is there because it was given.
    """
    origin, note = origin_of(job, key)
    return Entry(label, value, origin, note, key)


def origin_of(job: Job, key: str) -> tuple[Origin, str]:
    """Return where a key's value comes from, and why a default or computed one is what it is."""
    told = job.origin.get(key, "given" if key in job.facts else "computed")
    word, _, why = told.partition(": ")
    origin: Origin = "default" if word == "default" else "given" if word == "given" else "computed"
    return origin, why


def fact(job: Job, key: str, label: str) -> Entry | None:
    """Return what the job file says to a key that is for the record, if it says anything."""
    text = job.facts.get(key)
    return None if text is None else Entry(label, clean(text), "given", "", key)


def published(known: Row, label: str, value: str, note: str = "") -> Entry:
    """Return a value of a trade row, shown in the user's units, with its source."""
    return Entry(label, value, _ORIGINS[known.status], note, sources=by(known))


def told(known: Row, mark: Mark = "say", shown: Shown | None = None) -> Step:
    """Return a trade row in its own words, its quantities in the user's units."""
    return Step(sentence(about(known, shown or Shown())), by(known), mark)


def disagreeing(row_id: str, shown: Shown) -> tuple[Step, ...]:
    """Return a row of `disagreements`: each side as found, then what follows; no middle."""
    found = row("disagreements", row_id)
    steps = []
    for at, side in enumerate(sides(found)):
        says = reworded(side.says, shown, found.as_published)
        text = f"Or: {says}." if at else f"{sentence(found.about).rstrip('.')}: {says}."
        steps.append(Step(text, (side_source(found, side),)))
    return (*steps, Step(reworded(means(found), shown, found.as_published)))


def in_one(row_id: str, shown: Shown) -> Step:
    """Return a row of `disagreements` in one step: its sides, then what follows; no middle."""
    found = row("disagreements", row_id)
    says = "; or: ".join(reworded(side.says, shown, found.as_published) for side in sides(found))
    follows = reworded(means(found), shown, found.as_published)
    sources = tuple(side_source(found, side) for side in sides(found))
    return Step(f"{sentence(found.about).rstrip('.')}: {says}. {follows}", sources)


def side_source(found: Row, side: Side) -> Source:
    """Return who stands for one side of a disagreement."""
    return said_by(side.source, side.seen, found.id)


def arc_time(job: Job, shown: Shown) -> str:
    """Return how long the arc of one bead burns: short times to a tenth, as the beat is kept."""
    planned_s = job.bead.planned_s
    return f"{planned_s:.3g} s" if planned_s < _TENTHS_BELOW_S else shown.duration(planned_s)


def some(count: int, what: str) -> str:
    """Return a count with its word.

    >>> some(1, "run"), some(5, "run")
    ('1 run', '5 runs')
    """
    return f"1 {what}" if count == 1 else f"{count} {what}s"


def sentence(text: str) -> str:
    """Return words as a sentence."""
    return f"{text[0].upper()}{text[1:]}."
