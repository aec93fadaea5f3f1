"""The review as text: what was recorded, phase by phase, bead by bead."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.review.table import Table
from pacer.session.events import Opened
from pacer.session.work import Bead
from pacer.text import clean
from pacer.units import Shown


def review_lines(name: str, opened: Opened, out: Table, shown: Shown) -> Iterator[str]:
    """Yield the page, line by line."""
    yield f"{name}: {clean(opened.job.title)}"
    yield f"opened {opened.wall[:16].replace('T', ' ')} UTC with {opened.app}"
    if opened.invented:
        yield f"INVENTED DATA: {opened.invented}"
    yield f"last phase {out.phase}; {'closed' if out.ended else 'interrupted, not closed'}"
    yield ""
    yield "phase        from       lasted      least     most"
    for row in out.phases:
        yield (
            f"{row.phase:<11}  {_clock(row.from_s)}  {shown.duration(row.to_s - row.from_s):>10}"
            f"  {_temp(row.least_c, shown):>8}  {_temp(row.most_c, shown):>8}"
        )
    yield ""
    yield "bead  place  from       arc      start     remarks"
    for bead in out.beads:
        yield _bead(bead, shown)
    yield ""
    if out.excursions:
        yield "outside a limit"
        for e in out.excursions:
            lasted = shown.duration(e.to_s - e.from_s)
            yield f"{_clock(e.from_s)}  {e.kind}, {lasted}, worst {_temp(e.peak_c, shown)}"
        yield ""
    yield "findings (what was measured; not a verdict on the repair)"
    if not out.findings:
        yield "none"
    for finding in out.findings:
        yield f"{_clock(finding.t_s)}  {finding.name}: {clean(finding.words)}"
    for t_s, text in out.notes:
        yield f"{_clock(t_s)}  note: {clean(text)}"
    yield ""


def _clock(t_s: float) -> str:
    hours, rest = divmod(int(t_s), 3600)
    return f"{hours:d}:{rest // 60:02d}:{rest % 60:02d}  "[:9]


def _temp(temp_c: float | None, shown: Shown) -> str:
    return "-" if temp_c is None else shown.temp_c(temp_c)


def _bead(bead: Bead, shown: Shown) -> str:
    arc = "-" if bead.ended_s is None else f"{bead.arc_s(bead.started_s):.1f} s"
    remarks = [
        text
        for text, holds in (
            ("not counted", not bead.counted),
            ("arc lost", bead.lost),
            ("before its time", bead.early),
            ("start inferred from noise", bead.started_by == "inferred"),
            (f"end {bead.ended_by}", bead.ended_by == "assumed"),
            (f"peen {bead.peened}", bead.peened != "ended by press"),
        )
        if holds
    ]
    return (
        f"{bead.number:>4}  {bead.place + 1:>5}  {_clock(bead.started_s)}  {arc:>7}"
        f"  {_temp(bead.start_c, shown):>8}  {', '.join(remarks)}"
    )
