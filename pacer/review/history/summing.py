"""A folded recording as its `Summary`."""

from __future__ import annotations

from collections.abc import Iterable

from pacer.clock import moment
from pacer.job.job import Job
from pacer.review.became import became
from pacer.review.history.numbers import numbers
from pacer.review.history.summary import Summary
from pacer.review.measured import Measured
from pacer.review.moments import local
from pacer.review.table import Table
from pacer.session.events import Found, Opened, Outcome
from pacer.text import clean


def summed_up(opened: Opened, out: Table, measured: Measured, *, sound: bool) -> Summary:
    """Return the summary of a recording once all of it has been folded."""
    measured.close()
    end = became(out.outcomes, out.inspections, out.findings)
    return Summary(
        sid=opened.sid,
        opened=clean(opened.wall, 40),
        day=_day(opened),
        title=clean(opened.job.title),
        invented=clean(opened.invented),
        groups=groups(opened.job),
        numbers=numbers(opened.job, out, measured),
        phase=out.phase,
        closed=out.ended,
        sound=sound,
        findings=tuple(out.findings),
        not_kept=out.findings.more,
        became=end,
        service_s=_service_s(out.outcomes, end.found),
    )


def _service_s(outcomes: Iterable[Outcome], found: Found | None) -> float | None:
    """Return the time in service that goes with what was found, as `became` tells it."""
    times = [said.service_s for said in outcomes if said.found == found]
    if found == "crack":
        return times[0] if times else None
    return max((time_s for time_s in times if time_s is not None), default=None)


def groups(job: Job) -> dict[str, str]:
    """Return the words of a job by the names of `quantities.GROUPS`."""
    return {
        "method": job.method,
        "metal": job.part.metal,
        "cover": job.cooldown.cover,
        "heat": job.heating.source,
        "filler": clean(job.filler.designation, 60),
    }


def _day(opened: Opened) -> str:
    """Return the date on the clocks of the place it was opened at; empty where it is not known."""
    return local(opened.wall, opened.tz)[:10] if moment(opened.wall) is not None else ""
