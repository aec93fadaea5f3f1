"""The values of a resolved `Job` by job-file key: `build.py` backwards.

A recording keeps the job, not its file; what is asked about keys later starts here.
"""

from __future__ import annotations

from typing import Any

from pacer.job.file.keys import Key, keys
from pacer.job.job import Job

_UNIT = {
    "temperature": "_c",
    "temperature_difference": "_dc",
    "rate_c_h": "_c_h",
    "length": "_m",
    "sizes": "_m",
    "mass": "_kg",
    "time": "_s",
    "volume": "_m3",
    "speed": "_m_s",
    "current": "_a",
    "voltage": "_v",
    "angle": "_deg",
}
"What a member's name ends with, by the kind of its key."

_MEMBER = {"heating.with": "source"}
"`with` is no name in Python."


def values_of(job: Job) -> dict[str, Any]:
    """Return what each key is in a job, in SI units, °C or words, in the order of the guide.

    A fact that nobody said is left out; None is a limit that there isn't.
    """
    return {
        key.name: _value(job, key)
        for key in keys().values()
        if not key.fact or key.name in job.facts
    }


def _value(job: Job, key: Key) -> Any:
    if key.fact:
        return job.facts[key.name]
    table = job if key.section == "job" else getattr(job, key.section)
    value = getattr(table, _MEMBER.get(key.name, key.word + _UNIT.get(key.kind, "")))
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value
