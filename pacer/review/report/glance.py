"""The page's first figures: what a reader asks before anything else."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.job.sheet.making import some
from pacer.review.report.markup import safe
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
    notes = sum(1 for found in out.findings if found.weight == "note")
    yield "findings", str(len(reviewed.findings)), f"and {some(notes, 'note')}"
    laid = [bead for bead in out.beads if bead.counted and bead.ended_s is not None]
    whole = sum(1 for bead in laid if not bead.lost)
    yield "beads laid", f"{whole} of {job.plan.beads} planned", _lost(laid)
    yield "arc time", shown.duration(sum(bead.arc_s(bead.started_s) for bead in laid)), ""
    starts = [bead.start_c for bead in laid if bead.start_c is not None]
    if starts:
        least, most = shown.temp_number(min(starts)), shown.temp_c(max(starts))
        yield "beads struck at", f"{least:.0f} to {most}", _band(reviewed, shown)
    yield "session", shown.duration(series.to_s - series.from_s), ""
    then = series.then
    if then.covered_s is not None:
        until = shown.temp_c(job.cooldown.until_c)
        if then.reached_s is not None:
            yield "covered until cool", shown.duration(then.reached_s - then.covered_s), until
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
