"""How fast practice time runs: flat out, at a speed, or by what is going on (auto).

The driver's thread waits here; any other thread may wake it, speed it up or pause it.
Time and waiting are injected, so that tests need neither.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from typing import Literal

from pacer.session.cues import CueKind

PaceWord = Literal["faster", "slower", "pause"]

_K = CueKind
AUTO: dict[CueKind, float] = {
    _K.PREPARE: 1.0,
    **dict.fromkeys((_K.READY, _K.ALL_LAID, _K.PEEN, _K.ARC_LOST, _K.SHORT_BEAD, _K.BURY), 4.0),
    **dict.fromkeys((_K.TACK, _K.WAIT, _K.REHEAT, _K.HOLD, _K.UNCOVER, _K.DONE), 20.0),
    **dict.fromkeys((_K.PREHEAT, _K.SOAK, _K.POST_HEAT), 60.0),
    _K.COVERED: 900.0,
}
"""Session seconds a real second after each cue: the default job is seen in some five
minutes, and nothing that asks for an answer goes by in under half a second; the list before
the heat is there to be read."""

_BEHIND_S = 0.25
_NEAR_ENOUGH_S = 1e-6
"Waits in floating point end a hair early."


class Pace:
    """A clock that runs from one moment to the next as fast as is wanted."""

    def __init__(
        self,
        speed: float | None,
        real: Callable[[], float] = time.monotonic,
        wait: Callable[[float | None], bool] | None = None,
    ) -> None:
        self._lock = threading.Lock()
        self._woken = threading.Event()
        self._real = real
        self._wait = wait or self._woken.wait
        self._speed = speed
        self._auto = AUTO[CueKind.PREPARE]
        self._factor = 1.0
        self._paused = False
        self._session_s = self._cap_s = 0.0
        self._real_s = real()

    @property
    def speed(self) -> float | None:
        """As asked for: 0 flat out, None by what is going on."""
        return self._speed

    @speed.setter
    def speed(self, speed: float | None) -> None:
        with self._lock:
            self._anchor()
            self._speed = speed
        self.wake()

    @property
    def paused(self) -> bool:
        """True between a pause and the next word of pace that ends it."""
        return self._paused

    @property
    def rate(self) -> float:
        """Session seconds a real second now; 0 while paused, and flat out."""
        if self._paused:
            return 0.0
        return (self._auto if self._speed is None else self._speed) * self._factor

    def now_s(self) -> float:
        """Return session time; it never passes the moment now waited for."""
        with self._lock:
            return self._now()

    def _now(self) -> float:
        gone = (self._real() - self._real_s) * self.rate
        return max(self._session_s, min(self._session_s + gone, self._cap_s))

    def _anchor(self) -> None:
        self._session_s, self._real_s = self._now(), self._real()

    def heard(self, kind: CueKind) -> None:
        """Let a cue set the auto rate."""
        with self._lock:
            self._anchor()
            self._auto = AUTO.get(kind, self._auto)

    def change(self, word: PaceWord) -> None:
        """Double or halve the speed; pause, or go on."""
        with self._lock:
            self._anchor()
            if word == "pause":
                self._paused = not self._paused
            else:
                self._factor *= 2.0 if word == "faster" else 0.5
        self.wake()

    def wake(self) -> None:
        """Let a waiting `until` look again."""
        self._woken.set()

    def until(self, t_s: float, stop: Callable[[], bool]) -> bool:
        """Wait for session time `t_s`; False where `stop()` came true before."""
        self._cap_s = t_s
        while True:
            self._woken.clear()
            if stop():
                return False
            with self._lock:
                flat_out = self._speed == 0.0 and not self._paused
                left_s = 0.0 if flat_out else t_s - self._now()
                if left_s <= _NEAR_ENOUGH_S:
                    self._reached(t_s)
                    return True
                rate = self.rate
            self._wait(left_s / rate if rate > 0.0 else None)

    def _reached(self, t_s: float) -> None:
        late_s = 0.0
        if self.rate > 0.0 and t_s > self._session_s:
            late_s = self._real() - self._real_s - (t_s - self._session_s) / self.rate
        self._session_s = max(self._session_s, t_s)
        # A machine too slow for the rate falls behind; it doesn't race to catch up.
        self._real_s = self._real() - (late_s if 0.0 < late_s < _BEHIND_S else 0.0)
