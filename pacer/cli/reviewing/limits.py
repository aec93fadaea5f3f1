"""The job of `--with JOB` and `--set KEY=VALUE`: other limits for a recording."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from pacer.cli.set_keys import set_keys
from pacer.errors import UserInputError
from pacer.job.file.changed import Unfit, changed
from pacer.job.file.keys import keys
from pacer.job.file.read import read_job
from pacer.job.file.values import convert
from pacer.job.job import Job
from pacer.text import clean
from pacer.units import System

_OTHER_METHOD = (
    "it is recorded by the {was} method, and cannot be judged by the {asked} one: its phases are "
    "others, so the same presses would mean other things"
)


def other_job(recorded: Job, path: str | None, options: Sequence[str], system: System) -> Job:
    """Return the job to judge a recording by; raises UserInputError, a line for each mistake."""
    job = recorded if path is None else _from_file(recorded, path)
    answers = set_keys(options, system)
    values = {
        name: convert(keys()[name], list(a.value) if isinstance(a.value, tuple) else a.value)
        for name, a in answers.items()
    }
    method = values.get("job.method", job.method)
    if method != recorded.method:
        why = _OTHER_METHOD.format(was=recorded.method, asked=method)
        raise UserInputError(f'--set "job.method={method}": {why}')
    try:
        return changed(job, values) if values else job
    except Unfit as unfit:
        raise UserInputError("\n".join(f"--set {line}" for line in unfit.lines)) from None


def _from_file(recorded: Job, path: str) -> Job:
    if not path:
        raise UserInputError('--with "": expected a job file')
    job = read_job(path, stops=False)
    if job.method != recorded.method:
        why = _OTHER_METHOD.format(was=recorded.method, asked=job.method)
        raise UserInputError(f"--with {clean(path)}: {why}")
    # Where the readings came from is the recording's business.
    return msgspec.structs.replace(job, sensor=recorded.sensor)
