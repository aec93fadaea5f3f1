"""`Rule`: what looks for findings, and `Step`: one event of a folded recording that it sees."""

from __future__ import annotations

import math
from typing import NamedTuple, Protocol

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.session.cues import Cue
from pacer.session.events import AnyEvent
from pacer.session.finding import Finding, Limit
from pacer.session.state import State


class Step(NamedTuple):
    """One event of a recording, and what it came to."""

    record: int
    "Number of its record; 0 for the head."
    event: AnyEvent | None
    "None for the head."
    state: State
    "After the event."
    cues: tuple[Cue, ...]
    "Told by it, and by the timers that were due before it."

    @property
    def t_s(self) -> float:
        """Session time, s."""
        return self.event.t_s if self.event is not None else self.state.t_s


class Collector(Protocol):
    """Anything that goes along while a recording is folded: a rule, a chart's series."""

    def see(self, step: Step) -> None:
        """Take one event; called some 100,000 times, so it is quick where there is nothing."""


class Rule(Collector, Protocol):
    """One subject's rules; made anew for each recording by `every.rules`."""

    def found(self, state: State) -> Capped[Finding]:
        """Return the findings once all events were seen; `state` is the last one."""


def of_job(job: Job, key: str, value: str) -> Limit:
    """Return the limit that a key of the job file sets; `value` names it in the finding's values."""
    return Limit(key, value, job.origin.get(key, ""))


def was_given(job: Job, key: str) -> bool:
    """True for a limit that the user set, in the job file or for a question."""
    return job.origin.get(key, "").startswith("given")


def ours(name: str, value: str, origin: str = "common practice, no source") -> Limit:
    """Return the limit of a rule of the program's own, with its source or status."""
    return Limit(name, value, origin)


MOST_TIMES = 10.0
"How far short of its limit a time is said to be that was hardly held, or not at all."


def multiple(measured: float, allowed: float) -> float | None:
    """Return a size as a multiple of what is allowed; None where nothing is.

    Only of sizes: how long something lasted is another thing, and stands in a finding's times.
    """
    times = measured / allowed if allowed > 0.0 else math.inf
    return round(times, 2) if math.isfinite(times) else None


def short_of(held_s: float, least_s: float) -> float:
    """Return how many times a time that had to last was too short, at most `MOST_TIMES`.

    >>> short_of(30.0, 60.0), short_of(0.0, 60.0)
    (2.0, 10.0)
    """
    if held_s * MOST_TIMES <= least_s:
        return MOST_TIMES
    return round(least_s / held_s, 2)


def meant_c(job: Job) -> float:
    """Return what the part is meant to have while it is welded, °C: its preheat, or the air's."""
    return job.band.preheat_c if job.band.preheat_c is not None else job.cooldown.ambient_c


def to_the_second(seconds_s: float) -> str:
    """Return a time in words that rounding to minutes would put at its limit.

    >>> to_the_second(72.4), to_the_second(270.0), to_the_second(300.0)
    ('72 s', '4 min 30 s', '5 min')
    """
    whole = round(seconds_s)
    minutes, rest = divmod(whole, 60)
    if whole < 120:
        return f"{whole} s"
    return f"{minutes} min {rest} s" if rest else f"{minutes} min"
