"""The page of all keys, and with ? again that of the sensor's states.

Any other key goes back and does nothing else.
"""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen

from pacer.screen.keys import (
    HELP,
    KEYS,
    LIST_KEYS,
    OTHER,
    QUIT,
    Group,
    Key,
    pace_keys,
    same,
)
from pacer.screen.parts.standing import ABOUT
from pacer.screen.press import Presses
from pacer.screen.view import View
from pacer.screen.widgets.panel import (
    BADGE,
    PLAIN,
    QUIET,
    STRONG,
    Panel,
    Row,
    beside,
    fitted,
    wrapped,
)

MODIFIERS = frozenset(
    f"{side}{key}" for side in ("left_", "right_") for key in ("shift", "control", "alt", "super")
) | {"caps_lock", "num_lock", "scroll_lock", "left_hyper", "right_hyper", "left_meta", "right_meta"}

_HEADS: dict[Group, str] = {
    "moment": "At every moment",
    "beads": "Between beads",
    "list": "The list before the heat",
    "side": "At the side",
    "pace": "Practice and replay",
}
_BESIDE = 78
"""From this width on two columns stand beside each other."""


class KeyPage(Panel):
    """Every key with what it does, by when it is wanted."""

    def part(self, view: View) -> object:
        """The page differs by kind only."""
        return view.kind

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint the keys of every moment across, the others in two columns."""
        rows: list[Row] = [
            [(" The keys", STRONG), (" (any key goes back; ? the sensor's states)", QUIET)]
        ]
        replayed = view.kind == "replay"
        rows += _group("moment", width, [HELP, QUIT] if replayed else [*KEYS, OTHER, HELP, QUIT])
        left, right = (width // 2, width - width // 2) if width >= _BESIDE else (width, width)
        keys = [*KEYS, *LIST_KEYS]
        if replayed:
            keys = [key for key in KEYS if key.do == "theme"]
        first = _group("beads", left, keys) + _group("list", left, keys)
        first += _group("pace", left, [*pace_keys(view.kind)])
        second = _group("side", right, keys)
        return [*rows, *(beside(first, second, left) if right < width else first + second)][:height]


def _group(group: Group, width: int, keys: list[Key]) -> list[Row]:
    """Return the rows of a group below its head; nothing for a group without keys."""
    rows: list[Row] = [
        [(f" {key.shown:>5} ", BADGE), (f" {fitted(key.about, width - 9)}", PLAIN)]
        for key in keys
        if key.group == group
    ]
    return [[(f" {_HEADS[group]}", STRONG)], *rows] if rows else []


_WORD = max(len(state) for state in ABOUT)


class StatePage(Panel):
    """Every state of a sensor with its meaning, the present one marked."""

    def part(self, view: View) -> object:
        """The present state, and the whole sensor line."""
        return view.stands, view.sensor, view.measured

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint a state a row, then what the sensor line and the probe's place say in full."""
        head: Row = [(" The sensor's states", STRONG), (" (any key goes back)", QUIET)]
        rows = [head]
        for state, meaning in ABOUT.items():
            here = state is view.stands
            mark, look = ("▸", BADGE) if here else (" ", STRONG)
            about = fitted(meaning, width - _WORD - 4)
            rows.append([(f"{mark}{state:<{_WORD}} ", look), (f" {about}", PLAIN)])
        said = [*wrapped(view.sensor, width - 2, 2), fitted(view.measured, width - 2)]
        if height > len(rows) + len(said):
            rows.append([])
        return [*rows, *([(f" {line}", QUIET)] for line in said)][:height]


class KeyScreen(Screen[None]):
    """The pages, one at a time."""

    AUTO_FOCUS = ""

    def __init__(self, view: View, presses: Presses) -> None:
        """Take the view of the moment, and who judges presses: a key held on is no new one."""
        super().__init__()
        self.view, self._presses = view, presses

    def compose(self) -> ComposeResult:
        """Both pages; the second waits for its key."""
        yield KeyPage("keys")
        yield StatePage("states")

    def on_mount(self) -> None:
        """Paint them."""
        for page in self.query(Panel):
            page.show(self.view)
        self.query_one(StatePage).display = False

    def on_key(self, event: events.Key) -> None:
        """Go on to the second page, or back."""
        event.stop()
        event.prevent_default()
        if event.key in MODIFIERS:
            return
        name = event.key.lower()
        first = self.query_one(KeyPage).display
        act = self._turn if name in HELP.names and first else self.dismiss
        self._presses.judge(same(name), event.time, act, self.set_timer)

    def _turn(self) -> None:
        self.query_one(KeyPage).display = False
        self.query_one(StatePage).display = True
