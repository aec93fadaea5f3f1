"""Plants faults in a practice repair, folds it for the review, and scores what was found."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import msgspec

from pacer.job.job import Job
from pacer.review.rules.rule import Step
from pacer.review.table import table
from pacer.run.reviewing import numbered
from pacer.sensor.practice.planted.fault import Fault
from pacer.sensor.practice.source import PracticePart, open_practice
from pacer.session.events import AnyEvent, Opened
from pacer.session.finding import Finding


@dataclass(frozen=True)
class Reviewed:
    """A planted repair and its findings."""

    findings: tuple[Finding, ...]
    "Notes among them."
    made: dict[str, tuple[float, float]]
    "From when to when each fault was really made, session time in s."
    hours: float
    "Length of the session."
    done: bool
    "It came to its end."

    def of(self, name: str) -> tuple[Finding, ...]:
        """Return the findings of a name."""
        return tuple(f for f in self.findings if f.name == name)

    @property
    def above_note(self) -> tuple[Finding, ...]:
        """Those that a clean repair has none of."""
        return tuple(f for f in self.findings if f.weight == "finding")


def review(job: Job, seed: int, *faults: Fault) -> Reviewed:
    """Run a repair with exactly these faults, as fast as it can, and review it."""
    part = open_practice(job, seed, speed=0.0, planted=faults)
    last: list[Step] = []

    def seen() -> Iterator[Step]:
        for step in steps(job, part):
            last[:] = [step]
            yield step

    found = table(seen())
    return Reviewed(
        tuple(found.findings), part.made, last[0].t_s / 3600.0, last[0].state.phase == "done"
    )


def steps(job: Job, part: PracticePart) -> Iterator[Step]:
    """Yield a practice session as the review sees it; the welder hears each cue as it comes."""
    opened = Opened(
        v=(1, 0),
        sid="0" * 16,
        app="test",
        wall="2025-01-01T00:00:00Z",
        job=job,
        channel=part.channel,
        clk=part.clk,
        period_s=part.period_s,
        invented=part.invented,
    )
    for step in numbered(opened, enumerate(_events(part), start=1)):
        for cue in step.cues:
            part.hear(cue)
        yield step


def _events(part: PracticePart) -> Iterator[AnyEvent]:
    while not part.finished:
        for heard in part.read(None):
            yield msgspec.structs.replace(heard.event, t_ms=round(1000 * heard.t_s))
