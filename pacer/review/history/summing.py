"""A folded recording as its `Summary`."""

from __future__ import annotations

from typing import NamedTuple

from pacer.clock import moment
from pacer.job.job import Job
from pacer.review.history.numbers import numbers
from pacer.review.history.summary import Summary
from pacer.review.measured import Measured
from pacer.review.moments import local
from pacer.review.table import Table
from pacer.session.events import Found, FoundAt, FoundWhen, FoundWhere, Inspection, Opened
from pacer.session.inspection import Look
from pacer.text import clean

SEES_CRACKS: frozenset[Look] = frozenset({"visual", "penetrant", "grinding", "back side"})
"""Looks of which "nothing found" says that no crack was found; a ring, a leak or a proof load
says less. Our choice, no source."""

_CRACKS = "1"
"""ISO 6520-1 numbers of cracks begin with it (trade/imperfections.toml)."""


class Became(NamedTuple):
    """What became of a session, and what tells so."""

    found: Found | None = None
    by: str = ""
    when: FoundWhen | None = None
    where: FoundWhere | None = None
    at: FoundAt | None = None


def summed_up(opened: Opened, out: Table, measured: Measured, *, sound: bool) -> Summary:
    """Return the summary of a recording once all of it has been folded."""
    measured.close()
    end = became(out)
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
        found=end.found,
        found_by=end.by,
        found_when=end.when,
        found_where=end.where,
        found_at=end.at,
    )


def became(out: Table) -> Became:
    """Return what became of it: a crack, whoever found it and whenever, outweighs every other look.

    Words of `pacer outcome` come before a look that found the same.
    """
    said = [Became(o.found, "outcome", o.when, o.where, o.at) for o in out.outcomes]
    looked = [Became(_seen(look), look.look) for look in out.inspections]
    told = [*said, *looked]
    cracks = (end for end in told if end.found == "crack")
    return next(cracks, next((end for end in told if end.found), Became()))


def _seen(look: Inspection) -> Found | None:
    """Return what a look says about cracks; None where it says nothing."""
    listed = [str(found.number) for found in look.imperfections]
    if any(number.startswith(_CRACKS) for number in listed):
        return "crack"
    if look.look in SEES_CRACKS and (look.result == "nothing found" or listed):
        return "no crack found"
    return None


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
