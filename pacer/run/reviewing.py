"""A recording folded for the review: events with their record numbers, states and cues."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import msgspec

from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.review.rules.rule import Step
from pacer.run.refold import states
from pacer.session.events import AnyEvent, Opened


def steps(recording: Recording, job: Job | None = None) -> Iterator[Step]:
    """Yield every event of a recording as the review sees it; with `job` judged by another job."""
    head = recording.head
    if job is not None:
        head = msgspec.structs.replace(head, job=job)
    records = ((r.q, r.event) for r in recording.records() if r.event is not None)
    return numbered(head, records)


def numbered(opened: Opened, events: Iterable[tuple[int, AnyEvent]]) -> Iterator[Step]:
    """Yield the head and every event, which come with the numbers of their records."""
    number = 0

    def one_by_one() -> Iterator[AnyEvent]:
        nonlocal number
        for record, event in events:
            number = record
            yield event

    for event, state, cues in states(opened, one_by_one()):
        yield Step(number, event, state, cues)
