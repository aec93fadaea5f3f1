"""The review as text for a terminal: what became of it, then the findings, which end the page.

The timeline and the tables come before them, and only where they are asked for: a terminal
keeps the end of what is printed.
"""

from __future__ import annotations

from collections.abc import Iterator

from pacer.review.inspections import dated_lines
from pacer.review.moments import local
from pacer.review.still_hot import still_hot
from pacer.review.table import Table
from pacer.review.text.became_lines import became_lines
from pacer.review.text.block import block
from pacer.review.text.findings_lines import findings_lines, notes_lines, short_lines
from pacer.review.text.hanging import hanging
from pacer.review.text.tables_lines import tables_lines
from pacer.session.events import Opened
from pacer.text import clean
from pacer.units import Shown

_MORE = "timeline and tables: pacer review RECORDING --tables"


def review_lines(
    name: str,
    opened: Opened,
    out: Table,
    shown: Shown,
    lacking: str = "",
    writer: int | None = None,
    *,
    tables: bool = False,
) -> Iterator[str]:
    """Yield the page, line by line.

    `lacking` says what a damaged recording doesn't have, `writer` which process writes it now.
    """
    for line in _head(name, opened, out, lacking, writer):
        yield from hanging("", line)
    hot = still_hot(out, shown)
    if hot:
        yield from hanging("", hot)
    yield from block("what became of it", became_lines(out, shown), out.outcomes.more)
    looks = (line for look in out.inspections for line in dated_lines(look, opened.job, shown))
    yield from block("inspection", looks, out.inspections.more)
    if tables:
        yield from tables_lines(opened, out, shown)
    yield from notes_lines(out, shown)
    yield ""
    yield from findings_lines(out, shown)
    yield from short_lines(out, shown)
    if not tables:
        yield ""
        yield _MORE


def _head(name: str, opened: Opened, out: Table, lacking: str, writer: int | None) -> Iterator[str]:
    if lacking:
        yield f"FROM A DAMAGED RECORDING: {lacking}; figures may lack them"
    yield f"{name}: {clean(opened.job.title)}"
    yield f"opened {local(opened.wall, opened.tz)} with {clean(opened.app)}"
    if opened.invented:
        yield f"INVENTED DATA: {clean(opened.invented)}"
    how = "closed" if out.ended else "interrupted, not closed"
    if writer is not None:
        how = f"being written (process {writer})"
    yield f"last phase {out.phase}; {how}"
