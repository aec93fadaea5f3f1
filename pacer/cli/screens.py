"""Put a desk on the full screen."""

from __future__ import annotations

from pacer.screen.desk import Desk
from pacer.units import Shown


def show(desk: Desk, shown: Shown) -> None:
    """Run the screen until it is closed; the terminal is left as it was."""
    from pacer.run.memo import CooldownMemo
    from pacer.screen.app import PacerApp

    PacerApp(desk, shown, CooldownMemo()).run(mouse=False)
