"""The running application over a fake desk, and a keyboard whose time the test sets."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from typing import Any

import fake_desk as fd
from textual import events
from textual.app import App
from textual.pilot import Pilot

from pacer.screen.app import PacerApp
from pacer.screen.desk import Kind
from pacer.screen.widgets.lines import Foot
from pacer.units import Shown, System

APART_S = 2.0
"""Presses so far apart are never one, and never a held key."""


class Typing:
    """Presses keys of any application at times of its own, however slow the machine is."""

    def __init__(self, app: App[None], pilot: Pilot[None]) -> None:
        self._app, self.pilot = app, pilot
        self.at_s = asyncio.get_running_loop().time()

    async def press(self, *names: str, gap_s: float = APART_S) -> None:
        """Press keys one after the other, the first `gap_s` after the last one before."""
        for name in names:
            self.at_s += gap_s
            event = events.Key(name, name if len(name) == 1 else None)
            event.time = self.at_s
            event.set_sender(self._app)
            assert self._app._driver is not None
            self._app._driver.send_message(event)
        await self.pilot.pause()

    def now(self) -> None:
        """Set the keyboard's time to the application's."""
        self.at_s = asyncio.get_running_loop().time() - APART_S

    async def hold(self, name: str, times: int, after_s: float = 0.5, gap_s: float = 0.033) -> None:
        """Hold a key down: a press, and after a while its repeats."""
        await self.press(name)
        await self.press(name, gap_s=after_s)
        await self.press(*[name] * times, gap_s=gap_s)


class Keyboard(Typing):
    """The keyboard of the live screen over a fake desk."""

    def __init__(self, app: PacerApp, pilot: Pilot[None], desk: fd.FakeDesk) -> None:
        super().__init__(app, pilot)
        self.app, self.desk = app, desk


Play = Callable[[Keyboard], Awaitable[None]]


def play(
    session: fd.Session,
    script: Play,
    *,
    kind: Kind = "live",
    system: System = "metric",
    size: tuple[int, int] = (80, 24),
    **more: Any,
) -> fd.FakeDesk:
    """Run the application, let the script press keys, and return the desk."""
    desk = fd.desk(session, kind)

    async def run() -> None:
        app = PacerApp(desk, Shown(system), **more)
        async with app.run_test(size=size) as pilot:
            app.look()
            await pilot.pause()
            await script(Keyboard(app, pilot, desk))

    asyncio.run(run())
    return desk


def press(*names: str, gap_s: float = APART_S) -> Play:
    """Return a script that presses keys."""

    async def script(keys: Keyboard) -> None:
        await keys.press(*names, gap_s=gap_s)

    return script


def foot(app: PacerApp) -> str:
    """Return the notice in the foot line."""
    return app.live.query_one(Foot).notice


def painted(app: PacerApp) -> list[str]:
    """Return the rows of the screen on top."""
    return [strip.text for strip in app.screen._compositor.render_strips()]
