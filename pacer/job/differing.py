"""In what two jobs differ that a session may not change once it has begun."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import msgspec

from pacer.job.file.keys import keys
from pacer.job.job import Job

_MAY_DIFFER = ("origin", "facts", "sensor.url")
"""Where a value came from changes nothing, facts are for the record only, and another sensor may
be used on another day."""

_WORKED_OUT = "plan."
"Follows from the rest."


def differing(one: Job, other: Job) -> list[str]:
    """Return the job-file keys in which the jobs differ, in the order of the guide.

    Left out are the sensor's URL and the facts, which a session that goes on may change.
    """
    mine, theirs = (dict(_flat(msgspec.to_builtins(job))) for job in (one, other))
    names = [name for name in mine | theirs if mine.get(name) != theirs.get(name)]
    told = [_key(name) for name in names if not name.startswith(_WORKED_OUT)]
    return list(dict.fromkeys(told or [_key(name) for name in names]))


def _flat(values: Mapping[str, object], before: str = "") -> Iterator[tuple[str, object]]:
    for name, value in values.items():
        full = before + name
        if full in _MAY_DIFFER:
            continue
        if isinstance(value, dict):
            yield from _flat(value, f"{full}.")
        else:
            yield full, value


def _key(name: str) -> str:
    """Return the job-file key of a member: `band.floor` of `band.floor_c`."""
    full = name if "." in name else f"job.{name}"
    # The longest: `joint.root_face` is a key beside what might begin like it.
    fits = [key for key in keys() if full == key or full.startswith(f"{key}_")]
    return max(fits, key=len, default=full)
