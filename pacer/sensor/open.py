"""`open_source(url, …)`: the one place where a scheme finds its module.

A new scheme is a new file with one function, a name in `url.SCHEMES` and a case here.
Modules are imported when asked for: a file of readings needs no serial library.
"""

from __future__ import annotations

from pacer.clock import Clock
from pacer.job.job import Job
from pacer.sensor.source import Source
from pacer.sensor.url import parse_url

__all__ = ["open_source", "parse_url"]


def open_source(url: str, clock: Clock, *, fail_fast: bool, job: Job | None = None) -> Source:
    """Return the source that `url` names; live ones stamp with `clock`.

    The practice part is made for `job`, or for a job of its own.
    With `fail_fast` (headless) a port that can't be opened raises SensorError with the
    cause; without (a screen) the source starts and goes on trying. Raises UserInputError
    for a URL that is wrong, SensorError for a file that can't be read.
    """
    parsed = parse_url(url)
    match parsed.scheme:
        case "file":
            from pacer.sensor.file import open_file

            return open_file(parsed, clock)
        case "hand":
            from pacer.sensor.hand import open_hand

            return open_hand(parsed, clock)
        case "practice":
            from pacer.sensor.practice.source import open_practice, practice_job

            return open_practice(job or practice_job(), speed=0.0 if fail_fast else None, url=url)
        case "modbus":
            from pacer.sensor.modbus.source import open_modbus

            return open_modbus(parsed, clock, fail_fast=fail_fast)
        case _:
            from pacer.sensor.port.ports import open_port

            return open_port(parsed, clock, fail_fast=fail_fast)
