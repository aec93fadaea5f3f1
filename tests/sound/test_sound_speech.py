"""Speech through a real program, and what is found where."""

from __future__ import annotations

import json
import shlex
import socket
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from fakes import FakeClock

from pacer.errors import UserInputError
from pacer.session.cues import Cue, CueKind
from pacer.sound.player import SoundOff
from pacer.sound.speech import Speech, found, from_template
from pacer.sound.turn import Turn

READY, PEEN = Cue(CueKind.READY, 0.0), Cue(CueKind.PEEN, 0.0)

# Tells its arguments to the test, then "speaks" until the line is cut.
SPEAKS = """
import json, socket, sys
line = socket.create_connection(("127.0.0.1", int(sys.argv[1])), timeout=20)
line.sendall(json.dumps(sys.argv[2:]).encode() + b"\\n")
line.recv(1)
"""


@pytest.fixture
def ear() -> Iterator[socket.socket]:
    """Where the speaking program reports."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        server.settimeout(20)
        yield server


@pytest.fixture
def speech_of() -> Iterator[Callable[[str], Speech]]:
    """Make speech from a template; close it in the end."""
    made: list[Speech] = []

    def make(template: str) -> Speech:
        clock = FakeClock().now_s
        made.append(Speech(from_template(template), Turn(clock), clock, lambda _: 0.0))
        return made[-1]

    yield make
    for speech in made:
        speech.close()
        assert not speech._thread.is_alive()


def _heard(server: socket.socket) -> tuple[list[str], socket.socket]:
    line, _ = server.accept()
    line.settimeout(20)
    with line.makefile() as file:
        return json.loads(file.readline()), line


@pytest.mark.slow
def test_words_are_one_argument_and_a_new_cue_cuts_the_old_words(
    ear: socket.socket, speech_of: Callable[[str], Speech], tmp_path: Path
) -> None:
    """No shell: `;` and `$` of the template stay what they are. The old line is cut first."""
    script = tmp_path / "speaks ; touch here.py"
    script.write_text(SPEAKS)
    port = ear.getsockname()[1]
    speech = speech_of(
        f"{shlex.quote(sys.executable)} {shlex.quote(str(script))} {port} -s '$HOME' 'say:{{words}}'"
    )
    speech.play(Cue(CueKind.LOOK_AT_BEAD, 0.0))
    argv, first = _heard(ear)
    assert argv == ["-s", "$HOME", "say:look at bead"]
    speech.play(PEEN)
    argv, second = _heard(ear)
    assert argv == ["-s", "$HOME", "say:peen"]
    assert first.recv(1) == b"", "the first one was still alive"
    speech.hush()
    assert second.recv(1) == b""
    first.close()
    second.close()


@pytest.mark.slow
def test_a_program_that_fails_is_told_at_the_next_cue(
    speech_of: Callable[[str], Speech],
) -> None:
    """With what the system said."""
    speech = speech_of("/nonexistent/speaks {words}")
    speech.play(READY)
    with pytest.raises(SoundOff, match=r"^its program can't be started \(No such file"):
        _until_it_raises(speech)


def _until_it_raises(speech: Speech) -> None:
    for _ in range(100):
        speech.play(PEEN)
        speech._thread.join(0.1)


@pytest.mark.parametrize(
    ("installed", "platform", "name"),
    [
        ({"espeak-ng", "espeak", "spd-say"}, "linux", "espeak-ng"),
        ({"espeak", "spd-say"}, "linux", "espeak"),
        ({"spd-say"}, "linux", "spd-say"),
        ({"say"}, "darwin", "say"),
        ({"powershell", "espeak-ng"}, "win32", "powershell"),
        (set(), "linux", None),
    ],
)
def test_the_first_voice_that_is_installed_speaks(
    installed: set[str], platform: str, name: str | None
) -> None:
    """In order of liking; none is no voice."""
    voice = found(lambda name: name if name in installed else None, platform)
    assert (voice.name if voice else None) == name
    if voice:
        assert "too hot" in " ".join(voice.say("too hot"))
        assert "{words}" not in " ".join(voice.say("too hot"))


@pytest.mark.parametrize(
    ("template", "said"),
    [
        ("espeak-ng -s 150", 'expected "auto", "off", or a command with {words}'),
        ("{words}", 'expected "auto", "off", or a command with {words}'),
        ("", 'expected "auto", "off", or a command with {words}'),
        ("say '{words}", "No closing quotation"),
        ("\x1b[2Jsay", "\ufffd[2Jsay"),
    ],
)
def test_a_template_that_cannot_speak_is_one_line(template: str, said: str) -> None:
    """What was found, what is expected, cleaned."""
    with pytest.raises(UserInputError) as raised:
        from_template(template)
    assert said in str(raised.value)
    assert "\n" not in str(raised.value)
    assert "\x1b" not in str(raised.value)
