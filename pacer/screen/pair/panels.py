"""The panels of two recordings side by side."""

from __future__ import annotations

from typing import ClassVar

from rich.cells import cell_len

from pacer.screen.pair.keys import ROWS
from pacer.screen.pair.lane import LEGEND
from pacer.screen.pair.plot import BAR, LINE, OTHER, axis_row, lane_row, plot_rows
from pacer.screen.pair.view import BeadRow, PairView, SideView
from pacer.screen.widgets.giants import thermometer
from pacer.screen.widgets.lines import key_row
from pacer.screen.widgets.panel import (
    ALERT,
    BADGE,
    PLAIN,
    QUIET,
    STRONG,
    Painted,
    Piece,
    Row,
    fitted,
)

LOOKS = {"A": STRONG, "B": OTHER}


class PairPanel(Painted[PairView]):
    """A part of the one screen of two recordings."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {f"look--{OTHER}"}


def _apart(left: Row, right: Piece, width: int) -> Row:
    """Return a row with one piece at its right end."""
    used = sum(cell_len(text) for text, _ in left) + cell_len(right[0])
    return [*left, (" " * max(1, width - used), PLAIN), right]


class PairTop(PairPanel):
    """That these are replays, how they are aligned and played, and the time on the axis."""

    small = ""
    "The window is too small, and what to do."

    def part(self, view: PairView) -> object:
        """Everything the line can say."""
        return view.banner, view.time, self.small

    def paint(self, view: PairView, width: int, height: int) -> list[Row]:
        """Paint what to do about the window in place of the rest."""
        if self.small:
            return [[(f" ! {fitted(self.small, width - 4)} ", ALERT)]]
        banner = fitted(view.banner, width - len(view.time) - 6)
        return [_apart([(f" ■ {banner} ", BADGE)], (f"{view.time} ", STRONG), width)]


class Facts(PairPanel):
    """One recording at the present moment."""

    def __init__(self, name: str, place: int) -> None:
        """Take the id, and which of the two it is."""
        super().__init__(name)
        self._place = place

    def part(self, view: PairView) -> object:
        """All of its side."""
        return view.sides[self._place]

    def paint(self, view: PairView, width: int, height: int) -> list[Row]:
        """Paint name, phase, digits and the last cue; the digits get the rows to spare."""
        side = view.sides[self._place]
        head, phase = _name(side, width), _phase(side, width)
        cue: Row = [(f" {fitted(side.cue, width - 2)}", QUIET)]
        digits = thermometer(side.temp, width - 1, max(1, height - 3))
        return [head, phase, *digits, cue][:height]


def _name(side: SideView, width: int) -> Row:
    marks = f" {side.marks} " if side.marks else ""
    room = width - 6 - cell_len(marks)
    left: Row = [(f" {side.letter} ", BADGE), (f" {fitted(side.name, room)} ", LOOKS[side.letter])]
    return [*left, (marks, ALERT)]


def _phase(side: SideView, width: int) -> Row:
    alarm = f" {side.alarm} " if side.alarm else ""
    room = width - cell_len(alarm) - len(side.time) - 5
    left: Row = [(f" {fitted(side.phase, room)} ", LOOKS[side.letter]), (alarm, ALERT)]
    return _apart(left, (f"{side.time} ", PLAIN), width)


class Legend(PairPanel):
    """Which curve is whose, and how far apart the two are."""

    def part(self, view: PairView) -> object:
        """The difference and the span; the rest never changes."""
        return view.difference, view.drawn

    def paint(self, view: PairView, width: int, height: int) -> list[Row]:
        """Paint a sample of each curve, then words."""
        row: Row = [(f" A {LINE}", STRONG), ("  ", PLAIN), (f"B {BAR}", OTHER)]
        row.append((f"   {view.difference}", STRONG))
        return [_apart(row, (f"{view.drawn} ", QUIET), width)]


class PairPlot(PairPanel):
    """Both curves, the axis and the two lanes below it."""

    def part(self, view: PairView) -> object:
        """Everything along the axis."""
        return view.plot, view.lanes

    def paint(self, view: PairView, width: int, height: int) -> list[Row]:
        """Paint the lanes first where there is little room: they tell most in one row."""
        axis = view.plot.axis
        below = [axis_row(axis, width), *(lane_row(lane, axis, width) for lane in view.lanes)]
        return [*plot_rows(view.plot, width, height - len(below)), *below][-height:]


class Beads(PairPanel):
    """Each bead's temperature just before its arc, and when it was struck, in both."""

    def part(self, view: PairView) -> object:
        """The rows."""
        return view.beads

    def paint(self, view: PairView, width: int, height: int) -> list[Row]:
        """Paint those around the present one."""
        head: Row = [(f" bead  {'A before the arc':<17} B before the arc", QUIET)]
        if not view.beads:
            return [[(" no bead in either", QUIET)]]
        room = max(0, height - 1)
        present = next((at for at, row in enumerate(view.beads) if row.present), 0)
        first = max(0, min(present - room // 2, len(view.beads) - room))
        return [head, *(_bead(row) for row in view.beads[first : first + room])][:height]


def _bead(row: BeadRow) -> Row:
    a, b = (struck or "none" for struck in row.struck)
    sign = "▸" if row.present else " "
    number: Piece = (f"{sign}{row.number:>4} ", BADGE if row.present else PLAIN)
    return [number, (f" {a:<17} ", STRONG), (b, OTHER)]


class Signs(PairPanel):
    """What the signs of the lanes mean."""

    def part(self, view: PairView) -> object:
        """It never changes."""
        return LEGEND

    def paint(self, view: PairView, width: int, height: int) -> list[Row]:
        """Paint them in one row."""
        said = "  ".join(f"{sign} {word}" for sign, word in LEGEND)
        return [[(fitted(f" {said}", width), QUIET)]]


class PairKeys(PairPanel):
    """The key bar."""

    def part(self, view: PairView) -> object:
        """The keys."""
        return view.keys

    def paint(self, view: PairView, width: int, height: int) -> list[Row]:
        """Paint one row."""
        return [key_row(view.keys, width)]


class PairKeyPage(PairPanel):
    """Every key with what it does."""

    def part(self, view: PairView) -> object:
        """It never changes."""
        return ROWS

    def paint(self, view: PairView, width: int, height: int) -> list[Row]:
        """Paint one a row."""
        head: Row = [(" The keys", STRONG), (" (any key goes back)", QUIET)]
        keys: list[Row] = [
            [(f" {key.shown:>5} ", BADGE), (f" {fitted(key.about, width - 9)}", PLAIN)]
            for key in ROWS
        ]
        return [head, *keys][:height]
