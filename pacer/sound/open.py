"""What sounds here: the sinks that work, and a line for each way that is off."""

from __future__ import annotations

import importlib.util
import shutil
import time
from collections.abc import Callable, Iterable, Sequence

from pacer.sound.child import NO_DEVICE, NO_LIBRARY
from pacer.sound.player import Tones
from pacer.sound.process import Process
from pacer.sound.sink import Sink
from pacer.sound.spare import Spare
from pacer.sound.speech import NONE_FOUND, WORDS_S, Speech, Voice, found, from_template
from pacer.sound.turn import Turn

SETTLE_S = 3.0
"""How long to wait for the player's first word; it comes in some 0.3 s."""


def open_sounds(sound: str, speech: str) -> tuple[list[Sink], list[str]]:
    """Return the sinks for tones and speech, and lines such as `sound is off: no sound device`.

    `sound` is "auto" or "off", `speech` "auto", "off" or a command with `{words}`.
    What was switched off, and speech that nobody asked for and that isn't there, has no line.
    Raises `UserInputError` for a speech command without `{words}`.
    """
    voice, why_mute = find_voice(speech)
    turn = Turn(time.monotonic, WORDS_S if voice else 0.0)
    tones, why_silent = (None, "") if sound == "off" else open_tones(turn)
    if speech == "auto" and why_silent == NO_DEVICE:
        # Speech programs don't mind: without a card espeak-ng ends well and says nothing (seen).
        voice, why_mute = None, NO_DEVICE
    sinks: list[Sink] = [tones] if tones else []
    if voice:
        after_s = tones.lasts_s if tones else lambda _: 0.0
        sinks.append(Speech(voice, turn, time.monotonic, after_s))
    off = [f"{Tones.name} is off: {why_silent}"] if why_silent else []
    if why_mute and speech != "auto":
        off.append(f"{Speech.name} is off: {why_mute}")
    return sinks, off


def find_voice(speech: str) -> tuple[Voice | None, str]:
    """Return the voice a setting means, or None and why; "off" has no why.

    Raises `UserInputError` for a command without `{words}`.
    """
    if speech == "off":
        return None, ""
    if speech == "auto":
        voice = found()
        return voice, "" if voice else NONE_FOUND
    voice = from_template(speech)
    if shutil.which(voice.name) is None:
        return None, f"{voice.name} is not installed"
    return voice, ""


def has_library() -> bool:
    """True when the sound library is installed; it is looked for, loading is the player's part."""
    return importlib.util.find_spec("miniaudio") is not None


def open_tones(turn: Turn, start: Callable[[], Process] = Process) -> tuple[Tones | None, str]:
    """Return the tones, or None and why nothing can be heard here."""
    if start is Process and not has_library():
        return None, NO_LIBRARY
    tones = Tones(turn, start)
    tones.settle(SETTLE_S)
    if why := tones.trouble:
        tones.close()
        return None, why
    return tones, ""


def spare_bell(bell: Sink, sinks: Sequence[Sink]) -> Sink:
    """Return the bell as a sink that rings only while none of `sinks` plays tones."""
    players = [sink for sink in sinks if isinstance(sink, Tones)]
    return Spare(bell, lambda: not _any_works(players))


def _any_works(players: Iterable[Tones]) -> bool:
    return any(not player.trouble for player in players)
