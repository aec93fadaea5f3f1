"""review --html: the page of one recording, or of several side by side."""

from __future__ import annotations

from pacer.cli.page_file import fit_for_page, put_page
from pacer.cli.reviewing.reading import Read
from pacer.job.job import Job
from pacer.job.plan import plan
from pacer.job.sheet.choose import those
from pacer.job.sheet.records import Section, Step
from pacer.job.sheet.whole import whole
from pacer.review.compare.compared import compare
from pacer.review.compare.grids import grids
from pacer.review.compare.lines import legend, said, title
from pacer.review.report.overlay import Side, several
from pacer.review.report.page import MARK, PLAN_SECTIONS, page
from pacer.units import Shown

_WHAT = "review"
_NO_PLAN = "The plan can't be worked out from this recording."


def fit(name: str) -> None:
    """Raise UserInputError where the page can't be written, before anything is read."""
    if name != "-":
        fit_for_page(name, MARK, _WHAT)


def put(name: str, one: Read, shown: Shown) -> None:
    """Write the page of one recording."""
    assert one.series is not None
    job = one.reviewed.opened.job
    put_page(name, page(one.reviewed, one.series, shown, _planned(job, shown)), MARK, _WHAT)


def _planned(job: Job, shown: Shown) -> tuple[Section, ...]:
    """Return what the page shows of the job's plan.

    A job that was never checked, of a foreign head, may have numbers that no plan can be of.
    """
    try:
        return tuple(those(whole(plan(job), job, shown), PLAN_SECTIONS))
    except (ArithmeticError, LookupError, ValueError):
        return (Section("short", "In short", (Step(_NO_PLAN),)),)


def put_compared(name: str, found: list[Read], shown: Shown) -> None:
    """Write the page of several recordings."""
    compared = compare([(one.reviewed, one.course) for one in found])
    sides = [
        Side(side.letter, side.reviewed.name, one.series, zero_s)
        for side, one, zero_s in zip(compared.sides, found, compared.zeros_s, strict=True)
        if one.series is not None
    ]
    text = several(
        title(compared),
        said(compared, shown),
        sides,
        grids(compared, shown),
        shown,
        compared.aligned,
        legend(compared),
    )
    put_page(name, text, MARK, _WHAT)
