"""`Found`: the findings beside a replay. F opens them, Enter jumps to the chosen one."""

from __future__ import annotations

from dataclasses import replace

from pacer.screen.desk import Desk
from pacer.screen.keys import FINDING_BAR
from pacer.screen.parts.findings import FindingList, begin, moved
from pacer.screen.view import View
from pacer.units import Shown

NONE_FOUND = "Nothing found in this recording: pacer guide review says what is looked for"
_CLOSE = frozenset({"f", "escape"})
_PAGE = 5
_ALL = 10**6
_MOVES = {"up": -1, "down": 1, "pageup": -_PAGE, "pagedown": _PAGE, "home": -_ALL, "end": _ALL}
_GO = frozenset({"enter", "space"})


class Found:
    """The list of one replay's screen."""

    def __init__(self, desk: Desk, shown: Shown) -> None:
        self._desk, self._shown = desk, shown
        self._here: FindingList | None = None
        self._plain: View | None = None

    @property
    def open(self) -> bool:
        """It is on the screen, and takes keys."""
        return self._here is not None

    def press_open(self) -> str:
        """Open it, or return why there is nothing to open."""
        snapshot = self._desk.snapshot()
        if not snapshot.findings:
            return NONE_FOUND
        self._here = begin(snapshot.findings, snapshot.t_s, self._shown)
        return ""

    def seen(self, view: View, *, room: bool) -> View:
        """Return the view with the list, where it is open and there is room for it."""
        self._plain = view
        if not room:
            self._here = None
        if self._here is None:
            return view
        return replace(view, findings=self._here, keys=FINDING_BAR)

    def again(self) -> View | None:
        """Return the last view with the list as it is now."""
        return None if self._plain is None else self.seen(self._plain, room=True)

    def press(self, name: str) -> str | None:
        """Do what a key says; return a notice, or None where it isn't one of the list's keys."""
        here = self._here
        if here is None:
            return None
        if name in _MOVES:
            self._here = moved(here, _MOVES[name])
        elif name in _GO:
            if not self._desk.snapshot().paused:
                # What is jumped to is to be looked at.
                self._desk.pace("pause")
            return self._desk.jump(here.rows[here.at].t_s)
        elif name in _CLOSE:
            self._here = None
        else:
            return None
        return ""
