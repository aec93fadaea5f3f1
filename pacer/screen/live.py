"""The one screen of a session, live, practice and replay alike: panels, and what keys do."""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.screen import Screen
from textual.timer import Timer
from textual.widgets import Input

from pacer.errors import UserInputError
from pacer.screen.desk import Desk
from pacer.screen.help import MODIFIERS, KeyScreen
from pacer.screen.keys import BY_NAME, HELP, NEXT, PACE_BY_NAME, QUIT, Ask, Key
from pacer.screen.press import PROOF_S, OnePress
from pacer.screen.view import View
from pacer.screen.widgets.ask import Line, question, understood
from pacer.screen.widgets.crack_map import Joint
from pacer.screen.widgets.gauge import BandGauge
from pacer.screen.widgets.giants import Clock, Cues, Thermometer, Word, Words
from pacer.screen.widgets.lines import Foot, KeyBar, SensorLine, TopLine
from pacer.screen.widgets.panel import Panel
from pacer.screen.widgets.trend import TrendPlot
from pacer.session.state import Phase
from pacer.units import Shown

NOTICE_S = 6.0
"""How long the answer to a key stays. Common practice, no source."""

CLOSING = "Close? Q again to close, any other key to go on"


class Live(Screen[None]):
    """Shows views, and posts what is pressed to the desk."""

    AUTO_FOCUS = ""

    def __init__(self, desk: Desk, shown: Shown) -> None:
        """Take where presses go, and the user's units."""
        super().__init__()
        self._desk, self._shown = desk, shown
        self.seen: View | None = None
        self.closing = False
        self._next = OnePress()
        self._close = OnePress(dead_s=0.05)
        self._notice: Timer | None = None

    def compose(self) -> ComposeResult:
        """Top to bottom: what to do, for how long and how hot, where it stands, the rest."""
        yield TopLine("top")
        yield Word("word")
        yield Words("words")
        with Horizontal(id="giants"):
            yield Clock("clock")
            yield Thermometer("thermometer")
        yield BandGauge("gauge")
        with Horizontal(id="below"):
            yield TrendPlot("trend")
            with Vertical(id="side"):
                yield Joint("joint")
                yield SensorLine("sensor")
                yield Cues("cues")
        yield Foot("foot")
        yield Line()
        yield KeyBar("keybar")

    def on_resize(self, event: events.Resize) -> None:
        """Choose one of three layouts."""
        width, height = event.size
        wide = width >= 140 and height >= 42
        middle = not wide and width >= 96 and height >= 29
        self.set_class(wide, "-wide")
        self.set_class(middle, "-middle")

    @property
    def whole(self) -> bool:
        """True while all panels are there: not yet when starting, no longer when closing."""
        return bool(self.query(KeyBar)) and bool(self.query(TopLine))

    def show(self, view: View) -> None:
        """Paint what changed; a line left open is put aside when the arc burns."""
        self.remove_class("-failed")
        moved = self.seen is not None and self.seen.phase is not view.phase
        self.seen = view
        self.query_one(TopLine).fault = ""
        if view.phase is Phase.BEAD and self.query_one(Line).ask is not None:
            self._shut(keep=True)
        if moved and not self.closing and self.query_one(Line).ask is None:
            self.notice("")
        for panel in self.query(Panel):
            panel.show(view)

    def failed(self, why: str) -> None:
        """Take every number off the screen: better none than an old one."""
        self.add_class("-failed")
        self._top(fault=f"THE SCREEN FAILED ({why}); the recording goes on")

    def away(self, away: bool) -> None:
        """Say whether keys go to another window."""
        self._top(away=away)

    def _top(self, *, fault: str = "", away: bool | None = None) -> None:
        top = self.query_one(TopLine)
        top.fault = fault
        top.away = top.away if away is None else away
        if self.seen is not None:
            top.show(self.seen)

    def notice(self, text: str, stays_s: float | None = NOTICE_S) -> None:
        """Answer a key in the foot line, for a moment or until replaced."""
        if self._notice is not None:
            self._notice.stop()
            self._notice = None
        foot = self.query_one(Foot)
        foot.notice = text
        if self.seen is not None:
            foot.show(self.seen)
        if text and stays_s is not None:
            self._notice = self.set_timer(stays_s, lambda: self.notice(""))

    def ask_close(self) -> None:
        """Ask whether to close; only Q answers yes."""
        self.closing = True
        self.notice(CLOSING, None)

    def on_key(self, event: events.Key) -> None:
        """Do what the key says."""
        name = event.key if len(event.key) > 1 else event.key.lower()
        if name in MODIFIERS:
            return
        if not self.closing and self.query_one(Line).ask is not None:
            self._while_typing(name, event)
            return
        event.stop()
        event.prevent_default()
        if self.closing:
            self._answer_closing(name, event.time)
        elif name in PACE_BY_NAME and self.seen is not None and self.seen.kind != "live":
            self._pace(PACE_BY_NAME[name])
        elif name in BY_NAME:
            self._act(BY_NAME[name], event.time)

    def _while_typing(self, name: str, event: events.Key) -> None:
        """Leave letters and Enter to the line; a pedal and Escape still work."""
        if name == "escape":
            event.stop()
            self._shut(keep=False)
        elif name in {"f8", "pagedown"}:
            event.stop()
            self._act(NEXT, event.time)

    def _answer_closing(self, name: str, t_s: float) -> None:
        if name in QUIT.names:
            if self._close.press(t_s) != "ignore":
                # A held key repeats; only a press that stands alone is an answer.
                self._close.waiting_s = t_s
                self.set_timer(PROOF_S, self._close_if_alone)
            return
        self.closing = False
        self.notice("")

    def _close_if_alone(self) -> None:
        if self.closing and self._close.due():
            self.app.exit()

    def _pace(self, key: Key) -> None:
        assert key.pace is not None
        self._desk.pace(key.pace)

    def _act(self, key: Key, t_s: float) -> None:
        if key is HELP and self.seen is not None:
            self.app.push_screen(KeyScreen(self.seen))
        elif key is QUIT:
            self._close = OnePress(dead_s=0.05, last_s=t_s)
            self.ask_close()
        elif self.seen is not None and self.seen.kind == "replay":
            self.notice("A replay can't be changed")
        elif key is NEXT:
            self._pressed_next(t_s)
        elif key.ask is not None:
            self._open(key.ask)
        elif key.deed is not None:
            self._desk.press(key.deed)
            if key.deed in {"tink", "crack", "turned", "out", "back", "wrap", "unwrap"}:
                self.notice(
                    f"{key.about}: kept"
                    if self.seen is None
                    else f"{key.about}: kept at {self.seen.time}"
                )

    def _pressed_next(self, t_s: float) -> None:
        verdict = self._next.press(t_s)
        if verdict == "act":
            self._desk.press("next")
        elif verdict == "wait":
            self.set_timer(PROOF_S, self._next_if_alone)

    def _next_if_alone(self) -> None:
        if self._next.due():
            self._desk.press("next")

    def _open(self, ask: Ask) -> None:
        if self.seen is not None and self.seen.phase is Phase.BEAD:
            self.notice("Not while the arc burns")
            return
        self.query_one(KeyBar).display = False
        self.query_one(Line).open(ask)
        self.notice(question(ask, self._shown), None)

    def _shut(self, *, keep: bool) -> None:
        self.query_one(Line).close(keep=keep)
        self.query_one(KeyBar).display = True
        self.notice("")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Pass the typed text on, or say in one line what is wrong with it."""
        line = self.query_one(Line)
        ask = line.ask
        if ask is None:
            return
        try:
            answer = understood(ask, event.value, self._shown)
        except UserInputError as problem:
            self.notice(str(problem), None)
            return
        self._desk.press(
            ask, temp_c=answer.temp_c, side=answer.side, length_m=answer.length_m, text=answer.text
        )
        self._shut(keep=False)
        self.notice(answer.said)
