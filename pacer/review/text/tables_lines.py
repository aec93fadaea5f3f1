"""The timeline and the tables of a review as text: phases, beads, what was done and read."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import islice

from pacer.job.sheet.sections.for_the_record import fact_label
from pacer.review.done import done
from pacer.review.moments import clock
from pacer.review.table import Table
from pacer.review.text.block import block
from pacer.review.text.hanging import hanging
from pacer.review.timeline import between_words, timeline
from pacer.session.events import SKIPPED, Act, Opened
from pacer.session.work import Bead
from pacer.text import clean
from pacer.units import Shown

_TIMELINE = 200
"""Moments of the timeline; a session of 65 beads has some 120."""
_SIDES = {1: "at least ", -1: "below ", 0: ""}


def tables_lines(opened: Opened, out: Table, shown: Shown) -> Iterator[str]:
    """Yield them, each with its heading; a table without rows is left out."""
    yield from _timeline(out, shown)
    yield from block("preparation list", _prepared(opened, out), out.prepared.more)
    facts = (f"{fact_label(key):<20} {clean(text)}" for key, text in opened.job.facts.items())
    yield from block("for the record", facts)
    yield from block("nobody there, or taken up again", _again(out), out.between.more)
    phases = (
        f"{row.phase:<11}  {_at(row.from_s)}  {shown.duration(row.to_s - row.from_s):>10}"
        f"  {_temp(row.least_c, shown):>8}  {_temp(row.most_c, shown):>8}"
        for row in out.phases
    )
    heading = "phase        from       lasted      least     most"
    yield from block(heading, phases, out.phases.more, raw=True)
    beads = [line for bead in out.beads for line in _bead(bead, shown)]
    heading = "bead  place  from       arc      start     remarks"
    yield from block(heading, [*beads, *_peens(out.beads)], raw=True)
    outside = (
        f"{_at(e.from_s)}  {e.kind}, {shown.duration(e.to_s - e.from_s)}"
        + ("" if e.peak_c is None else f", worst {_temp(e.peak_c, shown)}")
        for e in out.excursions
    )
    yield from block("outside a limit", outside, out.excursions.more, raw=True)
    places = [_place(act, shown) for act in out.typed if act.text]
    yield from block("read at other places", places, out.typed.more)
    deeds = (f"{_at(t_s)}  {words}" for t_s, words in done(out.said))
    yield from block("done to the part", deeds, out.said.more)


def _timeline(out: Table, shown: Shown) -> Iterator[str]:
    moments = timeline(out, shown)
    lines = (
        line
        for moment in islice(moments, _TIMELINE)
        for line in hanging(f"  {_at(moment.t_s)}{moment.kind:<8} ", moment.words)
    )
    more = moments.more + max(len(moments) - _TIMELINE, 0)
    yield from block("timeline", lines, more, raw=True)


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


def _bead(bead: Bead, shown: Shown) -> Iterator[str]:
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
    row = (
        f"{bead.number:>4}  {bead.place + 1:>5}  {_at(bead.started_s)}  {arc:>7}"
        f"  {_temp(bead.start_c, shown):>8}  "
    )
    if remarks:
        yield from hanging(row, ", ".join(remarks))
    else:
        yield row.rstrip()


def _peens(beads: Iterable[Bead]) -> Iterator[str]:
    counts = Counter(bead.peened for bead in beads if bead.counted)
    if counts:
        yield "peens: " + ", ".join(f"{count} {how}" for how, count in counts.items())
