"""A desk that folds what is pressed at once, and the running application over it."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from typing import Any

import fake_desk as fd
from pressing import Keyboard

from pacer.screen.app import PacerApp
from pacer.screen.desk import Kind, Snapshot
from pacer.session.events import Deed
from pacer.units import Shown


class FoldingDesk(fd.FakeDesk):
    """Writes a deed down and lets the session hear it, as a driver does."""

    def __init__(self, session: fd.Session, kind: Kind = "live", **changed: Any) -> None:
        super().__init__(session.snapshot(kind=kind, **changed))
        self.session, self._kind, self._changed = session, kind, changed

    def look(self) -> Snapshot:
        """Return the session's present moment."""
        return self.session.snapshot(kind=self._kind, **self._changed)

    def press(
        self,
        deed: Deed,
        *,
        temp_c: float | None = None,
        side: int = 0,
        length_m: float | None = None,
        text: str | None = None,
    ) -> None:
        """Write it down, fold it, show what came of it."""
        super().press(deed, temp_c=temp_c, side=side, length_m=length_m, text=text)
        self.session.press(deed, temp_c=temp_c, side=side, length_m=length_m, text=text)
        self.now = self.look()


def played(
    desk: FoldingDesk,
    script: Callable[[Keyboard], Awaitable[None]],
    *,
    size: tuple[int, int] = (80, 24),
    **more: Any,
) -> list[tuple[Deed, str | None]]:
    """Run the application, let the script press keys; return what was pressed, with its words."""

    async def run() -> None:
        app = PacerApp(desk, Shown(), **more)
        async with app.run_test(size=size) as pilot:
            app.look()
            await pilot.pause()
            await script(Keyboard(app, pilot, desk))

    asyncio.run(run())
    return [(deed, said.get("text")) for deed, said in desk.deeds]


async def looked(keys: Keyboard) -> None:
    """Let the screen look at the desk, and paint what it sees."""
    keys.app.look()
    await keys.pilot.pause()
