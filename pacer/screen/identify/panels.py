"""The three panels: top line, page, key bar."""

from __future__ import annotations

from typing import ClassVar

from rich.cells import cell_len

from pacer.screen.identify.pages import PAGES
from pacer.screen.identify.rows import DOUBT
from pacer.screen.identify.step import step_page
from pacer.screen.identify.view import IdentifyView
from pacer.screen.widgets.lines import key_row
from pacer.screen.widgets.panel import ALERT, PLAIN, QUIET, STRONG, Painted, Row, fitted


class IdentifyTop(Painted[IdentifyView]):
    """The job, and which test of how many."""

    small = ""
    "The window is too small, and what to do."

    def part(self, view: IdentifyView) -> object:
        """Everything the line can say."""
        return view.title, view.counted, self.small

    def paint(self, view: IdentifyView, width: int, height: int) -> list[Row]:
        """Paint what to do about the window in place of the rest."""
        if self.small:
            return [[(f" ! {fitted(self.small, width - 4)} ", ALERT)]]
        said = f" Identify the metal: {view.title}" if view.title else " Identify the metal"
        title = fitted(said, width - len(view.counted) - 2)
        gap = " " * max(1, width - cell_len(title) - len(view.counted) - 1)
        return [[(title, QUIET), (gap, PLAIN), (view.counted, STRONG)]]


class IdentifyPage(Painted[IdentifyView]):
    """The page that is open."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {f"look--{DOUBT}"}

    most = 0
    "By how many rows the page can be scrolled."

    def part(self, view: IdentifyView) -> object:
        """All of it."""
        return view

    def paint(self, view: IdentifyView, width: int, height: int) -> list[Row]:
        """Paint the page, or that part of a long one that is scrolled to."""
        self.most = self.scrolls(view)
        if view.page == "test":
            return step_page(view, width, height)
        rows = PAGES[view.page](view, width)
        if self.most == 0:
            return rows
        first = min(view.scroll, self.most)
        end = first + height - 1
        below = len(rows) - end
        said = f"{below} more rows: ↓" if below > 0 else "the end of the page"
        return [*rows[first:end], [(f" … {said} ", ALERT)]]

    def scrolls(self, view: IdentifyView) -> int:
        """Return by how many rows the page of a view can be scrolled at this size."""
        width, height = self.size
        if view.page == "test":
            return 0
        rows = len(PAGES[view.page](view, width))
        return 0 if rows <= height else rows - height + 1


class IdentifyKeys(Painted[IdentifyView]):
    """The key bar."""

    def part(self, view: IdentifyView) -> object:
        """The keys."""
        return view.page, view.keys

    def paint(self, view: IdentifyView, width: int, height: int) -> list[Row]:
        """Paint one row; the question at the end has its keys on its page."""
        return [] if view.page == "leave" else [key_row(view.keys, width)]
