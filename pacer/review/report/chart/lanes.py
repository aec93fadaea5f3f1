"""Lanes above and below a plot: findings, phases, beads, peens, reheats, warnings, what was done."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from pacer.review.moments import clock
from pacer.review.report.chart import ink
from pacer.review.report.chart.plot import Plot
from pacer.review.report.series import Series, Stay
from pacer.review.table import Table
from pacer.session.cues import Urgency
from pacer.session.finding import Finding
from pacer.session.work import Phase

_GROUPS: dict[Phase, str] = {
    **dict.fromkeys((Phase.PREHEAT, Phase.REHEAT, Phase.POST_HEAT), "heat"),
    Phase.BEAD: "weld",
    **dict.fromkeys((Phase.PEEN, Phase.LOOK), "peen"),
    **dict.fromkeys((Phase.BURY, Phase.COOL_DOWN, Phase.DONE), "cool"),
}
"""How a phase is shaded; the others are pale. Its name stands in it where there is room."""


Corners = tuple[tuple[int, int], ...]
_SQUARE: Corners = ((-1, -1), (1, -1), (1, 1), (-1, 1))
_TRIANGLE: Corners = ((0, -1), (1, 1), (-1, 1))


class Mark(NamedTuple):
    """A word at a moment."""

    t_s: float
    words: str


def badges(plot: Plot, findings: Sequence[Finding]) -> None:
    """Draw the findings' numbers above the plot, with a line down to their moment."""
    size, y = plot.size.letter, plot.top - 2.3 * plot.size.letter
    row: list[tuple[float, list[int]]] = []
    numbered = [
        (plot.x_of(f.t_s), n) for n, f in enumerate(findings, 1) if plot.meets(f.t_s, f.t_s)
    ]
    for x, n in sorted(numbered):
        plot.add(ink.line("at", x, y, x, plot.bottom))
        room = 1.9 * size if not row else _pill(row[-1][1], size) / 2.0 + 0.9 * size
        if row and x - row[-1][0] < room:
            row[-1][1].append(n)
        else:
            row.append((x, [n]))
    for x, numbers in row:
        high, half = 0.72 * size, _pill(numbers, size) / 2.0
        x = min(max(x, plot.left + half), plot.right - half)
        told = "; ".join(f"{n}: {findings[n - 1].name}" for n in numbers[:9])
        plot.add(ink.area("badge", x - half, y - high, x + half, y + high, told))
        plot.add(ink.text("number", x, y, _joined(numbers), "middle"))


def _joined(numbers: list[int]) -> str:
    """Return numbers as a list, or as a range where they are many.

    >>> _joined([1, 2]), _joined([4, 5, 6, 7])
    ('1, 2', '4–7')
    """
    listed = sorted(numbers)
    if len(listed) > 2:
        return f"{listed[0]}–{listed[-1]}" if _run(listed) else f"{listed[0]}, {listed[1]} …"
    return ", ".join(map(str, listed))


def _run(listed: list[int]) -> bool:
    return listed == list(range(listed[0], listed[-1] + 1))


def _pill(numbers: list[int], size: float) -> float:
    return max(1.6 * size, ink.wide(_joined(numbers), size) + 0.9 * size)


def below(plot: Plot, series: Series, table: Table) -> None:
    """Draw every lane that has something in this window."""
    _phases(plot, series.stays)
    _beads(plot, table)
    peens = [stay for stay in series.stays if stay.phase is Phase.PEEN]
    _bars(plot, "peens", "bar-peen", peens, _left_alone(plot, table))
    reheats = [stay for stay in series.stays if stay.phase is Phase.REHEAT]
    _bars(plot, "reheats", "bar-heat", reheats)
    _warned(plot, series)
    _done(plot, [Mark(act.t_s, act.deed) for act in table.said])


def below_cool_down(plot: Plot, series: Series, table: Table) -> None:
    """Draw the lanes that a cool-down can have."""
    _warned(plot, series)
    _done(plot, [Mark(act.t_s, act.deed) for act in table.said])


def lane(plot: Plot, name: str) -> tuple[float, float]:
    """Begin a lane; return the top and bottom of its bars."""
    high = 1.3 * plot.size.letter
    top = plot.foot
    plot.foot = top + high + 0.35 * plot.size.letter
    plot.add(ink.text("lane", plot.left - 6, top + high / 2.0, name, "end"))
    return top, top + high


