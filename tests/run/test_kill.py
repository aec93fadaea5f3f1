"""A real process, killed and ended: what was acknowledged is on disk (reliability.md T-01, T-40)."""

from __future__ import annotations

import json
import os
import random  # noqa: TID251 - seeded moments of the kill
import signal
import subprocess
import sys
import tty
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from commands import ROOT, environment, here, pacer
from conftest import HOT

from pacer.recording.reader import Recording
from pacer.session.events import Ended, Reading, Resumed, SensorChanged


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A job file."""
    path = tmp_path / "job.toml"
    path.write_text(HOT)
    return path


@contextmanager
def _started(*args: str | Path) -> Iterator[subprocess.Popen[bytes]]:
    """Run a headless session with pipes; whatever happens, it is gone afterwards."""
    child = subprocess.Popen(
        [sys.executable, "-m", "pacer", "run", *map(str, args), "--no-screen"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=environment(),
    )
    try:
        with child:
            yield child
            child.kill()
    finally:
        child.kill()
        child.wait()


def _say(child: subprocess.Popen[bytes], text: str) -> None:
    assert child.stdin is not None
    child.stdin.write(text.encode())
    child.stdin.flush()


def _cue(child: subprocess.Popen[bytes], kind: str) -> None:
    """Wait for a cue: it is printed after it, and all before it, is on disk."""
    assert child.stdout is not None
    for line in child.stdout:
        if line.split(b"\t")[1:2] == [kind.encode()]:
            return
    assert child.stderr is not None
    pytest.fail(f"no {kind} before the end: {child.stderr.read().decode()}")


def _readings(path: Path) -> list[float]:
    recording = Recording(path)
    events = list(recording.events())
    assert recording.damage.sound, recording.damage.told("recording")
    return [e.raw[0] for e in events if isinstance(e, Reading) and isinstance(e.raw[0], float)]


def _killed_and_resumed(job: Path, out: Path, kills: int, seed: int) -> None:
    """Kill again and again; each time go on with the same recording.

    After each reading that must be there a press that can't be is answered by CANNOT.
    """
    chance = random.Random(seed)
    number = 0
    sure: list[float] = []
    for kill in range(kills):
        args: list[str | Path] = ["--out", out] if kill == 0 else ["--out", out, "--resume"]
        with _started(job, "--sensor", "file:-", *args) as child:
            for _ in range(chance.randrange(1, 6)):
                number += 1
                _say(child, f"{number / 8}\n!uncovered\n")
                _cue(child, "CANNOT")
                sure.append(number / 8)
            unsure = chance.randrange(60)
            _say(child, "".join(f"{(number + i) / 8}\n" for i in range(1, unsure + 1)))
            child.send_signal(signal.SIGKILL)
        found = _readings(out)
        assert found[: len(sure)] == sure, "an acknowledged record was lost"
        more = [(number + i) / 8 for i in range(1, unsure + 1)]
        assert found[len(sure) :] == more[: len(found) - len(sure)]
        number += unsure
        sure = found
    done = pacer(
        "run", job, "--sensor", "file:-", "--no-screen", "--out", out, "--resume", told="7.5\n"
    ).fine()
    assert "recorded in" in done.err
    events = list(Recording(out).events())
    assert isinstance(events[-1], Ended)
    assert sum(isinstance(event, Resumed) for event in events) == kills
    assert _readings(out) == [*sure, 7.5]
    assert here("replay", out, "--audit").code == 0


def _killed_writer(folder: Path, kills: int, seed: int) -> dict[str, int]:
    """Kill a bare writer again and again (`kills.py`); print and return what it came to."""
    here = Path(__file__).parent
    done = subprocess.run(
        [sys.executable, here / "kills.py", folder, str(kills), str(seed)],
        capture_output=True,
        text=True,
        env={**environment(), "PYTHONPATH": os.pathsep.join((str(ROOT), str(here.parent)))},
        timeout=600,
    )
    assert done.returncode == 0, done.stderr
    told: dict[str, int] = json.loads(done.stdout)
    print(f"killed at any call: {told}")
    return told


def _at_most_the_one_being_written(told: dict[str, int]) -> None:
    assert told["done_lost"] == 0, told
    assert told["most_lost"] <= 1, told
    assert told["done"] > told["kills"], told


@pytest.mark.slow
def test_a_kill_costs_at_most_the_record_being_written(tmp_path: Path) -> None:
    """T-01, T-08: 40 kills of creating, going on, writing and syncing; none done is lost."""
    told = _killed_writer(tmp_path, 40, seed=3)
    _at_most_the_one_being_written(told)
    assert told["torn"] == 0, told


@pytest.mark.full
def test_three_hundred_kills_cost_at_most_the_record_being_written(tmp_path: Path) -> None:
    """T-01 as it was measured for it: 300 kills."""
    _at_most_the_one_being_written(_killed_writer(tmp_path, 300, seed=4))


@pytest.mark.slow
def test_what_was_acknowledged_survives_four_kills(job: Path, tmp_path: Path) -> None:
    """T-01: 0 acknowledged records lost, 0 unreadable files; `--resume` goes on each time."""
    _killed_and_resumed(job, tmp_path / "a.jsonl", 4, seed=1)


@pytest.mark.full
def test_what_was_acknowledged_survives_two_hundred_kills(job: Path, tmp_path: Path) -> None:
    """T-01, at length."""
    _killed_and_resumed(job, tmp_path / "a.jsonl", 200, seed=2)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP", "SIGINT"])
def test_a_signal_closes_the_recording(job: Path, tmp_path: Path, name: str) -> None:
    """T-40: told to end, it ends properly: `end` on disk, exit 0, though the pipe stays open."""
    out = tmp_path / "a.jsonl"
    with _started(job, "--sensor", "file:-", "--out", out) as child:
        _say(child, "20.5\n!uncovered\n")
        _cue(child, "CANNOT")
        child.send_signal(getattr(signal, name))
        assert child.wait(timeout=20) == 0
        assert child.stderr is not None
        assert b"Traceback" not in child.stderr.read()
    events = list(Recording(out).events())
    assert isinstance(events[-1], Ended)
    by_whom = {"SIGINT": "closed by the welder"}
    assert events[-1].why == by_whom.get(name, f"ended by the system ({name})")


@pytest.mark.slow
def test_two_programs_cannot_write_one_recording(job: Path, tmp_path: Path) -> None:
    """T-10: the second is refused with exit 2 while the first goes on."""
    out = tmp_path / "a.jsonl"
    with _started(job, "--sensor", "file:-", "--out", out) as child:
        _say(child, "20.5\n!uncovered\n")
        _cue(child, "CANNOT")
        second = pacer(
            "run", job, "--sensor", "file:-", "--no-screen", "--out", out, "--resume", told="99\n"
        )
        assert second.code == 2
        assert f"in use by pacer (process {child.pid}, since " in second.err
        assert second.err.endswith("look at it with pacer replay\n")
        _say(child, "21.5\n!uncovered\n")
        _cue(child, "CANNOT")
    assert _readings(out) == [20.5, 21.5]


@pytest.mark.slow
def test_a_recording_taken_away_goes_on_beside_and_the_welder_is_told(
    job: Path, tmp_path: Path
) -> None:
    """T-07: noticed though the source is silent, a cue among the others, the place at the end."""
    out = tmp_path / "a.jsonl"
    with _started(job, "--sensor", "file:-", "--out", out) as child:
        _say(child, "20.5\n!uncovered\n")
        _cue(child, "CANNOT")
        out.unlink()
        _cue(child, "LOG_MOVED")
        _say(child, "21.5\n!uncovered\n")
        _cue(child, "CANNOT")
        child.send_signal(signal.SIGTERM)
        assert child.wait(timeout=20) == 0
        assert child.stderr is not None
        moved = tmp_path / "a-2.jsonl"
        assert f"pacer: recorded in {moved}\n" in child.stderr.read().decode()
    assert not out.exists()
    assert _readings(moved) == [20.5, 21.5]
    assert here("replay", moved, "--audit").code == 0


@pytest.mark.slow
def test_a_real_terminal_pair_is_recorded_as_it_spoke(job: Path, tmp_path: Path) -> None:
    """A serial line by openpty: every line printed is in the export (ports.py, 1).

    Each line is waited for in the recording itself, since nothing is told of a plain reading;
    so the limiter (T-24) never holds more than one and drops none.
    """
    sent = [20.0 + 0.25 * i for i in range(40)]
    out = tmp_path / "a.jsonl"
    terminal, port = os.openpty()
    try:
        tty.setraw(port)
        url = f"serial://{os.ttyname(port)}"
        with _started(job, "--sensor", url, "--out", out) as child:
            _cue(child, "PREPARE")
            for count, value in enumerate(sent, start=1):
                os.write(terminal, f"{value:.2f}\r\n".encode())
                while len(_readings_so_far(out)) < count:
                    assert child.poll() is None
            child.send_signal(signal.SIGTERM)
            assert child.wait(timeout=20) == 0
    finally:
        os.close(terminal)
        os.close(port)
    rows = here("export", out, "--csv", "-").fine().out.splitlines()[1:]
    assert [float(row.split(",")[2]) for row in rows] == sent
    events = list(Recording(out).events())
    assert any(isinstance(e, SensorChanged) and e.state == "opened" for e in events)
    assert isinstance(events[-1], Ended)


def _readings_so_far(path: Path) -> list[float]:
    """As `_readings`, while the file grows: a record being written is not there yet."""
    events = list(Recording(path).events())
    return [e.raw[0] for e in events if isinstance(e, Reading) and isinstance(e.raw[0], float)]


@pytest.mark.slow
def test_a_terminal_pair_that_goes_away_is_survived(job: Path, tmp_path: Path) -> None:
    """T-30: an unplugged port is told with its cause; the session ends when told to."""
    out = tmp_path / "a.jsonl"
    terminal, port = os.openpty()
    tty.setraw(port)
    name = os.ttyname(port)
    with _started(job, "--sensor", f"serial://{name}?settle=0", "--out", out) as child:
        _cue(child, "PREPARE")
        os.write(terminal, b"19.9\r\n20.5\r\n")
        while not _readings_so_far(out):
            assert child.poll() is None
        os.close(port)
        os.close(terminal)
        _cue(child, "NO_READING")
        child.send_signal(signal.SIGTERM)
        assert child.wait(timeout=20) == 0
    lost = [
        e for e in Recording(out).events() if isinstance(e, SensorChanged) and e.state == "lost"
    ]
    assert lost
    assert name in lost[0].why
