"""`Rule`: what looks for findings, and `Step`: one event of a folded recording that it sees."""

from __future__ import annotations

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


def ours(name: str, value: str, origin: str = "common practice, no source") -> Limit:
    """Return the limit of a rule of the program's own, with its source or status."""
    return Limit(name, value, origin)
