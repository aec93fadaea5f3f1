"""Pages of a review made of events alone: what a test folds, gathers and reads."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec
from written import head_of, welded

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.table import Table, table
from pacer.review.text.lines import review_lines
from pacer.run.reviewing import numbered
from pacer.session.events import (
    Act,
    AnyEvent,
    Opened,
    Outcome,
)
from pacer.session.finding import Finding, Limit
from pacer.units import Shown


def act(t_s: float, deed: str, text: str | None = None) -> Act:
    """What the welder did, by a script, which is taken at its word."""
    fields = {
        "k": "ev",
        "b": round(1000 * t_s),
        "e": deed,
        "text": text,
        "by": "script",
    }
    return msgspec.convert(fields, Act)


def typed(t_s: float, temp_c: float, place: str | None = None, side: int = 0) -> Act:
    """A reading typed in."""
    return Act(t_ms=round(1000 * t_s), deed="reading", temp_c=temp_c, side=side, text=place)


def reviewed(job: Job, events: Iterable[AnyEvent], **head: object) -> tuple[Opened, Table]:
    """Fold and gather."""
    opened = head_of(job, **head)
    return opened, table(numbered(opened, enumerate(events, 1)))


def page(job: Job, events: Iterable[AnyEvent], **head: object) -> str:
    """Return the text with its tables."""
    told = reviewed(job, events, **head)
    return "\n".join(review_lines("a.jsonl", *told, Shown(), tables=True))


def a_part(job: Job) -> tuple[Opened, Table]:
    """Two beads laid, the second one too hot; uncovered early; a crack was found; invented."""
    opened, out = reviewed(job, welded())
    hot = Finding(
        name="bead above the ceiling",
        t_s=73.5,
        to_s=83.5,
        record=77,
        words="bead {bead} was started at {start_c}, above the ceiling {ceiling_c}",
        values={"bead": 1, "start_c": 330.0, "ceiling_c": 300.0},
        limit=Limit("band.ceiling", "ceiling_c", "given"),
        times=1.75,
        bead=1,
        place=0,
        against=("bead 2 was at {start_c} too",),
    )
    note = Finding(name="peens not confirmed", t_s=84.0, words="1 of 1", weight="note")
    out.findings = Capped()
    out.findings.extend([hot, note])
    out.outcomes.add(Outcome(t_ms=0, found="crack", where="boundary", bead=1))
    return opened, out
