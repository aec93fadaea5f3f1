"""Put a desk on the full screen."""

from __future__ import annotations

from collections.abc import Callable

from pacer.screen.desk import Desk
from pacer.sound.sink import Bell, Sink
from pacer.units import Shown


def show(desk: Desk, shown: Shown, add_sink: Callable[[Sink], None] | None = None) -> None:
    """Run the screen until it is closed; the terminal is left as it was.

    `add_sink` takes the terminal's bell, which only the screen may ring.
    """
    from pacer.run.memo import Foresight
    from pacer.screen.app import PacerApp

    app = PacerApp(desk, shown, Foresight())
    if add_sink is not None:
        add_sink(Bell(app.ring))
    app.run(mouse=False)
