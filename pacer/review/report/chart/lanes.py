"""Lanes below a plot: phases, beads, peens, reheats, warnings, what was done."""

from __future__ import annotations

import bisect
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from pacer.review.done import done
from pacer.review.moments import clock
from pacer.review.report.chart import ink
from pacer.review.report.chart.plot import Plot
from pacer.review.report.chart.room import Box, Room
from pacer.review.report.series import Series, Stay
from pacer.review.table import Table
from pacer.session.cues import Urgency
from pacer.session.work import Bead, Phase

_GROUPS: dict[Phase, str] = {
    **dict.fromkeys((Phase.PREHEAT, Phase.REHEAT, Phase.POST_HEAT), "heat"),
    Phase.BEAD: "weld",
    **dict.fromkeys((Phase.PEEN, Phase.LOOK), "peen"),
    **dict.fromkeys((Phase.BURY, Phase.COOL_DOWN, Phase.DONE), "cool"),
}
"""How a phase is shaded; the others are pale. Its name stands in it where there is room."""

_LONG_BREAK_S = 5.0
"""A bead whose arc was off for so long in between is drawn as one that does not fill its time."""

_POINTED_AT = 60
"So many bars of a lane have their words for a pointer; of more each is too thin for one."

_ROWS = 4
"Deeds close together stand in so many rows at most."
_FIRST = ("covered", "uncovered")
"What was done that has its word before all else."

Corners = tuple[tuple[int, int], ...]
_SQUARE: Corners = ((-1, -1), (1, -1), (1, 1), (-1, 1))
_TRIANGLE: Corners = ((0, -1), (1, 1), (-1, 1))


def below(plot: Plot, series: Series, table: Table) -> None:
    """Draw every lane that has something in this window."""
    _phases(plot, series.stays)
    _beads(plot, table)
    peens = [
        (stay, _peen_kind(stay, table.beads)) for stay in series.stays if stay.phase is Phase.PEEN
    ]
    _spells(plot, "peens", peens, _left_alone(plot, table))
    reheats = [(stay, "bar-heat") for stay in series.stays if stay.phase is Phase.REHEAT]
    _spells(plot, "reheats", reheats)
    _warned(plot, series)
    _done(plot, done(table.said))


def below_cool_down(plot: Plot, series: Series, table: Table) -> None:
    """Draw the lanes that a cool-down can have."""
    _warned(plot, series)
    _done(plot, done(table.said))


def lane(plot: Plot, name: str) -> tuple[float, float]:
    """Begin a lane; return the top and bottom of its bars."""
    high = 1.3 * plot.size.letter
    top = plot.foot
    plot.foot = top + high + 0.35 * plot.size.letter
    plot.add(ink.text("lane", plot.left - 6, top + high / 2.0, name, "end"))
    return top, top + high


class Bar(NamedTuple):
    """A stretch of a lane."""

    kind: str
    x0: float
    x1: float
    told: str


def _bars(plot: Plot, bars: Sequence[Bar], top: float, bottom: float) -> None:
    """Draw bars; those to point at one by one, very many and those of a narrow page a kind at once.

    Thousands in a hostile log come to a pixel each: of these the first is drawn.
    """
    drawn, drawn_to = [], plot.left - 1.0
    for bar in bars:
        if bar.x1 - drawn_to >= 0.5:
            drawn_to = bar.x1
            drawn.append(bar)
    if plot.tells and len(drawn) <= _POINTED_AT:
        plot.add(*(ink.area(bar.kind, bar.x0, top, bar.x1, bottom, bar.told) for bar in drawn))
        return
    for kind in dict.fromkeys(bar.kind for bar in drawn):
        spans = [(bar.x0, bar.x1) for bar in drawn if bar.kind == kind]
        plot.add(ink.areas(kind, spans, top, bottom))


def _phases(plot: Plot, stays: Iterable[Stay]) -> None:
    seen = [stay for stay in stays if plot.meets(stay.from_s, stay.to_s)]
    if not seen:
        return
    top, bottom = lane(plot, "phases")
    bars = [_phase(plot, stay) for stay in seen]
    _bars(plot, bars, top, bottom)
    for stay, bar in zip(seen, bars, strict=True):
        if ink.wide(stay.phase, plot.size.letter) + 4 < bar.x1 - bar.x0:
            middle = (bar.x0 + bar.x1) / 2.0, (top + bottom) / 2.0
            plot.add(ink.text(f"{bar.kind}-word", *middle, stay.phase, "middle"))


def _phase(plot: Plot, stay: Stay) -> Bar:
    told = f"{stay.phase} from {clock(stay.from_s)} to {clock(stay.to_s)}"
    kind = f"phase-{_GROUPS.get(stay.phase, 'still')}"
    return Bar(kind, plot.x_of(stay.from_s), plot.x_of(stay.to_s), told)