def _phases(plot: Plot, stays: Iterable[Stay]) -> None:
    seen = [stay for stay in stays if plot.meets(stay.from_s, stay.to_s)]
    if not seen:
        return
    top, bottom = lane(plot, "phases")
    drawn_to = plot.left - 1.0
    for stay in seen:
        x0, x1 = plot.x_of(stay.from_s), plot.x_of(stay.to_s)
        if x1 - drawn_to < 0.5:
            # Thousands of stays in a hostile log come to a pixel each.
            continue
        drawn_to = x1
        kind = f"phase-{_GROUPS.get(stay.phase, 'still')}"
        told = f"{stay.phase} from {clock(stay.from_s)} to {clock(stay.to_s)}"
        plot.add(ink.area(kind, x0, top, x1, bottom, told))
        if ink.wide(stay.phase, plot.size.letter) + 4 < x1 - x0:
            middle = (top + bottom) / 2.0
            plot.add(ink.text(f"{kind}-word", (x0 + x1) / 2.0, middle, stay.phase, "middle"))


def _beads(plot: Plot, table: Table) -> None:
    beads = [b for b in table.beads if plot.meets(b.started_s, b.ended_s or b.started_s)]
    if not beads:
        return
    top, bottom = lane(plot, "beads")
    size = plot.size.letter
    # Numbers stand under their beads, where there is room.
    plot.foot += size
    written_to = drawn_to = plot.left - size
    for bead in beads:
        x0, x1 = plot.x_of(bead.started_s), plot.x_of(bead.ended_s or bead.started_s)
        if max(x1, x0 + 0.6) - drawn_to < 0.5:
            continue
        drawn_to = max(x1, x0 + 0.6)
        kind = "bead-lost" if bead.lost else "bead" if bead.counted else "bead-uncounted"
        plot.add(ink.area(kind, x0, top, max(x1, x0 + 1.5), bottom, f"bead {bead.number}"))
        half = ink.wide(str(bead.number), size) / 2.0
        middle = (x0 + x1) / 2.0
        if middle - half > written_to + 2 and middle + half < plot.size.wide:
            plot.add(ink.text("lane", middle, bottom + 0.7 * size, str(bead.number), "middle"))
            written_to = middle + half


def _left_alone(plot: Plot, table: Table) -> list[float]:
    return [
        bead.ended_s
        for bead in table.beads
        if bead.peened == "left alone"
        and bead.ended_s is not None
        and plot.meets(bead.ended_s, bead.ended_s)
    ]


def _bars(
    plot: Plot, name: str, kind: str, stays: Iterable[Stay], crossed: Sequence[float] = ()
) -> None:
    seen = [stay for stay in stays if plot.meets(stay.from_s, stay.to_s)]
    if not seen and not crossed:
        return
    top, bottom = lane(plot, name)
    drawn_to = plot.left - 1.0
    for stay in seen:
        x0, x1 = plot.x_of(stay.from_s), plot.x_of(stay.to_s)
        if max(x1, x0 + 0.6) - drawn_to < 0.5:
            continue
        drawn_to = max(x1, x0 + 0.6)
        plot.add(
            ink.area(kind, x0, top + 2, x1, bottom - 2, f"{stay.phase} at {clock(stay.from_s)}")
        )
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
        told = f"{cue.word} at {clock(cue.t_s)}"
        corners = _SQUARE if cue.urgency is Urgency.FAULT else _TRIANGLE
        places = [(x + half * dx, middle + half * dy) for dx, dy in corners]
        plot.add(ink.shape(f"cue-{cue.urgency.lower()}", places, told))


def _done(plot: Plot, marks: Iterable[Mark]) -> None:
    seen = [mark for mark in marks if plot.meets(mark.t_s, mark.t_s)]
    if not seen:
        return
    top, bottom = lane(plot, "done")
    written_to, size = plot.left - 4.0, plot.size.letter
    for mark in seen:
        x, wide = plot.x_of(mark.t_s), ink.wide(mark.words, size)
        plot.add(ink.line("at", x, plot.top, x, bottom))
        left = x + 3 if x + 3 + wide < plot.size.wide else x - 3 - wide
        if left > written_to + 3:
            plot.add(ink.text("lane", left, (top + bottom) / 2.0, mark.words))
            written_to = left + wide
