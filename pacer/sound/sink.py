"""`Sink`: what plays a cue. Not critical: a failing sink is noted and dropped."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from pacer.session.cues import Cue


class Sink(Protocol):
    """Takes every cue once, as it is told; must not block."""

    name: str
    "What the screen says when it fails, such as `bell`."

    def play(self, cue: Cue) -> None:
        """Play the cue; any exception drops the sink and is recorded."""

    def hush(self) -> None:
        """Stop what still sounds: the cue was answered, or no longer holds."""

    def close(self) -> None:
        """Stop, and give back what was taken; called once, at the session's end."""


class Bell:
    """The terminal bell, through whoever owns the terminal."""

    name = "bell"

    def __init__(self, ring: Callable[[], None]) -> None:
        """`ring` sounds the bell once and is safe to call from the driver's thread."""
        self._ring = ring

    def play(self, cue: Cue) -> None:
        """Ring once a cue; rhythm belongs to tones."""
        self._ring()

    def hush(self) -> None:
        """A bell is over by itself."""

    def close(self) -> None:
        """Nothing to give back."""


class Lines:
    """Cues as printed lines, for a run without a screen."""

    name = "lines"

    def __init__(self, write: Callable[[str], None], line: Callable[[Cue], str]) -> None:
        """`line` makes the text of a cue, `write` prints it."""
        self._write = write
        self._line = line

    def play(self, cue: Cue) -> None:
        """Print the cue's line."""
        self._write(self._line(cue))

    def hush(self) -> None:
        """What is printed stays."""

    def close(self) -> None:
        """Nothing to give back."""
