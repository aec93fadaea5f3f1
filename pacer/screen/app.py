"""The terminal application: looks at the desk four times a second, and closes cleanly.

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

from textual.app import App
from textual.binding import Binding, BindingType

from pacer.screen.desk import Desk, Snapshot
from pacer.screen.live import Live
from pacer.screen.view import Foreseen, view
from pacer.text import clean
from pacer.units import Shown

LOOK_S = 0.25

Forecaster = Callable[[Snapshot], Foreseen]
"""What is forecast for a snapshot; called four times a second, so it must remember."""


class PacerApp(App[None]):
    """One live screen over one desk."""

    CSS_PATH = "pacer.tcss"
    TITLE = "pacer"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+q,ctrl+c", "ask_close", show=False, priority=True)
    ]

    def __init__(self, desk: Desk, shown: Shown, forecast: Forecaster | None = None) -> None:
        """Take who drives, the user's units, and who forecasts, if anybody."""
        super().__init__()
        self._desk, self._shown, self._forecast = desk, shown, forecast
        self._stopped = False
        self._loop_here: asyncio.AbstractEventLoop | None = None
        self.live = Live(desk, shown)

    def get_default_screen(self) -> Live:
        """The live screen is the only one but for the page of keys."""
        return self.live

    def on_mount(self) -> None:
        """Start looking; end cleanly when the terminal or the system says so."""
        self._loop_here = loop = asyncio.get_running_loop()
        if os.name == "posix":
            for number in (signal.SIGTERM, signal.SIGHUP):
                loop.add_signal_handler(number, self._ended_from_outside)
        self.watch(self, "app_focus", lambda here: self.live.away(not here), init=False)
        self.set_interval(LOOK_S, self.look)
        self.call_after_refresh(self.look)

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
            foreseen = self._forecast(snapshot) if self._forecast is not None else None
            self.live.show(view(snapshot, self._shown, foreseen))
        except Exception as problem:
            # Drawing may fail; the session and its record may not.
            self.live.failed(clean(f"{type(problem).__name__}: {problem}", 60))

    def action_ask_close(self) -> None:
        """Ask in the live screen, whatever is on top of it."""
        while self.screen is not self.live:
            self.pop_screen()
        self.live.ask_close()

    def _ended_from_outside(self) -> None:
        """Close the recording first: a closed terminal window leaves little time."""
        try:
            self._stop_once()
        finally:
            self.exit()

    def on_unmount(self) -> None:
        """End the session, however the application ended."""
        self._stop_once()

    def _stop_once(self) -> None:
        if not self._stopped:
            self._stopped = True
            self._desk.stop()
