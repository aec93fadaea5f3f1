"""What is read from across the shop: the word, the time, the temperature."""

from __future__ import annotations

from rich.cells import cell_len

from pacer.screen.parts.temperature import DASHES, Temperature
from pacer.screen.view import View
from pacer.screen.widgets.blocks import blocks
from pacer.screen.widgets.panel import (
    ALERT,
    PAPER,
    PLAIN,
    QUIET,
    STRONG,
    Panel,
    Row,
    fitted,
    wrapped,
)
from pacer.session.cues import Urgency

REPLAY = "REPLAY"
_REPLAY_SHARE = 0.5
"""Of the word's band at most; the letters get as high as fit. Common practice, no source."""

_WORDY = 60
LEADING = 2
"""Rows that the time is higher than the temperature where it matters more."""

# Shape at both edges of the word, beside inverse colours: what kind of cue it is.
_EDGE = {Urgency.STEP: "", Urgency.WARN: "▲▲", Urgency.FAULT: "▞▞"}
_BROAD = 96
"Columns from which the edges are twice as broad."


class Word(Panel):
    """The giant word in the middle of its band."""

    def part(self, view: View) -> object:
        """Word, urgency, where the marks of an unanswered alarm stand, and if it is a replay."""
        return view.word, view.urgency, view.unanswered, view.beat, view.kind

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint block letters, edges for WARN and FAULT.

        Unanswered, one edge is marked at a time, to and fro: a symbol may flash, text never
        (CRIOP 3.5.8.2 and IMO guideline as quoted in reliability.md section 7).
        A replay says so as large as the word, beside it: from the table nobody reads the top
        line, and nobody may act on what was to be done then.
        """
        edge = _EDGE[view.urgency] * (2 if width >= _BROAD else 1)
        inner = width - 2 * (len(edge) + 1)
        left, right = edge, edge
        if view.unanswered:
            blank = " " * len(edge)
            left, right = (blank, edge) if view.beat else (edge, blank)
        high = height - (height > 9) - (height > 12)
        if view.kind == "replay":
            drawn = replayed(view.word, inner, high)
        else:
            drawn = word_blocks(view.word, inner, high)
        above = (height - len(drawn) + 1) // 2
        lines = [""] * above + list(drawn) + [""] * (height - above - len(drawn))
        return [[(f"{left} {line.center(inner)} {right}", STRONG)] for line in lines[:height]]


def word_blocks(word: str, width: int, height: int) -> tuple[str, ...]:
    """Return the word in blocks, in two lines where it is too long for one."""
    one = blocks(word, width, height)
    if len(one) > 1 or not (" " in word or "-" in word):
        return one
    middle = len(word) // 2
    at = min((at for at, ch in enumerate(word) if ch in " -"), key=lambda at: abs(at - middle))
    lines = [blocks(half, width, (height - 1) // 2) for half in (word[:at], word[at + 1 :])]
    if min(len(line) for line in lines) < 2:
        return one
    wide = max(len(row) for line in lines for row in line)
    upper, lower = ([row.center(wide) for row in line] for line in lines)
    return (*upper, " " * wide, *lower)


def replayed(word: str, width: int, height: int) -> tuple[str, ...]:
    """Return REPLAY and the word beside each other, each in blocks where there is room."""
    mark = word_blocks(REPLAY, int(width * _REPLAY_SHARE), height)
    across = max(map(cell_len, mark))
    said = word_blocks(word, width - across - len(_BETWEEN), height)
    wide = max(map(cell_len, said))
    rows = max(len(mark), len(said))

    def at(drawn: tuple[str, ...], row: int, wide: int) -> str:
        row -= (rows - len(drawn)) // 2
        return (drawn[row] if 0 <= row < len(drawn) else "").ljust(wide)

    return tuple(f"{at(mark, row, across)}{_BETWEEN}{at(said, row, wide)}" for row in range(rows))


_BETWEEN = "    "


class Words(Panel):
    """The line below the word."""

    def part(self, view: View) -> object:
        """The words."""
        return view.words

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint centred, in as many lines as there are.

        Only the first belongs to an alarm's band: the digits below need their own paper
        above them.
        """
        first, *rest = wrapped(view.words, width - 2, height) or [""]
        rows: list[Row] = [[(first.center(width), STRONG)]]
        rows += [[(line.center(width), PAPER)] for line in rest]
        return rows + [[(" " * width, PAPER)]] * (height - len(rows))


def _giant(
    digits: str,
    unit: str,
    label: list[tuple[str, str]],
    width: int,
    height: int,
    *,
    less: int = 0,
    look: str = STRONG,
    below_unit: str = "",
) -> list[Row]:
    """Paint digits with their unit beside them and a label row underneath.

    `less`: rows to draw them lower, where another number matters more. `below_unit` stands
    there where it takes no room from the digits.
    """
    room = height - 1
    if less and room >= 7:
        room -= less
    drawn = blocks(digits, width - 2 - (cell_len(unit) + 1 if unit else 0), room)
    across = max((len(line) for line in drawn), default=0) + (cell_len(unit) + 1 if unit else 0)
    spare = width - across - max(0, cell_len(below_unit) - cell_len(unit))
    if spare < 0:
        below_unit = ""
    margin = " " * max(0, (width - across) // 2 if not below_unit else spare // 2)
    rows: list[Row] = [[(margin + line, look)] for line in drawn]
    if unit and rows:
        rows[0].append((f" {unit}", look))
    if below_unit and len(rows) > 1:
        rows[1].append((f" {below_unit}", QUIET))
    # The label stays next to its number.
    rows = [[]] * (height - 1 - len(rows)) + rows
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
    """The temperature, in doubt or not, or dashes; how it was come by and where it stands."""

    def part(self, view: View) -> object:
        """The temperature panel."""
        return view.temp

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint it, lower where the time leads."""
        return thermometer(view.temp, width, height, less=LEADING if view.time_leads else 0)


def thermometer(temp: Temperature, width: int, height: int, *, less: int = 0) -> list[Row]:
    """Return digits and, underneath, age and place in words; `less`: rows to draw them lower.

    What isn't sure is grey and says so: in a question mark, or underneath.
    """
    said = " · ".join(part for part in (temp.age, temp.place) if part)
    if cell_len(said) + 2 > width:
        said = temp.age or temp.place
    look = ALERT if temp.standing in {"below", "over", "unknown"} else PLAIN
    return _giant(
        temp.digits,
        temp.unit if temp.digits != DASHES else "",
        [(fitted(f" {said} ", width), look)],
        width,
        height,
        less=less,
        look=STRONG if temp.sure else QUIET,
        below_unit=temp.tolerance,
    )


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
