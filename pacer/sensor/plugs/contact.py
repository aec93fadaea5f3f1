"""A dry contact as the welder's hand: pedal, knee or elbow bar. Pure; `pedal.py` polls it.

`press`: closing it is one `next`, however long it is held.
`hold`: held for `HOLD_S` the arc burns (`arc on`), let go it is out (`arc off`);
a shorter tap is one `next`.

1. A change is believed when it has stood for the debounce time; an arc is then dated back
   to its first sample by `held_s`.
2. A second closing within `GUARD_S` of one that counted is a bump, not a press; so is a tap
   right after a hold was let go. There is no longer dead time: one may have to end a bead
   at once (procedure.md section 15). What answers which prompt is the fold's business.
3. A contact found closed says nothing until it has been open once.
"""

from __future__ import annotations

from pacer.sensor.plugs.outlet import DEBOUNCE_S, Mode
from pacer.session.events import Act

HOLD_S = 0.4
"""Held for so long it is no tap. Judgement, no source."""

GUARD_S = 0.3
"""reliability.md T-37, its authors' judgement."""

_DUST_S = 1e-9


class Contact:
    """Samples (t_s, closed) in, what the welder did out. Times on any steady clock, s."""

    def __init__(self, mode: Mode = "press", debounce_s: float = DEBOUNCE_S) -> None:
        self._mode = mode
        self._debounce_s = debounce_s
        self._raw: bool | None = None
        self._since_s = 0.0
        self._closed: bool | None = None
        "As believed; None: nothing is known since the port was opened."
        self._closed_s = 0.0
        self._armed = False
        "It has been open before it closed."
        self._counted_s = float("-inf")
        self._burning = False

    def feed(self, t_s: float, closed: bool) -> list[Act]:
        """Take one sample; return what it shows, mostly nothing."""
        if closed != self._raw:
            self._raw, self._since_s = closed, t_s
        if closed != self._closed and t_s - self._since_s >= self._debounce_s - _DUST_S:
            return self._opened(t_s) if not closed else self._closes()
        return self._held(t_s)

    def forget(self) -> None:
        """The port was lost: what the contact does meanwhile nobody knows.

        A hold that was told stands until the contact is seen open again.
        """
        self._raw = self._closed = None

    def _closes(self) -> list[Act]:
        self._armed = self._closed is False
        self._closed, self._closed_s = True, self._since_s
        if self._mode == "press" and self._armed:
            return self._pressed()
        return []

    def _opened(self, t_s: float) -> list[Act]:
        closed_before, self._closed = self._closed is True, False
        if self._burning:
            self._burning = False
            self._counted_s = t_s
            open_s = round(t_s - self._since_s, 3)
            return [Act(t_ms=0, deed="arc off", by="contact", held_s=open_s)]
        if self._mode == "hold" and closed_before and self._armed:
            return self._pressed()
        return []

    def _pressed(self) -> list[Act]:
        if self._closed_s - self._counted_s < GUARD_S - _DUST_S:
            return []
        self._counted_s = self._closed_s
        return [Act(t_ms=0, deed="next", by="contact")]

    def _held(self, t_s: float) -> list[Act]:
        holding = self._mode == "hold" and self._closed and self._raw and self._armed
        held_s = t_s - self._closed_s
        if not holding or self._burning or held_s < HOLD_S - _DUST_S:
            return []
        self._burning = True
        return [Act(t_ms=0, deed="arc on", by="contact", held_s=round(held_s, 3))]
