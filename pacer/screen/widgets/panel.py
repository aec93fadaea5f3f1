"""`Painted`: a rectangle that paints rows of text pieces and repaints only when they change.

`Panel` is the kind that paints a session's view; two recordings side by side have another.

A piece is (text, look). Pieces are put on the screen as they are: no markup is read, so
brackets in foreign text are brackets. Looks are component classes in `pacer.tcss`; each
also differs in shape or words, so the screen works without colour.
"""

from __future__ import annotations

from typing import ClassVar, Generic, TypeVar

from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip
from textual.widget import Widget

from pacer.screen.view import View
from pacer.screen.widgets.ascii import ascii_only

Piece = tuple[str, str]
Row = list[Piece]

PLAIN, STRONG, QUIET, BADGE, ALERT, PAPER = "", "strong", "quiet", "badge", "alert", "paper"


Seen = TypeVar("Seen")
"""What a panel is a part of: finished strings and numbers, comparable."""


class Painted(Widget, Generic[Seen]):
    """Base of everything painted here; a panel says what it depends on and paints it."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "look--strong",
        "look--quiet",
        "look--badge",
        "look--alert",
        "look--paper",
    }
    can_focus = False

    def __init__(self, name: str) -> None:
        """Give the panel the id the stylesheet knows it by."""
        super().__init__(id=name)
        self.seen: Seen | None = None
        self._part: object = None
        self._rows: list[Row] = []
        self._painted: object = None

    def part(self, view: Seen) -> object:
        """Return what of a view is painted; equal parts are not painted again."""
        raise NotImplementedError

    def paint(self, view: Seen, width: int, height: int) -> list[Row]:
        """Return the rows, at most `height`; longer rows are cut."""
        raise NotImplementedError

    def show(self, view: Seen) -> None:
        """Take a view and repaint if this panel's part of it changed."""
        self.seen = view
        part = self.part(view)
        if part != self._part:
            self._part = part
            self._painted = None
            self.refresh()

    def render_line(self, y: int) -> Strip:
        """Return one painted row."""
        width, height = self.size
        if self.seen is None or width < 1:
            return Strip.blank(width, self.rich_style)
        if self._painted != (width, height):
            self._rows = self.paint(self.seen, width, height)
            self._painted = (width, height)
        if y >= len(self._rows):
            return Strip.blank(width, self.rich_style)
        plain = self.app.has_class("-ascii")
        segments = [
            Segment(ascii_only(text) if plain else text, self._style(look))
            for text, look in self._rows[y]
        ]
        return Strip(segments).adjust_cell_length(width, self.rich_style)

    def _style(self, look: str) -> Style:
        if not look:
            return self.rich_style
        return self.rich_style + self.get_component_rich_style(f"look--{look}")


class Panel(Painted[View]):
    """A part of the one screen of a session."""


def fitted(text: str, width: int) -> str:
    """Return the text cut to so many cells, an ellipsis marking the cut."""
    if cell_len(text) <= width:
        return text
    cut = text
    while cut and cell_len(cut) > width - 1:
        cut = cut[:-1]
    return f"{cut}…" if width > 0 else ""


def beside(left: list[Row], right: list[Row], width: int) -> list[Row]:
    """Return two columns as one, the left one filled up to `width`."""
    rows: list[Row] = []
    for at in range(max(len(left), len(right))):
        here = left[at] if at < len(left) else []
        used = sum(cell_len(text) for text, _ in here)
        rows.append([*here, (" " * (width - used), PLAIN), *(right[at] if at < len(right) else [])])
    return rows


def wrapped(text: str, width: int, height: int) -> list[str]:
    """Return the text in at most `height` lines of about equal length, broken at spaces."""
    if height < 2 or cell_len(text) <= width:
        return [fitted(text, width)] if text else []
    count = min(height, -(-cell_len(text) // width))
    even = -(-cell_len(text) // count)
    lines: list[str] = []
    rest = text
    while rest and len(lines) < height - 1 and cell_len(rest) > width:
        # The first space after an even share, else the last one that fits.
        at = rest.find(" ", even - 1)
        if not 0 < at <= width:
            at = rest.rfind(" ", 0, width + 1)
        at = at if at > 0 else width
        lines.append(rest[:at])
        rest = rest[at:].lstrip()
    return [*lines, fitted(rest, width)] if rest else lines
