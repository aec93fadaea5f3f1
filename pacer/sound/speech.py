"""`Speech`: the sink that says a cue in one to three words, by a program of the system.

The program is started anew for each cue, from a template such as `espeak-ng -s 150 {words}`:
split as a shell would split it, but no shell sees it; `{words}` becomes one argument.
Words come after the tone (seen: tone first, then brief words; noise masks speech) and are
dropped, never queued, when something newer is told or their moment has passed.
"""

from __future__ import annotations

import os
import shlex
import shutil
import signal
import subprocess
import sys
import threading
from collections.abc import Callable
from contextlib import suppress
from typing import NamedTuple

from pacer.errors import UserInputError
from pacer.session.cues import Cue, CueKind
from pacer.sound.player import SoundOff
from pacer.sound.speaker import Speaker
from pacer.sound.turn import Turn
from pacer.text import clean

WORDS_S = 1.5
"""What one to three words take: with espeak-ng 1.51 at 150 words a minute 1.35 s at most, measured."""

WORDS: dict[CueKind, str] = {
    CueKind.PREPARE: "prepare",
    CueKind.TACK: "tack",
    CueKind.PREHEAT: "preheat",
    CueKind.SOAK: "soak",
    CueKind.LOOK_AT_TACKS: "look at tacks",
    CueKind.READY: "ready",
    CueKind.ALL_LAID: "all laid",
    CueKind.FINISH: "fill crater",
    CueKind.STOP: "stop",
    CueKind.ARC_LOST: "arc lost",
    CueKind.SHORT_BEAD: "short bead",
    CueKind.PEEN: "peen",
    CueKind.LOOK_AT_BEAD: "look at bead",
    CueKind.LOOK_UNPEENED: "do not peen",
    CueKind.PAUSED: "paused",
    CueKind.LEAVE_IT: "do not peen",
    CueKind.WAIT: "wait",
    CueKind.SETTLING: "wait",
    CueKind.REHEAT: "reheat",
    CueKind.PUT_BACK: "put it back",
    CueKind.HOLD: "keep warm",
    CueKind.LOOK_FOR_CRACKS: "new cracks",
    CueKind.TYPE_A_READING: "measure",
    CueKind.POST_HEAT: "post heat",
    CueKind.BURY: "cover it",
    CueKind.COVERED: "leave covered",
    CueKind.UNCOVER: "uncover",
    CueKind.DONE: "done",
    CueKind.GAP: "check the part",
    CueKind.UNTIMED_GAP: "check the part",
    CueKind.CANNOT: "not now",
    CueKind.READING_BACK: "reading back",
    CueKind.TOO_HOT: "too hot",
    CueKind.TOO_COLD: "too cold",
    CueKind.UNCOVERED_EARLY: "uncovered early",
    CueKind.COOLING_FAST: "cooling fast",
    CueKind.COOLING_SLOWLY: "cooling slowly",
    CueKind.PROBE_MOVED: "check the probe",
    CueKind.NOISY: "reading is noisy",
    CueKind.ARC_IN_READING: "arc in reading",
    CueKind.STUCK: "reading stuck",
    CueKind.WHICH_UNIT: "check the unit",
    CueKind.PROBE_OFF: "probe on",
    CueKind.JUMPED: "reading jumped",
    CueKind.REVERSED: "leads reversed",
    CueKind.WIRE_TYPE: "check the wire",
    CueKind.APART: "channels apart",
    CueKind.NO_READING: "no reading",
    CueKind.LOG_MOVED: "log moved",
    CueKind.LOG_NOT_SAVED: "log not saved",
}


class Voice(NamedTuple):
    """How words become speech here."""

    argv: tuple[str, ...]
    "`{words}` in it is replaced by the words."
    stop: tuple[str, ...] = ()
    "What ends speech that goes on after its command was killed, if anything."

    @property
    def name(self) -> str:
        """The program."""
        return self.argv[0]

    def say(self, words: str) -> list[str]:
        """Return the command for some words."""
        return [part.replace("{words}", words) for part in self.argv]


