"""What was recorded, in tables: beads, phases, times outside a limit, what was done and said."""

from __future__ import annotations

from collections import Counter

from pacer.review import done as deeds
from pacer.review.moments import clock
from pacer.review.noted import noted
from pacer.review.report.markup import table, timed
from pacer.review.table import Table
from pacer.review.timeline import between_words
from pacer.session.work import Bead
from pacer.units import Shown

_SIDES = {1: "at least ", -1: "below ", 0: ""}


def beads(out: Table, shown: Shown) -> str:
    """Return the beads, each with its arc, its length and its peen."""
    counts = Counter(bead.peened for bead in out.beads if bead.counted)
    peens = ", ".join(f"{count} {how}" for how, count in counts.items())
    return table(
        f"Beads as they were laid; peens: {peens or 'none'}",
        ("bead", "place", "arc on at", "part then", "arc", "length", "peen", "remarks"),
        (_bead(bead, shown) for bead in out.beads),
        right=(3, 4, 5),
    )


def _bead(bead: Bead, shown: Shown) -> tuple[str, ...]:
    remarks = {
        "not counted": not bead.counted,
        "arc lost": bead.lost,
        "before its time": bead.early,
        "start inferred from noise": bead.started_by == "inferred",
        "end assumed": bead.ended_by == "assumed",
    }
    return (
        str(bead.number),
        str(bead.place + 1),
        clock(bead.started_s),
        _temp(bead.start_c, shown),
        "-" if bead.ended_s is None else f"{bead.arc_s(bead.started_s):.1f} s",
        "-" if bead.length_m is None else shown.length_m(bead.length_m),
        bead.peened,
        ", ".join(words for words, holds in remarks.items() if holds),
    )


def phases(out: Table, shown: Shown) -> str:
    """Return every stay in a phase."""
    return table(
        "Phases",
        ("phase", "from", "lasted", "coldest", "hottest"),
        (
            (
                str(row.phase),
                clock(row.from_s),
                shown.duration(row.to_s - row.from_s),
                _temp(row.least_c, shown),
                _temp(row.most_c, shown),
            )
            for row in out.phases
        ),
        right=(1, 2, 3, 4),
        more=out.phases.more,
    )


def outside(out: Table, shown: Shown) -> str:
    """Return the times outside a limit."""
    return table(
        "Times outside a limit",
        ("what", "from", "lasted", "worst"),
        (
            (
                excursion.kind,
                clock(excursion.from_s),
                shown.duration(excursion.to_s - excursion.from_s),
                _temp(excursion.peak_c, shown),
            )
            for excursion in out.excursions
        ),
        right=(1, 2, 3),
        more=out.excursions.more,
    )


def typed(out: Table, shown: Shown) -> str:
    """Return the readings typed in, those of other places among them."""
    return table(
        "Readings typed in",
        ("at", "read", "where"),
        (
            (
                clock(act.t_s),
                _SIDES.get(act.side, "") + _temp(act.temp_c, shown),
                act.text or "the joint",
            )
            for act in out.typed
        ),
        more=out.typed.more,
    )


def done(out: Table, shown: Shown) -> str:
    """Return what was done to the part, who was there, and what was written down, in order."""
    rows = [
        *deeds.done(out.said),
        *((t_s, f"written down: {text}") for t_s, text in noted(out, shown)),
        *((event.t_s, between_words(event)) for event in out.between),
    ]
    more = out.said.more + out.notes.more + out.between.more
    return timed(((clock(t_s), words) for t_s, words in sorted(rows, key=lambda r: r[0])), more)


def notes(out: Table, shown: Shown) -> str:
    """Return the notes of the rules: normal in a repair, but for the record."""
    return timed(
        (clock(note.t_s), f"{note.name}: {note.said(shown)}") for note in out.of_weight("note")
    )


def _temp(temp_c: float | None, shown: Shown) -> str:
    return "-" if temp_c is None else shown.temp_c(temp_c)
