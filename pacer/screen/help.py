"""The page of all keys; any key goes back and does nothing else."""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen

from pacer.screen.keys import HELP, KEYS, PACE_KEYS, QUIT
from pacer.screen.view import View
from pacer.screen.widgets.panel import BADGE, PLAIN, QUIET, STRONG, Panel, Row, fitted

MODIFIERS = frozenset(
    f"{side}{key}" for side in ("left_", "right_") for key in ("shift", "control", "alt", "super")
) | {"caps_lock", "num_lock", "scroll_lock", "left_hyper", "right_hyper", "left_meta", "right_meta"}


class KeyPage(Panel):
    """Every key with what it does."""

    def part(self, view: View) -> object:
        """The page differs by kind only."""
        return view.kind

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint one key a row, the pace keys of practice and replay in one."""
        rows: list[Row] = [[("  The keys", STRONG), (" (any key goes back)", QUIET)]]
        keys = [*([] if view.kind == "replay" else KEYS), HELP, QUIT]
        for key in keys:
            rows.append(
                [(f"  {key.shown:>5} ", BADGE), (f"  {fitted(key.about, width - 12)}", PLAIN)]
            )
        if view.kind != "live":
            pace = "   ".join(f"{key.shown} {key.word}" for key in PACE_KEYS)
            rows.append([("   pace ", BADGE), (f"  {fitted(pace, width - 12)}", PLAIN)])
        return rows[:height]


class KeyScreen(Screen[None]):
    """The page alone."""

    AUTO_FOCUS = ""

    def __init__(self, view: View) -> None:
        """Take the view of the moment, for what kind of session it is."""
        super().__init__()
        self._view = view

    def compose(self) -> ComposeResult:
        """One panel."""
        yield KeyPage("keys")

    def on_mount(self) -> None:
        """Paint it."""
        self.query_one(KeyPage).show(self._view)

    def on_key(self, event: events.Key) -> None:
        """Go back."""
        event.stop()
        event.prevent_default()
        if event.key not in MODIFIERS:
            self.dismiss()