# espeak-ng was tried, the others' options are from memory. spd-say only passes the words on.
_KNOWN = (
    Voice(("espeak-ng", "-s", "150", "{words}")),
    Voice(("espeak", "-s", "150", "{words}")),
    Voice(("spd-say", "--wait", "{words}"), stop=("spd-say", "--cancel")),
    Voice(("say", "{words}")),
)
# From memory, never tried: Windows' own speech. The words are ours, letters only.
_WINDOWS = Voice(
    (
        "powershell",
        "-NoProfile",
        "-Command",
        "Add-Type -AssemblyName System.Speech; "
        "(New-Object System.Speech.Synthesis.SpeechSynthesizer).Speak('{words}')",
    )
)
NONE_FOUND = f"none of {', '.join(voice.name for voice in _KNOWN)} is installed"

Which = Callable[[str], str | None]


def found(which: Which = shutil.which, platform: str = sys.platform) -> Voice | None:
    """Return the first voice that is installed here."""
    known = (_WINDOWS,) if platform == "win32" else _KNOWN
    return next((voice for voice in known if which(voice.name)), None)


def from_template(text: str) -> Voice:
    """Return the voice of a command with `{words}` in it; raises `UserInputError`."""
    told = f'speech = "{clean(text, 60)}"'
    try:
        argv = tuple(shlex.split(text))
    except ValueError as error:
        raise UserInputError(f"{told}: {clean(str(error), 60)}") from None
    if not argv or "{words}" not in "".join(argv[1:]):
        raise UserInputError(
            f'{told}: expected "auto", "off", or a command with {{words}}, '
            'such as "espeak-ng -s 150 {words}"'
        )
    return Voice(argv)


class Spoken:
    """A speech command that runs, with all it started itself."""

    def __init__(self, argv: list[str]) -> None:
        """Start it, away from the terminal; raises `OSError`."""
        self._child = subprocess.Popen(
            argv,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )

    def poll(self) -> int | None:
        """Return its exit code, None while it runs."""
        return self._child.poll()

    def kill(self) -> None:
        """End it now; a script's own children too, where the system can."""
        if self.poll() is not None:
            return
        with suppress(OSError):  # it may be ending just now
            if sys.platform == "win32":
                self._child.kill()
            else:
                os.killpg(self._child.pid, signal.SIGKILL)


class Speech:
    """Says a cue's words after its tone; a thread of its own starts and reaps the program."""

    name = "speech"

    def __init__(
        self,
        voice: Voice,
        turn: Turn,
        clock: Callable[[], float],
        after_s: Callable[[Cue], float],
    ) -> None:
        """`after_s` says how long a cue's tone takes, s; `clock` counts s."""
        self._turn = turn
        self._clock = clock
        self._after_s = after_s
        self._lock = threading.Lock()
        self._speaker = Speaker(voice.say, Spoken, voice.stop)
        self._wake = threading.Event()
        self._closing = False
        self._thread = threading.Thread(target=self._work, name="speech", daemon=True)
        self._thread.start()

    def play(self, cue: Cue) -> None:
        """Cut what is being said; say the cue's words when its tone is over.

        Raises `SoundOff` when the program of the last words failed.
        """
        if not self._turn.takes(cue):
            return
        with self._lock:
            if self._speaker.trouble:
                raise SoundOff(self._speaker.trouble)
            self._speaker.say(WORDS[cue.kind], self._clock() + self._after_s(cue))
        self._wake.set()

    def hush(self) -> None:
        """Cut what is being said."""
        self._turn.hush()
        with self._lock:
            self._speaker.hush()
        self._wake.set()

    def close(self) -> None:
        """Cut what is being said and end the thread."""
        self._closing = True
        self.hush()
        self._thread.join(timeout=1.0)

    def _work(self) -> None:
        while True:
            with self._lock:
                look_s = self._speaker.look(self._clock())
            if self._closing and look_s is None:
                return
            self._wake.wait(None if look_s is None else max(0.0, look_s - self._clock()))
            self._wake.clear()
