"""`pacer sounds` as a user meets it, with no sound, with speech, and into files."""

from __future__ import annotations

import json
import shlex
import sys
import threading
import wave
from functools import partial
from math import atan, pi
from pathlib import Path

import pytest
from commands import here, pacer

from pacer.cli import sounds as command_module
from pacer.cli.main import main
from pacer.cli.sounds import height_mm
from pacer.sound.patterns import PATTERNS
from pacer.sound.rehearsal import rehearse


@pytest.fixture
def settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A settings file of the test's own; sound off, so that no machine plays."""
    monkeypatch.setenv("PACER_HOME", str(tmp_path))
    path = tmp_path / "settings.toml"
    path.write_text('sound = "off"\nspeech = "off"\n')
    return path


@pytest.mark.slow
def test_the_list_shows_every_sound_and_what_works_here(settings: Path) -> None:
    """Nothing can be heard: the answer is no, exit 1; the list and the noise advice stand."""
    done = pacer("sounds")
    assert (done.code, done.err) == (1, "")
    lines = done.out.splitlines()
    for pattern in PATTERNS.values():
        assert any(pattern.name in line and pattern.meaning in line for line in lines)
    assert "  tones   off: by the settings" in lines
    assert "  speech  off: by the settings" in lines
    assert "headset" in done.out
    assert "Listen:" not in done.out
    assert max(map(len, lines)) <= 100


@pytest.mark.slow
def test_the_ladder_goes_down_to_one_row_and_gives_the_rule(settings: Path) -> None:
    """Rows as labelled, and the height for 22 minutes of arc."""
    lines = here("sounds", "--quiet").out.splitlines()
    at = [i for i, line in enumerate(lines) if line.split(" ")[1:2] in (["rows"], ["row"])]
    rows = [int(lines[i].split()[0]) for i in at]
    assert rows == sorted(rows, reverse=True)
    assert {7, 5, 1} <= set(rows)
    for i, count in zip(at, rows, strict=True):
        block = lines[i : i + count]
        assert all(block)
        assert lines[i + count] == ""
    assert "13 mm at 2 m, 19 mm at 3 m" in " ".join(lines)


@pytest.mark.slow
def test_one_sound_is_spoken_by_the_command_of_the_settings(
    settings: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Through the sinks of a session: the words reach the program, exit 0."""
    said = tmp_path / "said"
    script = f"import os, sys; open({str(said)!r} + '~', 'w').write(sys.argv[1])\n"
    script += f"os.rename({str(said)!r} + '~', {str(said)!r})"
    command = f"{shlex.quote(sys.executable)} -c {shlex.quote(script)} {{words}}"
    settings.write_text(f'sound = "off"\nspeech = {json.dumps(command)}\n')

    def until_said(_: float) -> None:
        for _ in range(200):
            if said.exists():
                return
            threading.Event().wait(0.05)

    monkeypatch.setattr(command_module, "rehearse", partial(rehearse, wait=until_said))
    assert main(["sounds", "peen"]) == 0
    assert said.read_text() == "peen"
    assert capsys.readouterr().out.split() == ["peen", *"------", "peen", "at", "once"]


@pytest.mark.slow
def test_wav_files_can_be_heard_anywhere(settings: Path, tmp_path: Path) -> None:
    """Seven files of the table's lengths, exit 0; none is written over."""
    folder = tmp_path / "wav"
    done = pacer("sounds", "--wav", folder).fine()
    assert sorted(done.out.split()) == sorted(str(folder / f"{name}.wav") for name in PATTERNS)
    for name, pattern in PATTERNS.items():
        with wave.open(str(folder / f"{name}.wav")) as file:
            seconds = file.getnframes() / file.getframerate()
        assert seconds == pytest.approx(pattern.length_s, abs=1e-3)
    again = here("sounds", "stop", "--wav", folder)
    assert again.code == 2
    assert again.err == f"pacer: {folder / 'stop.wav'}: exists already\n"


@pytest.mark.slow
def test_mistakes_are_one_line(settings: Path, tmp_path: Path) -> None:
    """An unknown name with the nearest one; a folder that can't be."""
    done = here("sounds", "finsh")
    assert (done.code, done.out) == (2, "")
    assert done.err == 'pacer: sounds: no sound "finsh"; did you mean "finish"?\n'
    (tmp_path / "file").write_text("")
    done = here("sounds", "--wav", tmp_path / "file" / "x")
    assert done.code == 2
    assert done.err.count("\n") == 1
    assert "cannot be written" in done.err


@pytest.mark.parametrize(
    ("distance_m", "arcmin", "printed_mm"),
    [(0.6, 16, 2.8), (2, 16, 9.3), (2, 20, 11.6), (2, 22, 12.8), (3, 22, 19.2), (3, 30, 26.2)],
)
def test_heights_by_angle(distance_m: float, arcmin: float, printed_mm: float) -> None:
    """The table of reliability.md section 7, and the angle found again from the height."""
    height = height_mm(distance_m, arcmin)
    assert round(height, 1) == printed_mm
    assert 2 * atan(height / 2000 / distance_m) * 180 / pi * 60 == pytest.approx(arcmin)
