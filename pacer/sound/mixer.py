"""What the sound card is fed with: one sound at a time, silence in between."""

from __future__ import annotations

import threading

import numpy as np

from pacer.sound.tones import Samples, falling_edge

_SILENCE: Samples = np.zeros(0, dtype=np.int16)


class Mixer:
    """One sound and where in it we are; played from one thread, fed to another."""

    def __init__(self) -> None:
        """Silent."""
        self._lock = threading.Lock()
        self._sound = _SILENCE
        self._at = 0
        self._fed = 0

    def play(self, sound: Samples) -> None:
        """Let `sound` take the place of what plays, which ends in a soft edge, not a click."""
        edge = falling_edge()
        with self._lock:
            rest = self._sound[self._at : self._at + len(edge)]
            faded = np.round(rest * edge[: len(rest)]).astype(np.int16)
            self._sound = np.concatenate([faded, sound])
            self._at = 0

    def hush(self) -> None:
        """End what plays."""
        self.play(_SILENCE)

    def frames(self, count: int) -> Samples:
        """Return the next `count` samples, silence after the sound's end."""
        with self._lock:
            out = np.zeros(count, dtype=np.int16)
            part = self._sound[self._at : self._at + count]
            out[: len(part)] = part
            self._at += len(part)
            self._fed += count
            return out

    @property
    def fed(self) -> int:
        """How many samples were asked for so far: a card that lives asks all the time."""
        return self._fed
