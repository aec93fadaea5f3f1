"""In which job-file keys jobs differ, with each one's value as a job file would have it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from pacer.job.file.keys import Key, keys
from pacer.job.file.typed import Given, written
from pacer.job.file.values_of import values_of
from pacer.job.job import Job
from pacer.text import clean
from pacer.units import System

NAMES = frozenset({"job.title", "sensor.url"})
"What a job is called and where its readings came from: no limit, and no part of the repair."


def apart(
    jobs: Sequence[Job], system: System = "metric"
) -> Iterator[tuple[str, tuple[Given | None, ...]]]:
    """Yield each key in which they are not all alike, in the order of the guide.

    None: nobody said it, or there is no such limit.
    """
    values = [values_of(job) for job in jobs]
    for key in keys().values():
        found = [of.get(key.name) for of in values]
        if key.name not in NAMES and any(value != found[0] for value in found):
            yield key.name, tuple(_given(key, value, system) for value in found)


def _given(key: Key, value: Any, system: System) -> Given | None:
    if value is None:
        return None
    return clean(value) if isinstance(value, str) else written(key, value, system)
