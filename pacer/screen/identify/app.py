"""The application of the shop tests.

    answers = run_identify({}, "Cracked foot", read_settings())

It owns no meaning: `course.py` says what a press does, `pacer.job.metal` what an answer means.
"""

from __future__ import annotations

import asyncio
import os
import signal
from collections.abc import Mapping
from pathlib import PurePath
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import Screen

from pacer.screen.help import MODIFIERS
from pacer.screen.identify import course as moves
from pacer.screen.identify.course import Course
from pacer.screen.identify.keys import (
    CANT_TELL_KEY,
    KEEP,
    KEY_BY_NAME,
    REPEATED,
    WITHOUT,
    IdentifyKey,
)
from pacer.screen.identify.panels import IdentifyKeys, IdentifyPage, IdentifyTop
from pacer.screen.identify.view import identify_view
from pacer.screen.looks import Looks
from pacer.screen.mend import mend_terminal
from pacer.screen.press import Presses
from pacer.screen.widgets.layout import too_small
from pacer.settings import Settings
from pacer.units import Shown, System


def run_identify(
    answers: Mapping[str, str], title: str, settings: Settings
) -> dict[str, str] | None:
    """Run the shop tests on the screen, beginning with answers given before.

    Returns all answers, by test; None: the welder left without keeping them, or the system
    ended the screen. A screen that failed keeps what was answered until then.
    """
    app = IdentifyApp(
        answers,
        title,
        theme=settings.theme,
        characters=settings.characters,
        units=settings.units,
    )
    mend_terminal()
    app.run(mouse=False)
    return dict(app.course.answers) if app.return_code else app.kept


class IdentifyApp(Looks):
    """One screen over one course."""

    CSS_PATH: ClassVar[list[str | PurePath]] = ["../pacer.tcss", "identify.tcss"]
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+q,ctrl+c", "ask_close", show=False, priority=True)
    ]

    def __init__(
        self,
        answers: Mapping[str, str],
        title: str,
        *,
        theme: str = "dark",
        characters: str = "unicode",
        units: System = "metric",
    ) -> None:
        """Take the answers given before, the job's title, the looks and the user's units."""
        super().__init__(theme=theme, characters=characters)
        self.course = moves.begin(answers)
        self.kept: dict[str, str] | None = None
        self._title, self._shown = title, Shown(units)
        self._tests = IdentifyScreen()

    def get_default_screen(self) -> IdentifyScreen:
        """The one screen."""
        return self._tests

    def on_mount(self) -> None:
        """Leave the terminal as it was when the system ends it."""
        loop = asyncio.get_running_loop()
        if os.name == "posix":
            for number in (signal.SIGTERM, signal.SIGHUP, signal.SIGINT):
                loop.add_signal_handler(number, self.exit)
        self.call_after_refresh(self.look)

    def look(self) -> None:
        """Draw the present moment."""
        page = self._tests.query(IdentifyPage)
        if not page:
            return
        view = identify_view(self.course, self._title, self._shown)
        for panel in (IdentifyTop, IdentifyPage, IdentifyKeys):
            self._tests.query_one(panel).show(view)

    def action_ask_close(self) -> None:
        """Ask, or close where nothing can be lost."""
        if not self.course.answers:
            self.exit()
        elif self.course.page != "leave":
            self._now(moves.turn_to(self.course, "leave"))

    def press(self, name: str) -> None:
        """Do what a key says; others do nothing."""
        if self.course.page == "leave":
            self._end(name)
            return
        key = KEY_BY_NAME.get(name)
        if key is None:
            return
        if key.act == "looks":
            self.next_theme()
        elif key.act == "leave" or (key.act == "back" and self.course.page == "test"):
            self.action_ask_close()
        elif key.act == "keep":
            if self.course.page == "result":
                self._keep()
        else:
            self._now(self._moved(key, name))

    def _moved(self, key: IdentifyKey, name: str) -> Course:
        """Return where a key leads."""
        here, page = self.course, self._tests.query_one(IdentifyPage)
        most = page.scrolls(identify_view(here, self._title, self._shown))
        match key.act:
            case "answer":
                return _answered(here, name)
            case "take":
                return moves.take_marked(here)
            case "up" | "down":
                return moves.up_down(here, 1 if key.act == "down" else -1, most)
            case "back a page" | "on a page":
                by = 1 if key.act == "on a page" else -1
                return moves.page_up_down(here, by, most, page.size.height)
            case "skip":
                return moves.skip(here) if here.page == "test" else here
            case "undo":
                return moves.undo(here)
            case "metal":
                return moves.mark_metal(here)
            case "back":
                return moves.turn_to(here, "test")
            case "why" | "how" | "list" | "result" | "keys":
                return moves.turn_to(here, key.act)
            case _:
                return here

    def _now(self, course: Course) -> None:
        self.course = course
        self.look()

    def _end(self, name: str) -> None:
        """Take the answer to the question at the end; any other key goes on."""
        if name == KEEP:
            self._keep()
        elif name == WITHOUT:
            self.exit()
        else:
            self._now(moves.turn_to(self.course, "test"))

    def _keep(self) -> None:
        self.kept = dict(self.course.answers)
        self.exit()


def _answered(here: Course, name: str) -> Course:
    """Give an answer by its key; only where the answers are seen."""
    if here.page != "test":
        return here
    return moves.cant_tell(here) if name == CANT_TELL_KEY else moves.take(here, int(name) - 1)


class IdentifyScreen(Screen[None]):
    """Top line, page, key bar."""

    AUTO_FOCUS = ""

    def __init__(self) -> None:
        """Begin with no key pressed."""
        super().__init__()
        self._presses = Presses()

    def compose(self) -> ComposeResult:
        """All panels."""
        yield IdentifyTop("top")
        yield IdentifyPage("page")
        yield IdentifyKeys("keybar")

    def on_resize(self, event: events.Resize) -> None:
        """Say when the window is too small; the page composes itself anew."""
        self.query_one(IdentifyTop).small = too_small(event.size)
        if isinstance(self.app, IdentifyApp):
            self.app.look()

    def on_key(self, event: events.Key) -> None:
        """Pass keys on; a bump or a held key answers one test, not the next one too."""
        event.stop()
        event.prevent_default()
        app = self.app
        assert isinstance(app, IdentifyApp)
        name = event.key if len(event.key) > 1 else event.key.lower()
        if name in MODIFIERS:
            return
        key = KEY_BY_NAME.get(name)
        if key is not None and key.act in REPEATED:
            app.press(name)
        else:
            self._presses.judge(name, event.time, lambda: app.press(name), self.set_timer)
