"""The review as text for a terminal: what became of it, findings, timeline, then the tables."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from pacer.job.columns import WIDTH, laid_out
from pacer.job.sheet.sections.for_the_record import fact_label
from pacer.review.became import REPORTED, became
from pacer.review.findings_lines import findings_lines, notes_lines
from pacer.review.inspections import dated_lines
from pacer.review.moments import clock, local
from pacer.review.outcomes import dated
from pacer.review.table import Table
from pacer.review.timeline import between_words, timeline
from pacer.session.events import SKIPPED, Act, Opened
from pacer.session.work import Bead
from pacer.text import clean
from pacer.units import Shown

_NOT_YET = "nothing is recorded yet; pacer outcome RECORDING writes it down"
_REPORTED = (
    "a crack was reported in the session; pacer outcome RECORDING takes where it was, or what a "
    "later look found"
)
_TIMELINE = 200
"""Lines of the timeline; a session of 65 beads has some 120."""
_SIDES = {1: "at least ", -1: "below ", 0: ""}


def review_lines(
    name: str,
    opened: Opened,
    out: Table,
    shown: Shown,
    lacking: str = "",
    writer: int | None = None,
) -> Iterator[str]:
    """Yield the page, line by line.

    `lacking` says what a damaged recording doesn't have, `writer` which process writes it now.
    """
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
    yield from _block("what became of it", _became(out, shown), out.outcomes.more)
    looks = (line for look in out.inspections for line in dated_lines(look, opened.job, shown))
    yield from _block("inspection", looks, out.inspections.more)
    yield ""
    yield from findings_lines(out, shown)
    yield from _more(out.findings.more)
    notes = notes_lines(out, shown)
    yield from _block("notes", notes, out.notes.more, raw=True)
    yield from _timeline(out, shown)
    yield from _block("preparation list", _prepared(opened, out), out.prepared.more)
    facts = (f"{fact_label(key):<20} {clean(text)}" for key, text in opened.job.facts.items())
    yield from _block("for the record", facts)
    yield from _block("nobody there, or taken up again", _again(out), out.between.more)
    yield ""
    yield "phase        from       lasted      least     most"
    for row in out.phases:
        yield (
            f"{row.phase:<11}  {_at(row.from_s)}  {shown.duration(row.to_s - row.from_s):>10}"
            f"  {_temp(row.least_c, shown):>8}  {_temp(row.most_c, shown):>8}"
        )
    yield from _more(out.phases.more)
    yield ""
    yield "bead  place  from       arc      start     remarks"
    for bead in out.beads:
        yield _bead(bead, shown)
    yield from _peens(out.beads)
    yield ""
    if out.excursions:
        yield "outside a limit"
        for e in out.excursions:
            lasted = shown.duration(e.to_s - e.from_s)
            worst = "" if e.peak_c is None else f", worst {_temp(e.peak_c, shown)}"
            yield f"{_at(e.from_s)}  {e.kind}, {lasted}{worst}"
        yield from _more(out.excursions.more)
        yield ""
    places = [_place(act, shown) for act in out.typed if act.text]
    yield from _block("read at other places", places, out.typed.more, after=True)
    said = (f"{_at(act.t_s)}  {act.deed}" for act in out.said)
    yield from _block("done to the part", said, out.said.more, after=True)


def _became(out: Table, shown: Shown) -> Iterator[str]:
    yield from (dated(outcome, shown) for outcome in out.outcomes)
    if became(out.outcomes, out.inspections, out.findings).by == REPORTED:
        yield _REPORTED
    elif not out.outcomes and not out.inspections:
        yield _NOT_YET


def _block(
    heading: str,
    content: Iterable[str],
    more: int = 0,
    *,
    after: bool = False,
    raw: bool = False,
) -> Iterator[str]:
    """Yield a heading with its lines, set apart by a blank line; nothing where there are none.

    `raw`: the lines are laid out already.
    """
    lines = list(content) if raw else [out for line in content for out in laid_out(line)]
    if not lines:
        return
    if not after:
        yield ""
    yield heading
    yield from lines
    yield from _more(more)
    if after:
        yield ""


def _more(more: int) -> Iterator[str]:
    if more:
        yield f"  and {more} more, not shown"


def _timeline(out: Table, shown: Shown) -> Iterator[str]:
    """Yield it a line each: what is cut off stands in full further down."""
    moments = timeline(out, shown)
    lines = [_cut(f"  {_at(m.t_s)}{m.kind:<8} {m.words}") for m in moments]
    more = moments.more + max(len(lines) - _TIMELINE, 0)
    yield from _block("timeline", lines[:_TIMELINE], more, raw=True)


def _cut(line: str) -> str:
    return line if len(line) <= WIDTH else f"{line[: WIDTH - 1]}…"


def _again(out: Table) -> Iterator[str]:
    """Yield what stands between two parts of a recording, a line each."""
    for event in out.between:
        yield f"{_at(event.t_s)}  {between_words(event)}"


_LIST_SINCE = (1, 4)
"Before this version of the format no list could be confirmed, so none is missed."


def _prepared(opened: Opened, out: Table) -> Iterator[str]:
    for act in out.prepared:
        lacks = "" if act.text == SKIPPED else f": {clean(act.text or '')}"
        yield f"{_at(act.t_s)}  {SKIPPED + lacks if act.text else 'confirmed'}"
    if not out.prepared and opened.v >= _LIST_SINCE and opened.start_phase == "prepare":
        yield SKIPPED


def _at(t_s: float) -> str:
    return f"{clock(t_s):<9}"


def _temp(temp_c: float | None, shown: Shown) -> str:
    return "-" if temp_c is None else shown.temp_c(temp_c)


def _place(act: Act, shown: Shown) -> str:
    side = _SIDES.get(act.side, "")
    return f"{_at(act.t_s)}  {side}{_temp(act.temp_c, shown)} at {clean(act.text or '')}"


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
        f"{bead.number:>4}  {bead.place + 1:>5}  {_at(bead.started_s)}  {arc:>7}"
        f"  {_temp(bead.start_c, shown):>8}  {', '.join(remarks)}"
    ).rstrip()


def _peens(beads: Iterable[Bead]) -> Iterator[str]:
    counts = Counter(bead.peened for bead in beads if bead.counted)
    if counts:
        yield "peens: " + ", ".join(f"{count} {how}" for how, count in counts.items())
