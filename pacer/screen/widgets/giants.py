"""What is read from across the shop: the word, the time, the temperature."""

from __future__ import annotations

from rich.cells import cell_len

from pacer.screen.view import View
from pacer.screen.widgets.blocks import blocks
from pacer.screen.widgets.panel import ALERT, PLAIN, QUIET, STRONG, Panel, Row, fitted, wrapped
from pacer.session.cues import Urgency

_WORDY = 60

# Shape at both edges of the word, beside inverse colours: what kind of cue it is.
_EDGE = {Urgency.STEP: "", Urgency.WARN: "▲▲", Urgency.FAULT: "▞▞"}


class Word(Panel):
    """The giant word in the middle of its band."""

    def part(self, view: View) -> object:
        """Word and urgency."""
        return view.word, view.urgency

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint block letters, edges for WARN and FAULT."""
        self.set_class(view.urgency is Urgency.WARN, "-warn")
        self.set_class(view.urgency is Urgency.FAULT, "-fault")
        edge = _EDGE[view.urgency]
        inner = width - 2 * (len(edge) + 1)
        drawn = blocks(view.word, inner, height - (height > 9) - (height > 12))
        above = (height - len(drawn) + 1) // 2
        lines = [""] * above + list(drawn) + [""] * (height - above - len(drawn))
        return [[(f"{edge} {line.center(inner)} {edge}", STRONG)] for line in lines[:height]]


class Words(Panel):
    """The line below the word."""

    def part(self, view: View) -> object:
        """The words."""
        return view.words

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint centred, in as many lines as there are."""
        lines = wrapped(view.words, width - 2, height)
        return [
            [(" " * max(0, (width - cell_len(line)) // 2), PLAIN), (line, STRONG)] for line in lines
        ]


def _giant(
    digits: str, unit: str, label: list[tuple[str, str]], width: int, height: int
) -> list[Row]:
    """Paint digits with their unit beside them and a label row underneath."""
    room = height - 1
    drawn = blocks(digits, width - 2 - (cell_len(unit) + 1 if unit else 0), room)
    across = max((len(line) for line in drawn), default=0) + (cell_len(unit) + 1 if unit else 0)
    margin = " " * max(0, (width - across) // 2)
    rows: list[Row] = [[(margin + line, STRONG)] for line in drawn]
    if unit and rows:
        rows[0].append((f" {unit}", STRONG))
    while len(rows) < room:
        rows.append([])
    length = sum(cell_len(text) for text, _ in label)
    return [*rows, [(" " * max(0, (width - length) // 2), PLAIN), *label]]


class Clock(Panel):
    """How long: time left, or time passed."""

    def part(self, view: View) -> object:
        """Digits and label."""
        return view.clock, view.clock_unit, view.clock_label

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint digits and what they count."""
        label = [(fitted(view.clock_label, width), PLAIN)]
        return _giant(view.clock, view.clock_unit, label, width, height)


class Thermometer(Panel):
    """The temperature, or dashes; how it was come by and where it stands."""

    def part(self, view: View) -> object:
        """The temperature panel."""
        return view.temp

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint digits and, underneath, age and place in words."""
        temp = view.temp
        known = temp.standing != "unknown"
        said = " · ".join(part for part in (temp.age, temp.place) if part)
        if not known or cell_len(said) > width:
            said = temp.age or temp.place
        look = ALERT if temp.standing in {"below", "over", "unknown"} else PLAIN
        label = [(fitted(f" {said} ", width), look)]
        return _giant(temp.digits, temp.unit if known else "", label, width, height)


class Cues(Panel):
    """The last cues, newest first; their words too where the panel is wide."""

    def part(self, view: View) -> object:
        """The cues."""
        return view.cues

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint one a row, or in a narrow panel as many a row as fit."""
        if width >= _WORDY:
            return [[(fitted(f"{a}: {b}", width), QUIET)] for a, b in view.cues[:height]]
        rows: list[str] = []
        for told, _ in view.cues:
            if rows and cell_len(rows[-1]) + 3 + cell_len(told) <= width:
                rows[-1] += f" · {told}"
            elif len(rows) < height:
                rows.append(told)
            else:
                break
        return [[(fitted(row, width), QUIET)] for row in rows]
