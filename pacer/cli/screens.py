"""Put a desk on the full screen."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pacer.screen.desk import Desk
from pacer.screen.pair.desk import PairDesk
from pacer.settings import Settings
from pacer.sound.sink import Bell, Sink
from pacer.units import Shown


def show(
    desk: Desk,
    shown: Shown,
    settings: Settings,
    add_bell: Callable[[Sink], None] | None = None,
    sinks: Sequence[Sink] = (),
    *,
    check: bool = False,
    contact: bool = False,
) -> bool:
    """Run the screen until it is closed; the terminal is left as it was. False: it failed.

    `add_bell` takes the terminal's bell, which only the screen may ring. `sinks` can be
    tried on the screen, with `check` at once. `contact`: a contact at the table presses, too.
    """
    from pacer.cli.ways import ways_of
    from pacer.run.memo import Foresight
    from pacer.screen.app import PacerApp
    from pacer.screen.mend import mend_terminal

    ways = ways_of(sinks)
    app = PacerApp(
        desk,
        shown,
        Foresight(),
        theme=settings.theme,
        characters=settings.characters,
        ways=ways,
        check=check and bool(ways),
        contact=contact,
    )
    if add_bell is not None:
        add_bell(Bell(app.ring))
    mend_terminal()
    app.run(mouse=False)
    return not app.return_code


def show_pair(desk: PairDesk, shown: Shown, settings: Settings) -> bool:
    """Run the screen of two recordings until it is closed. False: it failed."""
    from pacer.screen.mend import mend_terminal
    from pacer.screen.pair.app import PairApp

    app = PairApp(desk, shown, theme=settings.theme, characters=settings.characters)
    mend_terminal()
    app.run(mouse=False)
    return not app.return_code
