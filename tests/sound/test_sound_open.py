"""What is opened for which setting, and what is said about the rest; the rehearsal."""

from __future__ import annotations

import shlex
import sys

import pytest
from fakes import FakeClock, FakeSink

from pacer.errors import UserInputError
from pacer.session.cues import Cue, CueKind
from pacer.sound import open as opening
from pacer.sound.child import NO_DEVICE, NO_LIBRARY
from pacer.sound.open import find_voice, open_sounds, open_tones, spare_bell
from pacer.sound.patterns import PATTERNS, pattern_of
from pacer.sound.process import COMMAND, Process
from pacer.sound.rehearsal import EXAMPLES, rehearse
from pacer.sound.sink import Sink
from pacer.sound.speech import from_template
from pacer.sound.turn import Turn

SPEAKS = f"{shlex.quote(sys.executable)} -c pass {{words}}"


@pytest.fixture
def no_library(monkeypatch: pytest.MonkeyPatch) -> None:
    """As where the extra is not installed."""
    monkeypatch.setattr(opening, "has_library", lambda: False)


@pytest.fixture
def nothing_installed(monkeypatch: pytest.MonkeyPatch) -> None:
    """An empty PATH."""
    monkeypatch.setenv("PATH", "")


@pytest.mark.usefixtures("no_library", "nothing_installed")
def test_without_anything_there_is_a_line_for_sound_and_none_for_speech_nobody_asked_for() -> None:
    """Both "auto": the missing library is told with its remedy."""
    assert open_sounds("auto", "auto") == ([], [f"sound is off: {NO_LIBRARY}"])


def test_what_is_switched_off_has_no_line() -> None:
    """Off on purpose is no news."""
    assert open_sounds("off", "off") == ([], [])


def test_speech_that_was_only_found_keeps_quiet_where_there_is_no_device(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """espeak-ng would end well without a card; one that was asked for is taken at its word."""
    monkeypatch.setattr(opening, "open_tones", lambda turn: (None, NO_DEVICE))
    monkeypatch.setattr(opening, "found", lambda: from_template(SPEAKS))
    assert open_sounds("auto", "auto") == ([], ["sound is off: no sound device"])
    sinks, off = open_sounds("auto", SPEAKS)
    assert ([sink.name for sink in sinks], off) == (["speech"], ["sound is off: no sound device"])
    sinks[0].close()


@pytest.mark.usefixtures("nothing_installed")
def test_a_speech_program_that_is_not_there_is_told() -> None:
    """It was asked for by name."""
    assert open_sounds("off", "mumble {words}") == (
        [],
        ["speech is off: mumble is not installed"],
    )
    assert find_voice("auto")[0] is None
    with pytest.raises(UserInputError, match=r"expected \"auto\", \"off\", or a command"):
        open_sounds("off", "mumble")


@pytest.mark.slow
def test_speech_opens_without_tones() -> None:
    """A command that exists is taken at its word."""
    sinks, off = open_sounds("off", SPEAKS)
    assert ([sink.name for sink in sinks], off) == (["speech"], [])
    sinks[0].close()


@pytest.mark.slow
def test_tones_open_where_the_player_is_ready_and_say_why_where_not() -> None:
    """The player is asked, not guessed at."""
    turn = Turn(FakeClock().now_s)
    tones, why = open_tones(turn, lambda: Process((*COMMAND, "--nowhere")))
    assert why == ""
    assert tones is not None
    assert spare_bell(FakeSink("bell"), [tones]).name == "bell"
    tones.close()
    script = "print('off no sound device'); raise SystemExit(3)"
    tones, why = open_tones(turn, lambda: Process((sys.executable, "-c", script)))
    assert (tones, why) == (None, "no sound device")


def test_the_bell_is_spare_where_tones_never_came() -> None:
    """No tones at all: every cue rings."""
    rung = FakeSink("bell")
    bell = spare_bell(rung, [FakeSink("speech")])
    bell.play(Cue(CueKind.READY, 0.0))
    bell.hush()
    bell.close()
    assert len(rung.played) == 1
    assert (rung.hushed, rung.closed) == (1, True)


def test_a_rehearsal_plays_each_of_the_seven_to_its_end() -> None:
    """Through the sinks of a session; each wait is the sound's own length and a pause."""
    assert [pattern_of(kind).name for kind in EXAMPLES] == list(PATTERNS)
    played, names = FakeSink("sound"), []
    waits: list[float] = []
    failed = rehearse(EXAMPLES, [played], lambda pattern: names.append(pattern.name), waits.append)
    assert failed == []
    assert names == list(PATTERNS)
    assert [cue.kind for cue in played.played] == list(EXAMPLES)
    assert waits == pytest.approx([pattern.length_s + 0.8 for pattern in PATTERNS.values()])


def test_a_rehearsal_tells_what_fails_and_ends_when_nothing_is_left() -> None:
    """The second sound breaks; nobody waits for silence."""
    sinks: list[Sink] = [FakeSink("sound", breaks_at=2)]
    waits: list[float] = []
    failed = rehearse(EXAMPLES, sinks, lambda pattern: None, waits.append)
    assert failed == ["sound is off: no such \x1b[2Jdevice"]
    assert len(waits) == 1
