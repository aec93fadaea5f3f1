"""In what two jobs differ that a session may not change once it has begun."""

from __future__ import annotations

import msgspec

from pacer.job.file.keys import keys
from pacer.job.file.values_of import values_of
from pacer.job.job import Job

_MAY_DIFFER = "sensor.url"
"Another sensor may be used on another day."


def differing(one: Job, other: Job) -> list[str]:
    """Return the job-file keys in which the jobs differ, in the order of the guide.

    Left out are the sensor's URL and the facts, which are for the record only. Where no key
    does and the plan worked out of them differs all the same, what of it does.
    """
    mine, theirs = values_of(one), values_of(other)
    told = [
        key.name
        for key in keys().values()
        if not key.fact and key.name != _MAY_DIFFER and mine[key.name] != theirs[key.name]
    ]
    if told:
        return told
    plans = msgspec.to_builtins(one.plan), msgspec.to_builtins(other.plan)
    return [f"plan.{name}" for name in plans[0] if plans[0][name] != plans[1][name]]
