"""The page's first figures: what a reader asks before anything else."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.review.became import OUTCOME, REPORTED, became
from pacer.review.compare.course import covers
from pacer.review.report.found import notes_of
from pacer.review.report.markup import safe, span
from pacer.review.report.series import Series
from pacer.review.reviewed import Reviewed
from pacer.session.work import Bead
from pacer.units import Shown


def glance(reviewed: Reviewed, series: Series, shown: Shown) -> str:
    """Return the figures with their names."""
    cells = "".join(
        f"<div><dt>{safe(name)}</dt><dd>{safe(figure)}"
        + (f"<small>{safe(beside)}</small>" if beside else "")
        + "</dd></div>"
        for name, figure, beside in _figures(reviewed, series, shown)
    )
    return f'<dl class="glance">{cells}</dl>'


def _figures(reviewed: Reviewed, series: Series, shown: Shown) -> Iterator[tuple[str, str, str]]:
    job, out = reviewed.opened.job, reviewed.table
    known = became(out.outcomes, out.inspections, out.findings)
    yield "what became of it", known.found or "not known", _by(known.by)
    yield "findings", str(len(reviewed.findings)), f"and {notes_of(out)}"
    laid = [bead for bead in out.beads if bead.counted and bead.ended_s is not None]
    whole = sum(1 for bead in laid if not bead.lost)
    yield "beads laid", f"{whole} of {job.plan.beads} planned", _lost(laid)
    starts = [bead.start_c for bead in laid if bead.start_c is not None]
    if starts:
        yield "beads struck at", span(min(starts), max(starts), shown), _band(reviewed, shown)
    yield "session", shown.duration(series.to_s - series.from_s), ""
    yield from _cooled(reviewed, series, shown)


def _by(by: str) -> str:
    """Return what told so."""
    return by and {OUTCOME: "pacer outcome", REPORTED: "reported in the session"}.get(
        by, f"look: {by}"
    )


def _cooled(reviewed: Reviewed, series: Series, shown: Shown) -> Iterator[tuple[str, str, str]]:
    then, until_c = series.then, reviewed.opened.job.cooldown.until_c
    if then.covered_s is None:
        return
    until = shown.temp_c(until_c)
    if then.uncovered_s is not None:
        at = "" if then.uncovered_c is None else f" at {shown.temp_c(then.uncovered_c)}"
        off = f"{shown.duration(then.uncovered_s - then.covered_s)}{at}"
        yield "uncovered after", off, f"planned at {until}"
    elif then.reached_s is not None:
        name = "covered until cool" if covers(reviewed.opened.job) else "cool after"
        yield name, shown.duration(then.reached_s - then.covered_s), until
    else:
        yield "cool-down", shown.duration(series.to_s - then.covered_s), f"{until} not reached"


def _lost(laid: list[Bead]) -> str:
    lost = sum(1 for bead in laid if bead.lost)
    return f"arc lost in {lost}" if lost else ""


def _band(reviewed: Reviewed, shown: Shown) -> str:
    band = reviewed.opened.job.band
    if band.floor_c is None:
        return f"ceiling {shown.temp_c(band.ceiling_c)}"
    return f"band {shown.temp_number(band.floor_c):.0f} to {shown.temp_c(band.ceiling_c)}"
