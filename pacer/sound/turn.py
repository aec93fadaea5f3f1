"""Whose turn it is to sound: never two sounds at once, and a fault is not talked over.

Tones and speech share one `Turn`, so that both take the same cue or both leave it.
"""

from __future__ import annotations

import threading
from collections.abc import Callable

from pacer.session.cues import Cue, CueKind, Urgency
from pacer.sound.patterns import pattern_of, sounding_s

AT_ONCE = frozenset({CueKind.FINISH, CueKind.STOP, CueKind.PEEN, CueKind.READING_BACK})
"""Told whatever sounds: the first three are late after a second or two, the last one ends
what the fault before it said."""


class Turn:
    """Who sounds now, by a clock; asked by the driver, and by the check on the screen."""

    def __init__(self, clock: Callable[[], float], words_s: float = 0.0) -> None:
        """`clock` in s; `words_s` is what spoken words take after a tone, 0 without speech."""
        self._lock = threading.Lock()
        self._clock = clock
        self._words_s = words_s
        self._asked: Cue | None = None
        self._answer = False
        self._urgency = Urgency.STEP
        self._until_s = float("-inf")

    def takes(self, cue: Cue) -> bool:
        """Say whether the cue may sound now; the same cue asked again has the same answer.

        The newest replaces what sounds, unless that is more urgent and not over yet.
        """
        with self._lock:
            if cue is self._asked:
                return self._answer
            now_s = self._clock()
            quiet = now_s >= self._until_s
            self._answer = quiet or cue.kind in AT_ONCE or cue.urgency.rank >= self._urgency.rank
            self._asked = cue
            if self._answer:
                self._urgency = cue.urgency
                self._until_s = (
                    now_s + sounding_s(pattern_of(cue.kind), cue.urgency) + self._words_s
                )
            return self._answer

    def hush(self) -> None:
        """Nothing sounds any more."""
        self._until_s = float("-inf")
