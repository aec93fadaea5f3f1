"""A pedal's thread: polls the contact's line and posts what the welder did with it.

pyserial can't wait for a modem line on every system, so the line is asked every `POLL_S`.
A port that is lost is told once with its cause and opened again with the same waits as a
sensor's. The sensor's own state never hears of it: a part without its pedal goes on.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

from pacer.sensor.plugs.contact import Contact
from pacer.sensor.plugs.outlet import Outlet, PedalUrl
from pacer.sensor.port.ports import BACK_OFF_S, Wait
from pacer.session.events import AnyEvent, Trouble

POLL_S = 0.005
"""Six samples within the debounce time. Judgement, no source."""

BACK = "back"
"The `why` of the trouble's end, so that the record says from when to when."

_JOIN_S = 3.0


class Pedal:
    """One contact, for as long as the session takes."""

    name = "pedal"

    def __init__(
        self,
        outlet: Outlet,
        url: PedalUrl,
        post: Callable[[AnyEvent], None],
        *,
        now: Callable[[], float] = time.monotonic,
        wait: Wait | None = None,
    ) -> None:
        """`post` takes events from any thread; `now` and `wait` are any steady clock's, s."""
        self._outlet = outlet
        self._line = url.line
        self._contact = Contact(url.mode, url.debounce_s)
        self._post = post
        self._now = now
        self._closing = threading.Event()
        self._wait: Wait = wait or self._closing.wait
        self._tries = 0
        self._thread = threading.Thread(target=self._run, name="pedal", daemon=True)
        self.trouble = ""
        "Why it can't be read just now; empty while it can."

    def start(self) -> None:
        """Read the line once, so that `trouble` is known, then go on in the thread."""
        try:
            self._ask()
        except OSError as exc:
            self._lost(exc)
        self._thread.start()

    def _run(self) -> None:
        while not self._closing.is_set():
            # Anything that goes wrong is the pedal's loss: a thread that dies unseen would
            # leave a welder who presses and is not heard.
            try:
                while not self._closing.is_set():
                    self._ask()
                    if self._wait(POLL_S):
                        return
            except Exception as exc:
                self._lost(exc)
            pause_s = BACK_OFF_S[min(self._tries, len(BACK_OFF_S) - 1)]
            self._tries += 1
            if self._closing.is_set() or self._wait(pause_s):
                return

    def _ask(self) -> None:
        """Take one sample, from a port opened now if it isn't."""
        self._outlet.open()
        closed = self._outlet.line(self._line)
        if self.trouble:
            self.trouble = ""
            self._post(Trouble(t_ms=0, what=self.name, why=BACK))
        self._tries = 0
        for act in self._contact.feed(self._now(), closed):
            self._post(act)

    def _lost(self, exc: Exception) -> None:
        self._outlet.drop()
        self._contact.forget()
        why = str(exc)
        if why != self.trouble:
            self.trouble = why
            self._post(Trouble(t_ms=0, what=self.name, why=why))

    def close(self) -> None:
        """Stop the thread and give the port back."""
        self._closing.set()
        self._thread.join(timeout=_JOIN_S)
        self._outlet.drop()
