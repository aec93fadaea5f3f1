"""The one screen of a session, live, practice and replay alike: panels, and what keys do."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.screen import Screen
from textual.timer import Timer
from textual.widgets import Input

from pacer.errors import UserInputError
from pacer.screen.desk import Desk, Kind
from pacer.screen.found import Found
from pacer.screen.help import MODIFIERS, KeyScreen
from pacer.screen.keys import (
    BY_NAME,
    HELP,
    NEXT,
    QUIT,
    YES,
    Ask,
    Do,
    Key,
    pace_key,
    same,
    stops_counting,
)
from pacer.screen.listing import ARROWS, TURN_S, Listing
from pacer.screen.moment import moment_s
from pacer.screen.press import DEAD_S, Presses
from pacer.screen.view import View
from pacer.screen.widgets.ask import Line, question, understood
from pacer.screen.widgets.checklist import Checklist, NowLine
from pacer.screen.widgets.crack_map import Joint
from pacer.screen.widgets.findings import Findings
from pacer.screen.widgets.gauge import BandGauge
from pacer.screen.widgets.giants import Clock, Cues, Thermometer, Word, Words
from pacer.screen.widgets.layout import Arranged, arrange, too_small
from pacer.screen.widgets.lines import Foot, KeyBar, Quiet, SensorLine, TopLine
from pacer.screen.widgets.panel import Panel
from pacer.screen.widgets.trend import TrendPlot
from pacer.session.state import State
from pacer.session.work import Phase
from pacer.units import Shown

NOTICE_S = 6.0
"""How long the answer to a key stays. Common practice, no source."""

CLOSING = "Close? Y closes, any other key goes on"
GOES_ON = "The count stands still: Space goes on"


def closing_unsaved(records: int) -> str:
    """Return the question before a close that costs records."""
    are = "1 record is" if records == 1 else f"{records} records are"
    return f"Close? {are} only in memory and will be lost; Y closes"


KEPT = frozenset({"tink", "crack", "turned", "out", "back", "wrap", "unwrap", "peen", "loosened"})
"""Deeds that change nothing on the screen: the foot says that they were heard."""


class Live(Screen[None]):
    """Shows views, and posts what is pressed to the desk."""

    AUTO_FOCUS = ""

    def __init__(
        self,
        desk: Desk,
        shown: Shown,
        do: Mapping[Do, Callable[[], str]],
        *,
        contact: bool = False,
    ) -> None:
        """Take where presses go, the user's units, and what keys do that are no deeds.

        What is done there returns a notice for the foot, or nothing. `contact`: presses may
        come from a contact at the table, past the screen.
        """
        super().__init__()
        self._desk, self._shown, self._do = desk, shown, do
        self.seen: View | None = None
        self.state: State | None = None
        "What the last view showed: it decides what a key means."
        self.closing = False
        self.presses = Presses()
        self._listing = Listing(desk, shown, contact=contact)
        self._found = Found(desk, shown)
        self._asked_s = 0.0
        self._notice: Timer | None = None
        self._arranged: Arranged = None

    def compose(self) -> ComposeResult:
        """Top to bottom: what to do, for how long and how hot, where it stands, the rest."""
        yield TopLine("top")
        yield Word("word")
        yield Words("words")
        yield Quiet("quiet")
        yield NowLine("nowline")
        yield Checklist("checklist")
        yield Findings("findings")
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
        yield Quiet("quiet-low")
        yield Foot("foot")
        yield Line()
        yield KeyBar("keybar")

    def on_mount(self) -> None:
        """Let the list's pages turn by themselves."""
        self.set_interval(TURN_S, self.turn_page)

    def on_resize(self, event: events.Resize) -> None:
        """Compose the screen for its size."""
        self._arranged = arrange(self, event.size, self.seen, self._arranged)
        if self.seen is not None:
            self._top()

    @property
    def whole(self) -> bool:
        """True while all panels are there: not yet when starting, no longer when closing."""
        return bool(self.query(KeyBar)) and bool(self.query(TopLine))

    def show(self, view: View, state: State | None = None) -> None:
        """Paint what changed; a line left open is put aside when the arc burns."""
        self.remove_class("-failed")
        self.state = state
        room = not too_small(self.size)
        view = self._listing.seen(view, state, room=room, on_top=self.is_current)
        view = self._found.seen(view, room=room)
        # In a replay phases go by all the time, and a jump is answered in another one.
        replayed = view.kind == "replay"
        moved = self.seen is not None and self.seen.phase is not view.phase and not replayed
        self.seen = view
        self.query_one(TopLine).fault = ""
        burns = view.phase is Phase.BEAD and not replayed
        if burns and self.query_one(Line).ask is not None:
            self._shut(keep=True)
        if moved and not self.closing and self.query_one(Line).ask is None:
            self.notice("")
        self._paint(view)

    def _paint(self, view: View) -> None:
        self.seen = view
        self._arranged = arrange(self, self.size, view, self._arranged)
        for panel in self.query(Panel):
            panel.show(view)

    def turn_page(self) -> None:
        """Show the next page of the list, where it has several."""
        if self._listing.open:
            self._listing.turn(self.query_one(Checklist).pages)
            self._show_list()

    def _show_list(self) -> None:
        view = self._listing.again()
        if view is not None:
            self._paint(view)

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

    def ask_close(self, t_s: float = 0.0) -> None:
        """Ask whether to close, at the time of the key; only Y answers yes."""
        self.closing = True
        self._asked_s = t_s
        unsaved = self.seen.only_in_memory if self.seen is not None else 0
        self.notice(CLOSING if not unsaved else closing_unsaved(unsaved), None)

    def on_key(self, event: events.Key) -> None:
        """Do what the key says, once a press."""
        name = event.key if len(event.key) > 1 else event.key.lower()
        if name in MODIFIERS:
            return
        if not self.closing and self.query_one(Line).ask is not None:
            self._while_typing(name, event)
            return
        event.stop()
        event.prevent_default()
        if not self.closing and self._found.open and self._find(name):
            return
        pace = pace_key(name, self._kind)
        if pace is not None and not self.closing:
            # Held on purpose, to go much faster.
            self._pace(pace)
            return
        if name in ARROWS and self._listing.open and not self.closing:
            self._list(name)
            return
        self._judged(name, event.time)

    def _judged(self, name: str, t_s: float) -> None:
        """Act on a press unless it is a bump or the repeat of a held key."""
        self.presses.judge(same(name), t_s, lambda: self._pressed(name, t_s), self.set_timer)

    def _pressed(self, name: str, t_s: float) -> None:
        if self.closing:
            self._answer_closing(name, t_s)
            return
        if self._listing.open and self._list(name):
            return
        key = BY_NAME.get(name)
        if self.state is not None and stops_counting(key, self.state) and self._kind != "replay":
            self._stop_counting(self.state)
        elif key is not None:
            self._act(key, t_s)

    def _list(self, name: str) -> bool:
        """Let the list have a key; False where it has no use for it."""
        said = self._listing.press(name, self.query_one(Checklist).pages)
        if said is None:
            return False
        if said:
            self.notice(said)
        self._show_list()
        return True

    def _find(self, name: str) -> bool:
        """Let the findings have a key; False where they have no use for it."""
        said = self._found.press(name)
        if said is None:
            return False
        self.notice(said)
        self._show_found()
        return True

    def _show_found(self) -> None:
        view = self._found.again()
        if view is not None:
            self._paint(view)

    @property
    def _kind(self) -> Kind:
        return self.seen.kind if self.seen is not None else "live"

    def _while_typing(self, name: str, event: events.Key) -> None:
        """Leave letters and Enter to the line; a pedal and Escape still work."""
        if name == "escape":
            event.stop()
            self._shut(keep=False)
        elif name in {"f8", "pagedown"}:
            event.stop()
            self._judged(name, event.time)

    def _answer_closing(self, name: str, t_s: float) -> None:
        """Close on Y alone, not at once after the question: a sleeve sweeps along a row."""
        if name == YES and t_s - self._asked_s >= DEAD_S:
            self.app.exit()
        elif name not in {*QUIT.names, YES}:
            self.closing = False
            self.notice("")

    def _stop_counting(self, state: State) -> None:
        if state.work.paused_s is None:
            self._desk.press("pause")
        else:
            self.notice(GOES_ON)

    def _pace(self, key: Key) -> None:
        if key.ask is not None:
            self._open(key.ask)
        elif key.do == "findings":
            self.notice(self._found.press_open())
            self._show_found()
        elif key.pace is not None:
            self._desk.pace(key.pace)

    def _act(self, key: Key, t_s: float) -> None:
        if key is HELP and self.seen is not None:
            self.app.push_screen(KeyScreen(self.seen, self.presses))
        elif key is QUIT:
            self.ask_close(t_s)
        elif key.do == "theme":
            self.notice(f"{key.about}: now {self._do['theme']()}")
        elif self._kind == "replay":
            self.notice("A replay can't be changed")
        elif key.do is not None:
            self.notice(self._do[key.do]())
        elif key.ask is not None:
            self._open(key.ask)
        elif key.deed is not None:
            self._desk.press(key.deed)
            if key.deed in KEPT:
                at = "" if self.seen is None else f" at {self.seen.time}"
                self.notice(f"{key.about}: kept{at}")

    def _open(self, ask: Ask) -> None:
        if self.seen is not None and self.seen.phase is Phase.BEAD and self._kind != "replay":
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
        ask = self.query_one(Line).ask
        if ask is None:
            return
        # Enter held on is no next.
        self.presses.press(NEXT.shown, event.time)
        try:
            if ask == "moment":
                to_s = moment_s(event.value)
                self._shut(keep=False)
                self.notice(self._desk.jump(to_s))
                return
            answer = understood(ask, event.value, self._shown)
        except UserInputError as problem:
            self.notice(str(problem), None)
            return
        self._desk.press(
            ask, temp_c=answer.temp_c, side=answer.side, length_m=answer.length_m, text=answer.text
        )
        self._shut(keep=False)
        self.notice(answer.said)
