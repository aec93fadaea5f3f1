"""T-38: sound failure is not silence of the system. The driver with real, broken, mute sound."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from driving import Driven, at_ready, live, press_next, same_again, steady
from fakes import Doing, FakeClock, FakeSink

from pacer.job.job import Job
from pacer.session.events import AnyEvent, Trouble
from pacer.sound.open import spare_bell
from pacer.sound.player import Tones
from pacer.sound.process import COMMAND, Process
from pacer.sound.sink import Sink
from pacer.sound.turn import Turn

Told = list[tuple[float, AnyEvent | Doing]]
Opens = Callable[..., Tones]

MUTED = (*COMMAND, "--nowhere")
NO_DEVICE = (sys.executable, "-c", "print('off no sound device'); raise SystemExit(3)")


@pytest.fixture
def opened() -> Iterator[Opens]:
    """Open tones over a player of the test's own."""
    made: list[Tones] = []

    def open_(command: tuple[str, ...]) -> Tones:
        made.append(Tones(Turn(FakeClock().now_s), lambda: Process(command)))
        made[-1].settle(10)
        return made[-1]

    yield open_
    for tones in made:
        tones.close()


def _bead() -> Told:
    """READY at 72 s, arc at 74 s, FINISH 80.5, STOP 84, then the peen."""
    return [*at_ready(), press_next(74), *steady(75, 110, 262.0)]


def _driven(path: Path, job: Job, sinks: list[Sink], *doings: tuple[float, Doing]) -> Driven:
    told = sorted([*_bead(), *doings], key=lambda item: item[0])
    driven = live(path, job, told, sinks=sinks)
    driven.driver.run()
    same_again(driven)
    return driven


def _troubles(driven: Driven) -> list[tuple[str, str]]:
    return [(e.what, e.why) for e in driven.events() if isinstance(e, Trouble)]


def _as_without_sound(driven: Driven, job: Job, tmp_path: Path) -> None:
    """What is told, on disk and on the screen, is what it is without any sound."""
    silent = _driven(tmp_path / "silent.jsonl", job, [])
    assert "84.000 STOP" in silent.told()
    assert driven.told() == silent.told()
    assert driven.driver.snapshot().cues == silent.driver.snapshot().cues


def _kill(tones: Tones) -> None:
    assert tones._process is not None
    tones._process.ready(10)
    os.kill(tones._process.pid, signal.SIGKILL)
    tones._process._child.wait(10)


@pytest.mark.slow
def test_no_device_is_told_once_and_the_session_goes_on(
    hot_job: Job, tmp_path: Path, opened: Opens
) -> None:
    """The first cue finds it; one record, one line on the screen; the bell stands in."""
    tones, rung = opened(NO_DEVICE), FakeSink("bell")
    driven = _driven(tmp_path / "a.jsonl", hot_job, [tones, spare_bell(rung, [tones])])
    assert _troubles(driven) == [("sound", "no sound device")]
    assert driven.driver.snapshot().off == ("sound is off: no sound device",)
    assert [f"{c.t_s:.3f} {c.kind}" for c in rung.played] == driven.told()
    _as_without_sound(driven, hot_job, tmp_path)


@pytest.mark.slow
def test_a_killed_player_comes_back_once_and_is_then_told(
    hot_job: Job, tmp_path: Path, opened: Opens
) -> None:
    """Killed before the arc: started again. Killed in the bead: told at FINISH, the bell stands in."""
    tones, rung = opened(MUTED), FakeSink("bell")
    sinks = [tones, spare_bell(rung, [tones])]
    kills: list[tuple[float, Doing]] = [
        (71.5, lambda: _kill(tones)),
        (79.5, lambda: _kill(tones)),
    ]
    driven = _driven(tmp_path / "a.jsonl", hot_job, sinks, *kills)
    assert _troubles(driven) == [("sound", "the player ended (code -9)")]
    trouble = next(e for e in driven.events() if isinstance(e, Trouble))
    assert trouble.t_s == 80.5
    assert driven.driver.snapshot().off == ("sound is off: the player ended (code -9)",)
    assert [str(cue.kind) for cue in rung.played][:2] == ["FINISH", "STOP"]
    _as_without_sound(driven, hot_job, tmp_path)


@pytest.mark.slow
def test_a_muted_device_changes_nothing(hot_job: Job, tmp_path: Path, opened: Opens) -> None:
    """No program can hear that it is muted: no trouble is told, and every cue is seen."""
    tones, rung = opened(MUTED), FakeSink("bell")
    driven = _driven(tmp_path / "a.jsonl", hot_job, [tones, spare_bell(rung, [tones])])
    assert _troubles(driven) == []
    assert driven.driver.snapshot().off == ()
    assert rung.played == []
    assert tones.trouble == "closed"
    _as_without_sound(driven, hot_job, tmp_path)
