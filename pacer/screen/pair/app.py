"""The application that shows two recordings side by side; it only looks, four times a second.

PairApp(desk, Shown("metric")).run(mouse=False)
"""

from __future__ import annotations

import asyncio
import os
import signal
from pathlib import PurePath
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.screen import Screen

from pacer.screen.help import MODIFIERS
from pacer.screen.looks import Looks
from pacer.screen.pair.desk import PairDesk
from pacer.screen.pair.keys import ALIGN, CLOSE, KEY_BY_NAME, ZOOM
from pacer.screen.pair.panels import (
    Beads,
    Facts,
    Legend,
    PairKeyPage,
    PairKeys,
    PairPanel,
    PairPlot,
    PairTop,
    Signs,
)
from pacer.screen.pair.view import PairView, pair_view
from pacer.screen.widgets.layout import LEAST, too_small
from pacer.units import Shown

LOOK_S = 0.25

_WIDE = 100
"""Columns from which the table of beads stands beside the plot."""

# Rows of the terminal: rows of both digits.
_DIGITS = ((42, 10), (29, 7), (LEAST.height, 5))

_BESIDE_DIGITS = 4
"""Rows of name, phase, label and cue."""


class PairApp(Looks):
    """One screen over one desk."""

    CSS_PATH: ClassVar[list[str | PurePath]] = ["../pacer.tcss", "pair.tcss"]
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+q,ctrl+c", "quit", show=False, priority=True)
    ]

    def __init__(
        self, desk: PairDesk, shown: Shown, *, theme: str = "dark", characters: str = "unicode"
    ) -> None:
        """Take who plays, the user's units and the looks."""
        super().__init__(theme=theme, characters=characters)
        self._desk, self._shown = desk, shown
        self.pair = PairScreen()

    def get_default_screen(self) -> PairScreen:
        """The one screen but for the page of keys."""
        return self.pair

    def on_mount(self) -> None:
        """Start looking; leave the terminal as it was when the system ends it."""
        loop = asyncio.get_running_loop()
        if os.name == "posix":
            for number in (signal.SIGTERM, signal.SIGHUP, signal.SIGINT):
                loop.add_signal_handler(number, self.exit)
        self.set_interval(LOOK_S, self.look)
        self.call_after_refresh(self.look)

    def look(self) -> None:
        """Draw the present moment."""
        if self.pair.query(PairKeys):
            self.pair.show(pair_view(self._desk.snapshot(), self._shown))

    def press(self, name: str) -> None:
        """Do what a key says; others do nothing."""
        key = KEY_BY_NAME.get(name)
        if key is None:
            return
        if key.pace is not None:
            self._desk.pace(key.pace)
        elif key is ALIGN:
            self._desk.align()
        elif key is ZOOM:
            self._desk.zoom()
        elif key.do == "theme":
            self.next_theme()
        elif key is CLOSE:
            self.exit()
        else:
            self.push_screen(PairKeyScreen(pair_view(self._desk.snapshot(), self._shown)))
        self.look()


class PairScreen(Screen[None]):
    """The two, top to bottom: facts of both, curves, what the signs mean, keys."""

    AUTO_FOCUS = ""

    def compose(self) -> ComposeResult:
        """All panels."""
        yield PairTop("top")
        with Horizontal(id="facts"):
            yield Facts("a", 0)
            yield Facts("b", 1)
        yield Legend("legend")
        with Horizontal(id="along"):
            yield PairPlot("plot")
            yield Beads("beads")
        yield Signs("signs")
        yield PairKeys("keybar")

    def on_resize(self, event: events.Resize) -> None:
        """Share the rows out."""
        width, height = event.size
        digits = next((rows for least, rows in _DIGITS if height >= least), 1)
        self.query_one("#facts").styles.height = digits + _BESIDE_DIGITS
        self.query_one(Beads).set_class(width < _WIDE, "-gone")
        self.query_one(PairTop).small = too_small(event.size)

    def on_key(self, event: events.Key) -> None:
        """Pass keys on; a held one repeats, on purpose."""
        event.stop()
        event.prevent_default()
        assert isinstance(self.app, PairApp)
        self.app.press(event.key if len(event.key) > 1 else event.key.lower())

    def show(self, view: PairView) -> None:
        """Paint what changed."""
        for panel in self.query(PairPanel):
            panel.show(view)


class PairKeyScreen(Screen[None]):
    """The page of keys."""

    AUTO_FOCUS = ""

    def __init__(self, view: PairView) -> None:
        """Take the view of the moment."""
        super().__init__()
        self._view = view

    def compose(self) -> ComposeResult:
        """One page."""
        yield PairKeyPage("keys")

    def on_mount(self) -> None:
        """Paint it."""
        self.query_one(PairKeyPage).show(self._view)

    def on_key(self, event: events.Key) -> None:
        """Go back."""
        event.stop()
        event.prevent_default()
        if event.key not in MODIFIERS:
            self.dismiss()
