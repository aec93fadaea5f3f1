"""The player process, for real but without a card: told, lost, started again, ended."""

from __future__ import annotations

import importlib.util
import os
import signal
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from fakes import FakeClock

from pacer.session.cues import Cue, CueKind
from pacer.sound.child import NO_LIBRARY
from pacer.sound.player import DEAF, SoundOff, Tones
from pacer.sound.process import COMMAND, Process, environment
from pacer.sound.turn import Turn

STOP = Cue(CueKind.STOP, 0.0)

Starts = Callable[[str], Tones]


def _script(text: str) -> tuple[str, ...]:
    return (sys.executable, "-c", text)


@pytest.fixture
def tones_of() -> Iterator[Starts]:
    """Make tones over a player that is a script; close them in the end."""
    made: list[Tones] = []

    def make(text: str) -> Tones:
        tones = Tones(Turn(FakeClock().now_s), lambda: Process(_script(text)))
        made.append(tones)
        tones.settle(10)
        return tones

    yield make
    for tones in made:
        tones.close()


def _kill(tones: Tones) -> int:
    """Kill the player and see it dead."""
    assert tones._process is not None
    tones._process.ready(10)
    pid = tones._process.pid
    os.kill(pid, signal.SIGKILL)
    tones._process._child.wait(10)
    return pid


def _play_many(tones: Tones) -> None:
    for i in range(100_000):
        tones.play(Cue(CueKind.STOP, float(i)))


LISTENS = """
import sys
print("ready", flush=True)
with open({path!r}, "a") as file:
    for line in sys.stdin:
        file.write(line)
        file.flush()
        if line == "quit\\n":
            break
"""


def _child(*args: str, told: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*COMMAND, *args], input=told, capture_output=True, text=True, env=environment(), timeout=60
    )


@pytest.mark.slow
def test_the_player_answers_each_command_and_ends_with_its_input() -> None:
    """An unknown command is told, not fatal; nothing is written on the terminal."""
    told = "play ready STEP\nplay \x1b[2J STEP\nplay ready LOUD\nhush\n"
    done = _child("--nowhere", told=told)
    assert done.returncode == 0
    assert done.stderr == ""
    assert done.stdout.splitlines() == [
        "ready",
        "playing ready",
        "unknown play \ufffd[2J STEP",
        "unknown play ready LOUD",
        "hushed",
    ]


@pytest.mark.slow
def test_the_player_feeds_a_card_that_throws_all_away() -> None:
    """The library's null output; without the library it says so, and what to do."""
    done = _child("--null", told="play stop STEP\nquit\nplay ready STEP\n")
    if importlib.util.find_spec("miniaudio"):
        assert done.stdout.splitlines() == ["ready", "playing stop"]
        assert (done.returncode, done.stderr) == (0, "")
    else:
        assert (done.returncode, done.stdout) == (3, f"off {NO_LIBRARY}\n")


@pytest.mark.slow
def test_a_cue_becomes_a_command_and_waits_for_nothing(tones_of: Starts, tmp_path: Path) -> None:
    """Pattern and urgency; what may not sound is not sent; play and hush take under 1 ms."""
    path = tmp_path / "heard"
    tones = tones_of(LISTENS.format(path=str(path)))
    for kind in (CueKind.READY, CueKind.NO_READING, CueKind.REHEAT, CueKind.STOP):
        tones.play(Cue(kind, 0.0))
    tones.hush()
    took_s = []
    for _ in range(101):
        begun_s = time.perf_counter()
        tones.play(Cue(CueKind.PEEN, 0.0))
        took_s.append(time.perf_counter() - begun_s)
    assert statistics.median(took_s) < 0.001
    assert tones.trouble == ""
    tones.close()
    heard = path.read_text().splitlines()
    assert heard[:4] == ["play ready STEP", "play look FAULT", "play stop STEP", "hush"]
    assert heard[4:] == ["play peen STEP"] * 101 + ["quit"]


