"""A resolved job with other values for some keys, as if its file had given them.

Only what follows from a changed key is worked out anew, and of its own section only what would
not fit otherwise. Everything else stays as it was recorded, whatever the defaults are today.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import msgspec

from pacer.job.file.build import build
from pacer.job.file.checks import faults
from pacer.job.file.fill import Filled, fill
from pacer.job.file.values import Fault
from pacer.job.file.values_of import values_of
from pacer.job.job import Job

ORIGIN = "given for this question"
"""What `Job.origin` says of a changed key."""


class Unfit(Exception):
    """The values do not fit together; `lines` say why, each beginning with the key it is about."""

    def __init__(self, lines: list[str]) -> None:
        """Keep the lines."""
        self.lines = lines
        super().__init__("\n".join(lines))


def changed(job: Job, values: Mapping[str, Any]) -> Job:
    """Return the job with other values (SI units, °C or words) for keys of its file.

    Raises Unfit, also for a recorded job that doesn't pass the checks itself. What stops a plan
    stops nothing here: nobody is going to weld by it.
    """
    recorded = {name: value for name, value in values_of(job).items() if value is not None}
    before = {name: value for name, value in recorded.items() if was_given(job.origin, name)}
    sections = {name.split(".")[0] for name in values}
    beside = {name: v for name, v in recorded.items() if name.split(".")[0] in sections}
    try:
        as_recorded = _checked(before, before)
        try:
            filled = _checked({**before, **beside, **values}, values)
        except Unfit:
            filled = _checked({**before, **values}, values)
        same_plan = build(as_recorded).plan == build(filled).plan
    except (ArithmeticError, LookupError, ValueError):
        raise Unfit(["job: the recorded one holds what no job file can"]) from None
    _keep(filled, as_recorded, job, values)
    made = build(filled)
    return msgspec.structs.replace(made, plan=job.plan) if same_plan else made


def _checked(given: Mapping[str, Any], told_at: Mapping[str, Any]) -> Filled:
    """Return every key's value; a fault is told at a key of `told_at` where it rests on one."""
    filled = fill(dict(given))
    wrong = faults(filled, frozenset(given), stopping=False)
    if wrong:
        raise Unfit([_line(fault, told_at, filled) for fault in wrong])
    return filled


def was_given(origin: Mapping[str, str], name: str) -> bool:
    """Tell a value of the file from a default; one that an older format didn't have is kept too."""
    return not origin.get(name, "given").startswith(("default", "computed"))


def _keep(filled: Filled, as_recorded: Filled, job: Job, values: Mapping[str, Any]) -> None:
    """Put back the recorded value of every key that the changed ones don't bear on."""
    for name, value in values_of(job).items():
        now = filled.values.get(name)
        if name not in values and now in (value, as_recorded.values.get(name)):
            filled.values[name] = value
            if name in job.origin:
                filled.origin[name] = job.origin[name]
            else:
                # Of a key that its format did not have yet nobody knows where the value is from.
                filled.origin.pop(name, None)
    filled.origin.update(dict.fromkeys(set(values) & set(filled.origin), ORIGIN))


def _line(fault: Fault, values: Mapping[str, Any], filled: Filled) -> str:
    """Return what is wrong, at the key of it that was changed."""
    here = next((name for name in fault.keys if name in values), fault.keys[0])
    if here == fault.keys[0]:
        return f"{here}: {fault.text}"
    how = filled.origin.get(fault.keys[0], "given").split(":")[0]
    return f"{here}: {fault.keys[0]} ({how}) doesn't fit it: {fault.text}"