def _beads(plot: Plot, table: Table) -> None:
    beads = [b for b in table.beads if plot.meets(b.started_s, b.ended_s or b.started_s)]
    if not beads:
        return
    top, bottom = lane(plot, "beads")
    size = plot.size.letter
    bars = [_bead(plot, bead) for bead in beads]
    _bars(plot, bars, top, bottom)
    # Numbers stand under their beads, where there is room.
    plot.foot += size
    written_to = plot.left - size
    for bead, bar in zip(beads, bars, strict=True):
        half = ink.wide(str(bead.number), size) / 2.0
        middle = (bar.x0 + bar.x1) / 2.0
        if middle - half > written_to + 0.6 * size and middle + half < plot.size.wide:
            plot.add(ink.text("lane", middle, bottom + 0.7 * size, str(bead.number), "middle"))
            written_to = middle + half


def _bead(plot: Plot, bead: Bead) -> Bar:
    x0, x1 = plot.x_of(bead.started_s), plot.x_of(bead.ended_s or bead.started_s)
    told = f"bead {bead.number}, {bead.arc_s(bead.started_s):.1f} s of arc"
    return Bar(bead_kind(bead), x0, max(x1, x0 + 1.5), told)


def bead_kind(bead: Bead) -> str:
    """Return how a bead is drawn."""
    if bead.lost:
        return "bead-lost"
    if not bead.counted:
        return "bead-uncounted"
    return "bead-broken" if bead.broken_s >= _LONG_BREAK_S else "bead"


def _left_alone(plot: Plot, table: Table) -> list[float]:
    return [
        bead.ended_s
        for bead in table.beads
        if bead.peened == "left alone"
        and bead.ended_s is not None
        and plot.meets(bead.ended_s, bead.ended_s)
    ]


def _peen_kind(stay: Stay, beads: Sequence[Bead]) -> str:
    """Return how a peen is drawn: hollow where nobody confirmed it."""
    before = bisect.bisect_left(beads, stay.to_s, key=lambda bead: bead.started_s)
    return "bar-unsaid" if before and beads[before - 1].peened == "not confirmed" else "bar-peen"


def _spells(
    plot: Plot, name: str, stays: Iterable[tuple[Stay, str]], crossed: Sequence[float] = ()
) -> None:
    """Draw a lane of stays, each of its kind, with a cross at each of some moments."""
    bars = [
        Bar(kind, plot.x_of(stay.from_s), plot.x_of(stay.to_s), f"at {clock(stay.from_s)}")
        for stay, kind in stays
        if plot.meets(stay.from_s, stay.to_s)
    ]
    if not bars and not crossed:
        return
    top, bottom = lane(plot, name)
    _bars(plot, bars, top + 2, bottom - 2)
    reach, middle = 0.3 * plot.size.letter, (top + bottom) / 2.0
    for t_s in crossed:
        x = plot.x_of(t_s)
        plot.add(ink.line("cross", x - reach, middle - reach, x + reach, middle + reach))
        plot.add(ink.line("cross", x - reach, middle + reach, x + reach, middle - reach))


def _warned(plot: Plot, series: Series) -> None:
    cues = [cue for cue in series.warned if plot.meets(cue.t_s, cue.t_s)]
    if not cues:
        return
    top, bottom = lane(plot, "warned")
    half, middle, drawn_to = 0.42 * plot.size.letter, (top + bottom) / 2.0, 0.0
    for cue in cues:
        x = plot.x_of(cue.t_s)
        if x - drawn_to < 1.0:
            continue
        drawn_to = x
        told = plot.told(f"{cue.word} at {clock(cue.t_s)}")
        corners = _SQUARE if cue.urgency is Urgency.FAULT else _TRIANGLE
        places = [(x + half * dx, middle + half * dy) for dx, dy in corners]
        plot.add(ink.shape(f"cue-{cue.urgency.lower()}", places, told))


def _done(plot: Plot, deeds: Iterable[tuple[float, str]]) -> None:
    """Draw a line at each deed, and its word in the first row with room for it.

    What was done to the cover comes first; a word without room is in the page's own list.
    """
    seen = [(plot.x_of(t_s), words) for t_s, words in deeds if plot.meets(t_s, t_s)]
    if not seen:
        return
    size = plot.size.letter
    top, bottom = lane(plot, "done")
    high = bottom - top
    room = Room(Box(plot.left - 4.0, top, plot.size.wide, top + _ROWS * high + 1.0))
    lowest = bottom
    for x, words in sorted(seen, key=lambda deed: not deed[1].startswith(_FIRST)):
        wide = ink.wide(words, size)
        box = room.place(
            Box(left, top + row * high, left + wide, top + (row + 1) * high)
            for row in range(_ROWS)
            for left in (x + 4.0, x - 4.0 - wide)
        )
        if box is not None:
            lowest = max(lowest, box.bottom)
            plot.add(ink.text("lane", box.left, (box.top + box.bottom) / 2.0, words))
    plot.foot += lowest - bottom
    for x, _ in seen:
        plot.behind(ink.line("at", x, plot.top, x, lowest))
