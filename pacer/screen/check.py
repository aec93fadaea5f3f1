"""The check of the ways of telling: lamp, sound and screen are tried, and asked about.

    CheckScreen((Way("lamp", "Does the lamp flash?", lamp_on, lamp_off),), answered, presses)

Only before the first heat, on V or by itself at the start of a session that has such
ways. What nobody confirmed is named in the record (`checked`) and in the quiet line
(reliability.md section 7).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen

from pacer.screen.help import MODIFIERS
from pacer.screen.keys import NEXT, NO, YES, same
from pacer.screen.press import Presses
from pacer.screen.view import View
from pacer.screen.widgets.giants import Word
from pacer.screen.widgets.layout import layout
from pacer.screen.widgets.panel import BADGE, PLAIN, STRONG, Panel, Row, fitted
from pacer.session.cues import Urgency
from pacer.text import clean

SHOWN = "TEST"
"""The word tried: none that asks for anything, to be read from across the shop."""


def _nothing() -> None:
    """A way that is over by itself."""


class Way(NamedTuple):
    """One way of telling that can be tried."""

    name: str
    "Such as `lamp`: what the record says where it was not confirmed."
    question: str
    "Such as `Does the lamp flash?`"
    play: Callable[[], None]
    "Tries it, without waiting; what it raises is shown beside the question."
    stop: Callable[[], None] = _nothing
    "Ends what still plays."


SCREEN = Way("screen", "Can you read this word from the table?", _nothing)


class Asking(Panel):
    """The question below the giant word, and the keys that answer."""

    DEFAULT_CSS = "Asking { height: 1fr; }"

    question = ""
    at = ""
    "Which question of how many, and whether its way works."

    def part(self, view: View) -> object:
        """The question."""
        return self.question, self.at

    def paint(self, view: View, width: int, height: int) -> list[Row]:
        """Paint the question and the answers."""
        answers: Row = []
        for key, word in (("Y", "yes"), ("N", "no"), ("Esc", "leave it open"), ("Space", "again")):
            answers += [(f" {key} ", BADGE), (f" {word}  ", PLAIN)]
        rows: list[Row] = [[], [(f" {fitted(self.at, width - 1)}", PLAIN)], []]
        return [*rows, [(f" {fitted(self.question, width - 1)}", STRONG)], [], answers][:height]


class CheckScreen(Screen[None]):
    """Tries one way after another; closes after the last answer."""

    AUTO_FOCUS = ""

    def __init__(
        self, ways: tuple[Way, ...], view: View, answered: Callable[[str], None], presses: Presses
    ) -> None:
        """`answered` takes the ways not confirmed, separated by commas; called once."""
        super().__init__()
        self._ways = (SCREEN, *ways)
        self._view, self._answered, self._presses = view, answered, presses
        self._at = 0
        self._missing: list[str] = []
        self._over = False

    def compose(self) -> ComposeResult:
        """The word as large as in the session, and the question."""
        yield Word("word")
        yield Asking("asking")

    def on_mount(self) -> None:
        """Show the word and try the first way."""
        shown = replace(self._view, word=SHOWN, urgency=Urgency.STEP, unanswered=False)
        self.query_one(Word).show(shown)
        self._try()

    def on_resize(self, event: events.Resize) -> None:
        """Give the word the rows that it has in the session."""
        plan = layout(event.size.width, event.size.height, time_leads=False, quiet=False)
        self.query_one(Word).styles.height = plan.word

    def on_key(self, event: events.Key) -> None:
        """Take an answer, or try again; a held key answers one question."""
        event.stop()
        event.prevent_default()
        name = event.key if len(event.key) > 1 else event.key.lower()
        if name not in MODIFIERS:
            self._presses.judge(same(name), event.time, lambda: self._pressed(name), self.set_timer)

    def _pressed(self, name: str) -> None:
        if self._over:
            return
        if name in NEXT.names:
            self._try()
        elif name in {YES, NO, "escape"}:
            self._take(yes=name == YES)

    def give_up(self) -> None:
        """Leave the rest open: the session goes on without waiting for answers."""
        if not self._over:
            self._stop()
            self._missing += [way.name for way in self._ways[self._at :]]
            self._finish()

    def _try(self) -> None:
        way = self._ways[self._at]
        said = f"Check {self._at + 1} of {len(self._ways)}: {clean(way.name, 40)}"
        try:
            way.play()
        except Exception as problem:
            said += f" does not work: {clean(str(problem), 80)}"
        self._show(said, way.question)

    def _show(self, said: str, asked: str) -> None:
        panel = self.query_one(Asking)
        panel.at, panel.question = said, clean(asked, 100)
        panel.show(self._view)

    def _take(self, *, yes: bool) -> None:
        self._stop()
        if not yes:
            self._missing.append(self._ways[self._at].name)
        self._at += 1
        if self._at < len(self._ways):
            self._try()
        else:
            self._finish()

    def _stop(self) -> None:
        try:
            self._ways[self._at].stop()
        except Exception as problem:
            self.log(f"{self._ways[self._at].name}: {problem}")

    def _finish(self) -> None:
        self._over = True
        self._answered(", ".join(clean(name, 40) for name in self._missing))