@pytest.mark.slow
def test_a_lost_player_is_started_once_more(tones_of: Starts, tmp_path: Path) -> None:
    """The cue that finds it dead is played by the next one; the second loss is told."""
    path = tmp_path / "heard"
    tones = tones_of(LISTENS.format(path=str(path)))
    _kill(tones)
    assert tones.trouble == ""
    tones.play(STOP)
    assert tones.lasts_s(STOP) == pytest.approx(0.88)
    pid = _kill(tones)
    with pytest.raises(SoundOff, match=r"^the player ended \(code -9\)$"):
        tones.play(STOP)
    assert tones.lasts_s(STOP) == 0.0
    # And again, without starting anything: the driver has long dropped it.
    with pytest.raises(SoundOff, match=r"^the player ended \(code -9\)$"):
        tones.play(STOP)
    with pytest.raises(ProcessLookupError):
        os.kill(pid, 0)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("script", "why"),
    [
        ("print('off no sound device'); raise SystemExit(3)", "no sound device"),
        (f"print({'off ' + NO_LIBRARY!r}); raise SystemExit(3)", NO_LIBRARY),
    ],
)
def test_a_player_without_a_device_is_not_started_again(
    tones_of: Starts, script: str, why: str
) -> None:
    """Nothing would change: its own words are the reason, known before the first cue."""
    tones = tones_of(script)
    assert tones.trouble == why
    with pytest.raises(SoundOff) as raised:
        tones.play(STOP)
    assert str(raised.value) == why
    assert tones._restarts == 1
    tones.hush()


@pytest.mark.slow
def test_a_player_that_breaks_at_once_is_told_by_its_code(tones_of: Starts) -> None:
    """Twice, since it is started once more."""
    tones = tones_of("raise SystemExit(1)")
    assert tones._process is not None
    tones._process._child.wait(10)
    told = []
    for _ in range(3):
        try:
            tones.play(STOP)
            assert tones._process is not None
            tones._process._child.wait(10)
        except SoundOff as why:
            told.append(str(why))
    assert set(told) == {"the player ended (code 1)"}
    assert len(told) >= 2


@pytest.mark.slow
def test_a_device_that_stops_may_have_a_successor(tones_of: Starts, tmp_path: Path) -> None:
    """A headset pulled out: the player gives up, another start finds the loudspeaker."""
    path = tmp_path / "heard"
    tones = tones_of(
        f"import os, sys\nif not os.path.exists({str(path)!r}):\n"
        f"    print('ready', flush=True)\n    sys.stdin.readline()\n    open({str(path)!r}, 'w')\n"
        "    print('off the sound device stopped', flush=True)\n    raise SystemExit(3)\n"
        + LISTENS.format(path=str(path))
    )
    tones.play(STOP)
    assert tones._process is not None
    tones._process._child.wait(10)
    assert tones.trouble == ""
    tones.play(Cue(CueKind.PEEN, 1.0))
    tones.close()
    assert path.read_text().splitlines() == ["play peen STEP", "quit"]


@pytest.mark.slow
def test_a_player_that_does_not_listen_never_holds_up_the_driver(tones_of: Starts) -> None:
    """Its pipe fills, then it is told and ended; nothing waits for it."""
    tones = tones_of("print('ready', flush=True)\nimport signal\nsignal.pause()")
    assert tones._process is not None
    pid = tones._process.pid
    with pytest.raises(SoundOff) as raised:
        _play_many(tones)
    assert str(raised.value) == DEAF
    with pytest.raises(ProcessLookupError):
        os.kill(pid, 0)


@pytest.mark.slow
def test_closing_ends_even_a_player_that_will_not(tones_of: Starts) -> None:
    """Within a second or so, without a zombie: its number is free."""
    tones = tones_of("print('ready', flush=True)\nimport signal\nsignal.pause()")
    assert tones._process is not None
    pid = tones._process.pid
    begun_s = time.perf_counter()
    tones.close()
    assert time.perf_counter() - begun_s < 5.0
    with pytest.raises(ProcessLookupError):
        os.kill(pid, 0)
    with pytest.raises(SoundOff, match=r"^closed$"):
        tones.play(STOP)


def test_a_player_that_cannot_be_started_is_told() -> None:
    """No such program: said at the first cue, no traceback."""
    tones = Tones(Turn(FakeClock().now_s), lambda: Process(("/nonexistent/python",)))
    tones.settle(1)
    assert tones.trouble == "the player can't be started (No such file or directory)"
    with pytest.raises(SoundOff):
        tones.play(STOP)
    tones.close()
