"""A lamp or a vibrator on an output line: the rhythm of a cue for eyes under a hood.

Played by a thread of its own, while the arc burns too. The newest cue has the lamp.
A cue that waits for an answer goes on until it is answered (`hush`) or another is told,
STOP until the next one; the rest is over after its rounds.

Flashes are safe: the lamp never lights sooner than `FLASH_S` after it lit last or was cut
short, and a rhythm too quick for that is played slower as a whole, so that it stays itself.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass

from pacer.session.cues import Cue, CueKind, Urgency
from pacer.session.prompt import waits
from pacer.sound.patterns import repeats, rhythm

Rhythm = tuple[tuple[float, float], ...]
"(on, off) of each beat, s."

FLASH_S = 0.35
"""From light to light and from dark to dark: at most three flashes in any second (W3C, WCAG 2.2,
criterion 2.3.1, seen; reliability.md T-36)."""

GAPS_S = {Urgency.STEP: 2.0, Urgency.WARN: 1.2, Urgency.FAULT: 0.6}
"""Dark between the rounds: a more urgent cue comes round more often. Judgement, no source."""

_JOIN_S = 2.0

Wait = Callable[[float], bool]
"Wait so many seconds or until there is news; True when there is."


@dataclass(frozen=True, slots=True)
class Show:
    """What the lamp does for one cue."""

    beats: Rhythm
    "One round, the dark after it included."
    rounds: int | None
    "None: until there is news."


def show_of(kind: CueKind, urgency: Urgency) -> Show:
    """Return how a cue is played on a lamp."""
    until_news = waits(kind) or kind is CueKind.STOP
    beats = safe(rhythm(kind))
    (*first, (on_s, _)) = beats
    last = (on_s, GAPS_S[urgency])
    return Show((*first, last), None if until_news else repeats(urgency).times)


def safe(beats: Rhythm) -> Rhythm:
    """Return a rhythm slowed down until no two flashes of it are too close.

    >>> safe(((0.15, 0.55), (0.15, 0.0)))
    ((0.15, 0.55), (0.15, 0.0))
    >>> safe(((0.07, 0.07), (0.07, 0.0)))
    ((0.175, 0.175), (0.175, 0.0))
    """
    lit = [on_s + off_s for on_s, off_s in beats[:-1]]
    dark = [beats[i][1] + beats[i + 1][0] for i in range(len(beats) - 1)]
    shortest_s = min((*lit, *dark), default=FLASH_S)
    slower = max(1.0, FLASH_S / shortest_s)
    return tuple((round(on_s * slower, 4), round(off_s * slower, 4)) for on_s, off_s in beats)


class Blinker:
    """Plays shows on one line, one after the other; no thread of its own."""

    def __init__(
        self, set_line: Callable[[bool], None], now: Callable[[], float], wait: Wait
    ) -> None:
        self._set_line = set_line
        self._now = now
        self._wait = wait
        self._not_before_s = float("-inf")
        "When it may light again."

    def play(self, show: Show) -> None:
        """Play to the end or until there is news; dark afterwards. Raises what the line raises."""
        played = 0
        while show.rounds is None or played < show.rounds:
            played += 1
            for on_s, off_s in show.beats:
                if self._beat(on_s, off_s):
                    return

    def _beat(self, on_s: float, off_s: float) -> bool:
        """Light once; True when there is news."""
        rest_s = self._not_before_s - self._now()
        if rest_s > 0 and self._wait(rest_s):
            return True
        self._not_before_s = self._now() + FLASH_S
        self._set_line(True)
        news = self._wait(on_s)
        self._set_line(False)
        if news:
            # Cut short: the next show may be cut short too, and darkness counts like light.
            self._not_before_s = self._now() + FLASH_S
        return news or self._wait(off_s)


class Lamp:
    """The sink."""

    name = "lamp"

    def __init__(
        self,
        set_line: Callable[[bool], None],
        *,
        now: Callable[[], float] = time.monotonic,
        wait: Wait | None = None,
    ) -> None:
        """`set_line` lights the lamp or not, from the lamp's own thread; the rest is for tests."""
        self._set_line = set_line
        self._news = threading.Event()
        self._blinker = Blinker(set_line, now, wait or self._news.wait)
        self._lock = threading.Lock()
        self._cue: Cue | None = None
        self._closing = False
        self._failed = ""
        self._thread = threading.Thread(target=self._run, name="lamp", daemon=True)
        self._thread.start()

    def play(self, cue: Cue) -> None:
        """Play the cue from now on; raises OSError where the line has failed."""
        if self._failed:
            raise OSError(self._failed)
        with self._lock:
            same = self._cue is not None and cue.again > 0 and self._cue.kind is cue.kind
            self._cue = cue
            # Told again it blinks already.
            if not same:
                self._news.set()

    def hush(self) -> None:
        """Go dark."""
        with self._lock:
            self._cue = None
            self._news.set()

    def close(self) -> None:
        """Go dark and end the thread."""
        with self._lock:
            self._closing = True
            self._news.set()
        self._thread.join(timeout=_JOIN_S)

    def _run(self) -> None:
        try:
            # A line just opened may be lit.
            self._set_line(False)
            while True:
                self._news.wait()
                with self._lock:
                    self._news.clear()
                    cue, closing = self._cue, self._closing
                if closing:
                    return
                if cue is not None:
                    self._blinker.play(show_of(cue.kind, cue.urgency))
        except Exception as exc:
            self._failed = str(exc) or type(exc).__name__
        finally:
            with suppress(Exception):
                self._set_line(False)
