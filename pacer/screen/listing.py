"""The list before the heat on the live screen: when it is seen, what its keys do, what is kept.

It is asked about once a stay in PREPARE, by one press: the record gets `prepared` and then
the press itself. An alarm has the whole screen instead, and the press that answers it
confirms nothing. After an undo the same list is back as it was said; only what is said
differently then is recorded again. A contact's press does not come by the screen: what it
confirmed is recorded as soon as the screen sees that PREPARE is over.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pacer.screen.desk import Desk
from pacer.screen.keys import NEXT, list_bar
from pacer.screen.parts.preparation import Preparation, asked, begin, marked, moved
from pacer.screen.view import View
from pacer.screen.widgets.checklist import Page, page_of
from pacer.session.cues import CUES, CueKind, Urgency
from pacer.session.events import SKIPPED
from pacer.session.state import State
from pacer.session.work import Phase
from pacer.units import Shown

TURN_S = 20.0
"""How long a page stays before it turns by itself, until a key of the list is pressed: some 20
short lines are read in that time. Judgement."""

ARROWS = frozenset({"up", "down", "left", "right"})
"""They change nothing but what is seen, so they may be held down."""

CHOOSE = "Choose the line first: ↑ ↓"


class Listing:
    """The list of one session's screen."""

    def __init__(self, desk: Desk, shown: Shown, *, contact: bool) -> None:
        """`contact`: presses may come from a contact at the table."""
        self._desk, self._shown, self._contact = desk, shown, contact
        self._here: Preparation | None = None
        self._plain: View | None = None
        self._read = False
        "It was on top of the screen at the last look."
        self.open = False
        "It is on the screen now, and takes keys."

    def seen(self, view: View, state: State | None, *, room: bool, on_top: bool) -> View:
        """Return the view with the list, where it is asked about and there is room for it."""
        self._plain = view
        here = view.phase is Phase.PREPARE and view.kind != "replay"
        if not here and self._read and self._contact and view.kind == "live":
            self._say()
        self.open = here and room and view.urgency is Urgency.STEP and state is not None
        self._read = self.open and on_top
        if not self.open:
            return view
        assert state is not None
        if self._here is None or self._here.since_s != state.work.entered_s:
            self._here = begin(state.job, self._shown, state.work.entered_s)
        return self._with_list(view, self._here)

    def again(self) -> View | None:
        """Return the last view with the list as it is now."""
        if self._plain is None or self._here is None or not self.open:
            return self._plain
        return self._with_list(self._plain, self._here)

    def _with_list(self, view: View, here: Preparation) -> View:
        quiet = view.words == CUES[CueKind.PREPARE].words
        words = asked(here) if quiet else view.words
        return replace(view, words=words, preparation=here, keys=list_bar(view.kind))

    def turn(self, pages: Sequence[Page]) -> None:
        """Turn the page, unless somebody has chosen a line."""
        if self._here is not None and self._here.at is None and len(pages) > 1:
            self._here = replace(self._here, page=(self._here.page + 1) % len(pages))

    def press(self, name: str, pages: Sequence[Page]) -> str | None:
        """Do what a key says; return a notice, or None where it isn't one of the list's keys."""
        here = self._here
        assert here is not None
        if name in ARROWS:
            if pages:
                self._here = _gone(here, name, pages)
        elif name == "m":
            if here.at is None:
                return CHOOSE
            self._here = marked(here)
        elif name in NEXT.names:
            self._say()
            self._desk.press("next")
        elif name == "s":
            self._say(SKIPPED)
            self._desk.press("next")
        else:
            return None
        return ""

    def _say(self, text: str | None = None) -> None:
        """Have it recorded what was confirmed, unless the record says the same already."""
        here = self._here
        if here is None:
            return
        text = here.unconfirmed if text is None else text
        if here.said != text:
            self._desk.press("prepared", text=text or None)
            self._here = replace(here, said=text)


def _gone(here: Preparation, name: str, pages: Sequence[Page]) -> Preparation:
    """Return the list with another line chosen, or the first of another page."""
    page = here.page % len(pages)
    if name in {"left", "right"}:
        page = (page + (1 if name == "right" else -1)) % len(pages)
        return replace(here, page=page, at=pages[page].lines[0])
    here = moved(here, 1 if name == "down" else -1, pages[page].lines[0])
    assert here.at is not None
    return replace(here, page=page_of(pages, here.at))
