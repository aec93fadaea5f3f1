"""Single lines: the top line, sensor, caution or notice, and the key bar."""

from __future__ import annotations

from collections.abc import Iterable

from rich.cells import cell_len

from pacer.screen.view import View
from pacer.screen.widgets.panel import (
    ALERT,
    BADGE,
    PLAIN,
    QUIET,
    Panel,
    Row,
    fitted,
    wrapped,
)

AWAY = "KEYS GO TO ANOTHER WINDOW: bring this one to the front"


class TopLine(Panel):
    """Job and session time; a warning takes their place."""

    away = False
    "The terminal has lost the keyboard."
    fault = ""
    "The screen itself failed."
    small = ""
    "The window is too small, and what to do."

    def part(self, view: View) -> object:
        """Everything the line can say."""
        return view.title, view.time, view.banner, view.trouble, self.away, self.fault, self.small

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint the most pressing of them."""
        alert = self.fault or (AWAY if self.away else "") or view.trouble
        time = view.time
        if self.small and not alert:
            # What to do about the window matters more than the time.
            # That the data are invented matters more still.
            alert, time = f"{view.banner}; {self.small}" if view.banner else self.small, ""
        room = width - len(time) - 2
        if alert:
            left: Row = [(f" ! {fitted(alert, room - 4)} ", ALERT)]
        elif view.banner:
            rest = fitted(view.title, max(0, room - cell_len(view.banner) - 6))
            left = [(f" ■ {fitted(view.banner, room - 4)} ", BADGE), (f" {rest}", QUIET)]
        else:
            left = [(fitted(f" {view.title}", room), QUIET)]
        used = sum(cell_len(text) for text, _ in left)
        return [[*left, (" " * max(1, width - used - len(time) - 1), PLAIN), (time, PLAIN)]]


class Quiet(Panel):
    """What stands open without asking for anything now: unanswered, put aside, off."""

    def part(self, view: View) -> object:
        """The line."""
        return view.quiet

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint it under the words in the middle, or above the caution at its left."""
        said = fitted(view.quiet, width - 2)
        before = 1 if self.id == "quiet-low" else max(0, (width - cell_len(said)) // 2)
        return [[(" " * before + said, QUIET)]]


class SensorLine(Panel):
    """The source, channel by channel."""

    def part(self, view: View) -> object:
        """The line."""
        return view.sensor

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint it."""
        return [[(line, QUIET)] for line in wrapped(view.sensor, width, height)]


class Foot(Panel):
    """The caution of the phase, or for a moment the answer to a key."""

    notice = ""

    def part(self, view: View) -> object:
        """Notice and caution."""
        return self.notice, view.caution

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint the notice if there is one."""
        if self.notice:
            return [[(f" {fitted(self.notice, width - 2)} ", ALERT)]]
        return [[(fitted(f" ! {view.caution}", width), PLAIN)]]


class KeyBar(Panel):
    """The keys that matter now; "?" lists all of them."""

    def part(self, view: View) -> object:
        """The keys."""
        return view.keys

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint one row."""
        return [key_row(view.keys, width)]


def key_row(keys: Iterable[tuple[str, str]], width: int) -> Row:
    """Return as many keys as fit, the first ones first, and always ? and Q."""
    always = (("?", "keys"), ("Q", "close"))
    room = width - sum(_wide(key) for key in always)
    chosen: list[tuple[str, str]] = []
    for key in keys:
        if _wide(key) > room:
            break
        chosen.append(key)
        room -= _wide(key)
    row: Row = []
    for shown, word in (*chosen, *always):
        row += [(f" {shown} ", BADGE), (f" {word} ", PLAIN)]
    return row


def _wide(key: tuple[str, str]) -> int:
    return cell_len(key[0]) + cell_len(key[1]) + 4
