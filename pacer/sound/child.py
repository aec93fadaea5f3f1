"""The player: a process of its own that holds the sound card. `python -m pacer.sound.child`.

Why a process: the sound library and the system's below it write on the terminal, and take a
tenth of a second to load; neither may touch the screen or the driver.

It reads a command a line (`play NAME URGENCY`, `hush`, `quit`) and answers a line each:
`ready` once, `playing NAME`, `hushed`, or `off WHY` before it gives up. The end of its input
ends it, so it never outlives the program. The card is kept open and fed with silence: a
headset that fell asleep would swallow the first beat (from memory).
"""

from __future__ import annotations

import sys
import time
from collections.abc import Generator, Iterable, Sequence
from typing import Protocol

from pacer.session.cues import Urgency
from pacer.sound.mixer import Mixer
from pacer.sound.patterns import PATTERNS
from pacer.sound.tones import RATE_HZ, samples
from pacer.text import clean

BUFFER_MS = 60
STALLED_S = 1.0
"""A card that has asked for nothing for so long is gone."""

NO_LIBRARY = "miniaudio is not installed: pip install 'pacer[sound]'"
NO_DEVICE = "no sound device"
STOPPED = "the sound device stopped"


class CannotPlay(Exception):
    """The message says why nothing can be heard."""


class Out(Protocol):
    """Where the mixer's samples go."""

    def check(self) -> None:
        """Raise `CannotPlay` if it no longer takes any."""

    def close(self) -> None:
        """Give it back."""


class Nowhere:
    """No card and no library: commands are taken, nothing sounds."""

    def check(self) -> None:
        """Always well."""

    def close(self) -> None:
        """Nothing to give back."""


class Card:
    """The system's default output, or the library's null one."""

    def __init__(self, mixer: Mixer, *, null: bool = False) -> None:
        """Open it and keep it fed; raises `CannotPlay`."""
        try:
            import miniaudio
        except ImportError:
            raise CannotPlay(NO_LIBRARY) from None
        try:
            self._device = miniaudio.PlaybackDevice(
                output_format=miniaudio.SampleFormat.SIGNED16,
                nchannels=1,
                sample_rate=RATE_HZ,
                buffersize_msec=BUFFER_MS,
                backends=[miniaudio.Backend.NULL] if null else None,
                app_name="pacer",
            )
            feeding = _feed(mixer)
            next(feeding)
            self._device.start(feeding)
        except miniaudio.MiniaudioError:
            raise CannotPlay(NO_DEVICE) from None
        if self._device.backend == "Null" and not null:
            # Where a system has no sound at all the library plays to nobody.
            raise CannotPlay(NO_DEVICE)
        self._mixer = mixer
        self._fed = -1
        self._seen_s = time.monotonic()

    def check(self) -> None:
        """Raise `CannotPlay` if the card has asked for nothing since long before."""
        now_s = time.monotonic()
        if self._mixer.fed == self._fed and now_s - self._seen_s > STALLED_S:
            raise CannotPlay(STOPPED)
        self._fed, self._seen_s = self._mixer.fed, now_s

    def close(self) -> None:
        """Stop it. Left to the interpreter's end it hangs: seen, five times of five."""
        self._device.close()


def _feed(mixer: Mixer) -> Generator[bytes, int, None]:
    count = yield b""
    while True:
        count = yield mixer.frames(count).tobytes()


def answer(line: str, mixer: Mixer) -> str:
    """Do one command; return what to say about it."""
    match line.split():
        case ["play", name, urgency] if name in PATTERNS and urgency in set(Urgency):
            mixer.play(samples(PATTERNS[name], Urgency(urgency)))
            return f"playing {name}"
        case ["hush"]:
            mixer.hush()
            return "hushed"
        case _:
            return f"unknown {clean(line, 40)}"


def serve(lines: Iterable[str], mixer: Mixer, out: Out) -> None:
    """Take commands until `quit` or their end; raises `CannotPlay` when the card is gone."""
    for line in lines:
        if line.strip() == "quit":
            return
        out.check()
        _say(answer(line, mixer))


def _say(word: str) -> None:
    print(word, flush=True)


def main(argv: Sequence[str]) -> int:
    """Play until told to quit; 0, or 3 when nothing can be heard. `--null`, `--nowhere`: tests."""
    mixer = Mixer()
    try:
        out: Out = Nowhere() if "--nowhere" in argv else Card(mixer, null="--null" in argv)
        try:
            _say("ready")
            serve(sys.stdin, mixer, out)
        finally:
            out.close()
    except CannotPlay as why:
        _say(f"off {why}")
        return 3
    except (BrokenPipeError, KeyboardInterrupt):
        return 0
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
