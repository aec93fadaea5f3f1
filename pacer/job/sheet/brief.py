"""Several values of a job as one entry, their reasons cut to what they rest on.

For the first section and the bench card: each value's own section has its reason in full.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from pacer.job.job import Job
from pacer.job.sheet.making import origin_of
from pacer.job.sheet.records import Entry, Origin

_AGAINST = "; against it: "
"In a default's reason: what follows speaks for another value."
_RESTS_ON = r"rows? [A-Z]\d+[a-z]?(?: and [A-Z]\d+[a-z]?)?|common practice|our choice|from memory|calculat\w+"


def joined(job: Job, label: str, parts: Sequence[tuple[str, str]], note: str = "") -> Entry:
    """Return several values of the job as one, `parts` each a key and its value.

    Its origin is that of the weakest; where not all were given the note says which were not,
    those with the same reason together.
    """
    origins = {key: origin_of(job, key) for key, _ in parts}
    kinds = {origin for origin, _ in origins.values()}
    order: tuple[Origin, ...] = ("default", "computed", "given")
    weakest = next(origin for origin in order if origin in kinds)
    reasons: dict[str, list[str]] = {}
    for key, (origin, why) in origins.items():
        if origin != "given":
            word = key.rpartition(".")[2].replace("_", " ")
            named = word if origin == weakest else f"{word} {origin}"
            reasons.setdefault(_briefly(why), []).append(named)
    notes = [
        why if len(words) == len(parts) else f"{why} ({', '.join(words)})"
        for why, words in reasons.items()
    ]
    value = ", ".join(value for _, value in parts)
    return Entry(label, value, weakest, "; ".join([*notes, *([note] if note else [])]), parts[0][0])


def apart(
    job: Job, label: str, parts: Sequence[tuple[str, str]], note: str = ""
) -> Iterator[Entry]:
    """Yield several values of the job, those of one origin together and apart from others.

    So no given number stands under the word "default". The note goes with the last part.
    """
    origins = {key: origin_of(job, key)[0] for key, _ in parts}
    for origin in dict.fromkeys(origins.values()):
        same = [(key, value) for key, value in parts if origins[key] == origin]
        yield joined(job, label, same, note if same[-1] == parts[-1] else "")


def _briefly(why: str) -> str:
    """Return the rows and statuses a reason rests on; the reason itself where it names none.

    >>> _briefly("row B13, common practice; against it: row W18, a cooler one")
    'row B13, common practice'
    """
    speaks_for = why.partition(_AGAINST)[0]
    return ", ".join(dict.fromkeys(re.findall(_RESTS_ON, speaks_for))) or why
