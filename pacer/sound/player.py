"""`Tones`: the sink that plays the seven sounds, through the player process.

The process is started at once, so that what takes time (loading, opening the card) is over
before the first cue. A player that ends is started anew once, then `play` says why it is off.
A player without a device, or without its library, is not: nothing would change.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress

from pacer.session.cues import Cue
from pacer.sound.child import STOPPED
from pacer.sound.patterns import pattern_of, sounding_s
from pacer.sound.process import Process
from pacer.sound.turn import Turn

DEAF = "the player does not answer"


class SoundOff(Exception):
    """Why a way of telling by sound is off, in a few words."""


class Tones:
    """Plays each cue's pattern; called from the driver's thread, waits for nothing."""

    name = "sound"

    def __init__(self, turn: Turn, start: Callable[[], Process] = Process) -> None:
        """Start the player; a failure to start is told by `trouble` and the first `play`."""
        self._turn = turn
        self._start = start
        self._process: Process | None = None
        self._trouble = ""
        self._restarts = 1
        self._begin()

    def settle(self, timeout_s: float) -> None:
        """Wait until the player has said whether it can play, at most `timeout_s`."""
        if self._process is not None:
            self._process.ready(timeout_s)
            if self._process.gave_up:
                # It ends by itself, now.
                self._off(self._process.why() or DEAF)

    @property
    def trouble(self) -> str:
        """Why nothing can be heard, as far as is known; cheap."""
        if self._process is not None and self._process.ended and not self._may_restart():
            self._off(self._process.why())
        return self._trouble

    def play(self, cue: Cue) -> None:
        """Play the cue's pattern with its repeats, in place of what sounds.

        Raises `SoundOff` when nothing can be heard any more.
        """
        if self.trouble:
            raise SoundOff(self._trouble)
        if self._turn.takes(cue):
            self._tell(f"play {pattern_of(cue.kind).name} {cue.urgency}")

    def hush(self) -> None:
        """Stop what sounds; never fails, a lost player is told at the next cue."""
        self._turn.hush()
        if self._process is not None:
            with suppress(OSError):
                self._process.tell("hush")

    def close(self) -> None:
        """End the player."""
        if self._process is not None:
            self._process.close()
            self._process = None
        self._trouble = self._trouble or "closed"

    def lasts_s(self, cue: Cue) -> float:
        """Return how long the cue's tone takes, s; 0 when tones are off."""
        return 0.0 if self.trouble else sounding_s(pattern_of(cue.kind), cue.urgency)

    def _tell(self, command: str) -> None:
        hung = self._process is not None and self._process.deaf
        if self._process is not None and not self._process.ended and not hung:
            try:
                self._process.tell(command)
                return
            except BlockingIOError:
                self._off(DEAF)
                raise SoundOff(DEAF) from None
            except OSError:
                pass  # it is ending just now
        self._again(command)

    def _again(self, command: str) -> None:
        """Start the player once more and tell it; raises `SoundOff`."""
        why = self._process.why() if self._process is not None else ""
        if not self._may_restart():
            self._off(why or DEAF)
        else:
            self._restarts -= 1
            self._drop()
            self._begin()
            if self._process is not None:
                try:
                    self._process.tell(command)
                    return
                except OSError:
                    self._off(self._process.why() or DEAF)
        raise SoundOff(self._trouble)

    def _may_restart(self) -> bool:
        """Another start may help where the process was lost, or its device: there may be another."""
        process = self._process
        if self._restarts == 0 or process is None:
            return False
        return not process.gave_up or process.why() == STOPPED

    def _begin(self) -> None:
        try:
            self._process = self._start()
        except OSError as error:
            self._off(f"the player can't be started ({error.strerror})")

    def _off(self, why: str) -> None:
        self._trouble = self._trouble or why
        self._drop()

    def _drop(self) -> None:
        """Leave the process behind without waiting for it to see reason."""
        if self._process is not None:
            self._process.close(kindly=False)
            self._process = None
