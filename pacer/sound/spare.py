"""`Spare`: the terminal bell, rung only while no tones can be heard."""

from __future__ import annotations

from collections.abc import Callable

from pacer.session.cues import Cue
from pacer.sound.sink import Sink


class Spare:
    """A sink that stands in for another while that one does not work.

    A bell has no rhythm and is often muted (`patterns.py` is what it can't do), but it is
    there when the player is lost in the middle of a session.
    """

    def __init__(self, sink: Sink, needed: Callable[[], bool]) -> None:
        """`needed` says whether the other one is off; asked at every cue, so cheap."""
        self.name = sink.name
        self._sink = sink
        self._needed = needed

    def play(self, cue: Cue) -> None:
        """Play the cue if nothing better does."""
        if self._needed():
            self._sink.play(cue)

    def hush(self) -> None:
        """Stop what still sounds."""
        self._sink.hush()

    def close(self) -> None:
        """Stop, and give back what was taken."""
        self._sink.close()
