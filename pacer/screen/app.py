"""The terminal application: looks at the desk four times a second and when something
changed, and closes cleanly.

    PacerApp(desk, Shown("metric"), forecast).run(mouse=False)

It owns no session state. The desk goes on when drawing fails, and is stopped when the
application ends in whatever way it can notice.
"""

from __future__ import annotations

import asyncio
import os
import signal
from collections.abc import Callable
from typing import ClassVar

from textual.binding import Binding, BindingType

from pacer.screen.check import CheckScreen, Way
from pacer.screen.desk import BY_THE_WELDER, Desk, Snapshot, why_ended
from pacer.screen.help import KeyScreen
from pacer.screen.keys import Do
from pacer.screen.live import Live
from pacer.screen.looks import Looks
from pacer.screen.nudge import Nudge
from pacer.screen.steady import Steady
from pacer.screen.view import Foreseen, View, beat_at, view
from pacer.session.cues import Urgency
from pacer.session.work import Phase
from pacer.text import clean
from pacer.units import Shown

LOOK_S = 0.25

TOO_LATE = "The check is for before the heat"

Forecaster = Callable[[Snapshot], Foreseen]
"""What is forecast for a snapshot; called four times a second, so it must remember."""


class PacerApp(Looks):
    """One live screen over one desk."""

    CSS_PATH = "pacer.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+q,ctrl+c", "ask_close", show=False, priority=True)
    ]

    def __init__(
        self,
        desk: Desk,
        shown: Shown,
        forecast: Forecaster | None = None,
        *,
        theme: str = "dark",
        characters: str = "unicode",
        ways: tuple[Way, ...] = (),
        check: bool = False,
        contact: bool = False,
    ) -> None:
        """Take who drives, the user's units, who forecasts, if anybody, and the looks.

        `ways` are tried by the check on V; with `check` it comes by itself at the start.
        `contact`: there is a contact at the table, whose presses don't come by the screen.
        """
        super().__init__(theme=theme, characters=characters)
        self._desk, self._shown, self._forecast = desk, shown, forecast
        self._ways, self._check_first = ways, check
        self._steady = Steady()
        self._stopped = False
        self._loop_here: asyncio.AbstractEventLoop | None = None
        do: dict[Do, Callable[[], str]] = {"theme": self.next_theme, "check": self._check}
        self.live = Live(desk, shown, do, contact=contact)

    def get_default_screen(self) -> Live:
        """The live screen is the only one but for the page of keys."""
        return self.live

    def on_mount(self) -> None:
        """Start looking; end cleanly when the terminal or the system says so."""
        self._loop_here = loop = asyncio.get_running_loop()
        if os.name == "posix":
            for number in (signal.SIGTERM, signal.SIGHUP, signal.SIGINT):
                loop.add_signal_handler(number, self._ended_from_outside, number)
        self.watch(self, "app_focus", lambda here: self.live.away(not here), init=False)
        nudge = Nudge(loop, self.look)
        self.set_interval(LOOK_S, lambda: nudge.tick(LOOK_S))
        self.call_after_refresh(self.look)
        self._desk.on_change(nudge.nudge)

    def ring(self) -> None:
        """Ring the terminal bell, from any thread and without waiting."""
        loop = self._loop_here
        if loop is not None and not loop.is_closed():
            loop.call_soon_threadsafe(self.bell)

    def look(self) -> None:
        """Draw the present moment."""
        if not self.live.whole:
            return
        try:
            snapshot = self._desk.snapshot()
            now_s = asyncio.get_running_loop().time()
            if not self._steady.due(now_s, snapshot.speed):
                return
            foreseen = self._forecast(snapshot) if self._forecast is not None else None
            seen = view(snapshot, self._shown, foreseen, beat=beat_at(now_s))
            seen = self._steady.hold(seen, now_s)
            self.live.show(seen, snapshot.state)
            self._cover(seen)
        except Exception as problem:
            # Drawing may fail; the session and its record may not.
            self.live.failed(clean(f"{type(problem).__name__}: {problem}", 60))

    def _cover(self, seen: View) -> None:
        """Open the check that was asked for; never let a page hide something new."""
        top = self.screen
        if isinstance(top, CheckScreen):
            if seen.phase is not Phase.PREPARE or seen.urgency is Urgency.FAULT:
                top.give_up()
        elif isinstance(top, KeyScreen):
            news = (seen.phase, seen.unanswered) != (top.view.phase, top.view.unanswered)
            # What a replay shows has happened long ago.
            if news and seen.kind != "replay":
                self.pop_screen()
        elif self._check_first:
            self._check_first = False
            self._check()

    def _check(self) -> str:
        """Open the check, or return why not."""
        seen = self.live.seen
        if seen is None or seen.phase is not Phase.PREPARE:
            return TOO_LATE
        self.push_screen(CheckScreen(self._ways, seen, self._checked, self.live.presses))
        return ""

    def _checked(self, missing: str) -> None:
        self._desk.press("checked", text=missing)
        self.pop_screen()

    def action_ask_close(self) -> None:
        """Ask in the live screen, whatever is on top of it."""
        while self.screen is not self.live:
            if isinstance(self.screen, CheckScreen):
                self.screen.give_up()
            else:
                self.pop_screen()
        self.live.ask_close(asyncio.get_running_loop().time())

    def _ended_from_outside(self, number: signal.Signals) -> None:
        """Close the recording first: a closed terminal window leaves little time."""
        try:
            self._stop_once(why_ended(number.name))
        finally:
            self.exit()

    def on_unmount(self) -> None:
        """End the session, however the application ended."""
        self._stop_once("the screen failed" if self.return_code else BY_THE_WELDER)

    def _stop_once(self, why: str) -> None:
        if not self._stopped:
            self._stopped = True
            self._desk.stop(why)
