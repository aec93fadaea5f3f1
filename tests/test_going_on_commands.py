"""Going on on another day, by another clock, with another sensor (procedure.md section 7).

Recordings are made by the program and their wall times moved (`earlier.py`): what the wall
clock reads when the welder comes back is then what the test says.
"""

from __future__ import annotations

import argparse
import os
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from commands import pacer, run_script
from conftest import COLD
from earlier import HELD_AND_COVERED, QUICK, ended_at, one_bead
from written import head_of, lines_of, write_lines

from pacer.cli import going_on
from pacer.cli.main import main
from pacer.clock import BootClock
from pacer.errors import UserInputError
from pacer.job.differing import differing
from pacer.job.file.read import job_from_text
from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.run.opening import unfinished
from pacer.session.events import Act, AnyEvent, ClockGap, Reading, Resumed
from pacer.session.work import Phase
from pacer.settings import Settings, read_settings
from pacer.units import Shown

SHOWN = Shown("metric")
NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
"""The last record of the recordings here."""


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a job, a session in READY after a bead, and one held and covered."""
    folder = tmp_path_factory.mktemp("bench")
    (folder / "job.toml").write_text(QUICK)
    for name, more in (("ready", ()), ("covered", (*HELD_AND_COVERED, "80,260"))):
        run_script(folder / "job.toml", folder / "raw.jsonl", one_bead(*more)).fine()
        ended_at(folder / "raw.jsonl", NOON, folder / f"{name}.jsonl")
        (folder / "raw.jsonl").unlink()
    return folder


def _args(**given: object) -> argparse.Namespace:
    return argparse.Namespace(**{"away": None, "out": None, "no_screen": False, **given})


def _told(path: Path, away: timedelta, said_s: float | None = None) -> list[str]:
    found = unfinished(path)
    return going_on.told_unfinished(found, found.bridge(NOON + away, said_s), SHOWN)


# --- what is offered and told -----------------------------------------------------


@pytest.mark.slow
def test_the_offer_says_since_when_and_what_comes_first(bench: Path) -> None:
    """Never straight into a bead: preheat, soak, a look for new cracks (procedure.md section 7)."""
    assert _told(bench / "ready.jsonl", timedelta(minutes=20)) == [
        "ready.jsonl is unfinished: interrupted in ready, 1 bead laid,",
        "last record 20 min ago by the wall clock.",
        "Preheat, soak and a look for new cracks come first.",
    ]
    assert _told(bench / "ready.jsonl", timedelta(hours=14))[2] == (
        "The preparation check, preheat, soak and a look for new cracks come first."
    )
    assert _told(bench / "ready.jsonl", timedelta(seconds=30))[2:] == []


@pytest.mark.slow
def test_the_offer_makes_no_time_up(bench: Path) -> None:
    """A clock that reads earlier than the record; and what the welder says of it."""
    assert "how long ago is not known." in _told(bench / "ready.jsonl", timedelta(days=-3))[1]
    assert _told(bench / "ready.jsonl", timedelta(days=-3), 7200.0)[1] == (
        "last record 2 h ago, as you say."
    )


@pytest.mark.slow
def test_a_covered_part_goes_on_cooling(bench: Path) -> None:
    """Held, buried, the lid shut: next morning the countdown goes on."""
    assert _told(bench / "covered.jsonl", timedelta(hours=9))[0::2] == [
        "covered.jsonl is unfinished: interrupted in cool-down, 1 bead laid,",
        "The cool-down's countdown goes on, H goes on with the repair.",
    ]


@pytest.mark.slow
def test_asked_without_a_screen_it_says_when_it_was_covered(
    bench: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A forecast in hours after covering means nothing to whoever comes in the morning."""
    monkeypatch.setattr(BootClock, "wall", lambda self: NOON + timedelta(hours=9))
    assert main(["cool", str(bench / "covered.jsonl"), "--no-screen"]) == 0
    # Covered 9 s before the last record.
    assert capsys.readouterr().out.splitlines()[-1] == (
        "  covered 2026-03-02 11:59 +00:00, 9 h ago by the wall clock"
    )


@pytest.mark.slow
@pytest.mark.parametrize(
    ("away", "said"),
    [
        (timedelta(hours=3), ""),
        (timedelta(days=3), ""),
        (timedelta(days=5), "it stood for 120 h by the wall clock; if that can't be right"),
        (
            timedelta(hours=-1),
            "2026-03-02 11:00 +00:00, the recording ends 2026-03-02 12:00 +00:00",
        ),
        (timedelta(days=400), "how long it stood since its last record is not known; give --away"),
    ],
)
def test_an_odd_wall_clock_is_told(
    bench: Path, monkeypatch: pytest.MonkeyPatch, away: timedelta, said: str
) -> None:
    """What it reads, what the recording says, and what to do; a weekend is nothing odd."""
    monkeypatch.setattr(going_on, "local_time", lambda wall: f"{wall:%Y-%m-%d %H:%M} +00:00")
    found = unfinished(bench / "ready.jsonl")
    told = going_on.told_odd(found, found.bridge(NOON + away), SHOWN)
    assert said in told
    assert bool(told) == bool(said)


@pytest.mark.slow
def test_the_newest_of_the_same_job_is_offered(
    bench: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By when it was written, since names go by a clock; another job's is nobody's business."""
    answers: list[str] = []

    def ask(_: str) -> str:
        return answers.pop()

    monkeypatch.setattr("builtins.input", ask)
    monkeypatch.setattr(sys.stdin, "isatty", lambda: True, raising=False)
    job, other = job_from_text(QUICK, "a"), job_from_text(COLD, "b")
    for name, age_s in (("z.jsonl", 500), ("a.jsonl", 100)):
        (tmp_path / name).write_bytes((bench / "ready.jsonl").read_bytes())
        os.utime(tmp_path / name, (1e9 - age_s, 1e9 - age_s))
    write_lines(tmp_path / "m.jsonl", lines_of(head_of(other), []))
    settings = Settings(recordings=tmp_path)

    answers.append("y")
    found = going_on.offered(_args(), job, settings)
    assert found is not None
    assert found.recording.name == "a.jsonl"
    answers.append("n")
    assert going_on.offered(_args(), job, settings) is None
    # Nobody to ask, or a file of its own: nothing is asked.
    assert going_on.offered(_args(no_screen=True), job, settings) is None
    assert going_on.offered(_args(out="b.jsonl"), job, settings) is None


@pytest.mark.slow
def test_after_a_move_the_longest_file_is_offered_and_no_part_goes_on(
    bench: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Moved and killed: the part was written last only as far as the fault."""
    monkeypatch.setattr("builtins.input", lambda _: "y")
    monkeypatch.setattr(sys.stdin, "isatty", lambda: True, raising=False)
    monkeypatch.setattr(Path, "home", lambda: tmp_path / "user")
    monkeypatch.setattr("tempfile.gettempdir", lambda: str(tmp_path / "tmp"))
    settings = Settings(recordings=tmp_path / "rec")
    monkeypatch.setattr(going_on, "chosen", lambda args, _: settings)
    for name in ("rec", "user"):
        (tmp_path / name).mkdir()
    part, whole = tmp_path / "rec" / "a.jsonl", tmp_path / "user" / "a-2.jsonl"
    lines = (bench / "ready.jsonl").read_bytes().splitlines(keepends=True)
    whole.write_bytes(b"".join(lines))
    part.write_bytes(b"".join(lines[:40]))
    os.utime(whole, (1e9, 1e9))

    job = job_from_text(QUICK, "a")
    found = going_on.offered(_args(), job, settings)
    assert found is not None
    assert found.recording.path == whole
    # The recordings folder was on the drive that is gone.
    part.unlink()
    found = going_on.offered(_args(), job, settings)
    assert found is not None
    assert found.recording.path == whole

    part.write_bytes(b"".join(lines[:40]))
    said = rf"^a.jsonl: holds only a part of its session; a longer one is {whole}: go on with that"
    with pytest.raises(UserInputError, match=said):
        going_on.go_on_named(_args(job=str(part), resume=True, sensor=None))
    with pytest.raises(UserInputError, match=said):
        going_on.go_on_cooling(_args(sensor=None), Recording(part))


# --- which sensor, which job ------------------------------------------------------


@pytest.mark.parametrize(
    "url", ["file:/etc/hostname", "socket://192.0.2.7:4000", "practice:", "FILE:x", "loop://", "x"]
)
def test_a_recording_opens_no_file_and_calls_no_host(
    hot_job: Job, tmp_path: Path, url: str
) -> None:
    """A recording is foreign text: such a sensor must be named by the welder."""
    path = write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job, source=url), []))
    with pytest.raises(UserInputError, match=r"a\.jsonl: its sensor was .* --sensor \(hand:"):
        going_on._own_sensor(unfinished(path))


def test_the_sensor_last_used_is_the_one_to_go_on_with(
    hot_job: Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Not the job's, which the first day already had replaced; it is named on stderr."""
    opened = head_of(hot_job, source="serial:///dev/ttyUSB0")
    resumed = Resumed(t_ms=5, source="modbus:///dev/ttyUSB1?unit=1&register=0")
    path = write_lines(tmp_path / "a.jsonl", lines_of(opened, [resumed]))
    assert going_on._own_sensor(unfinished(path)) == resumed.source
    assert resumed.source in capsys.readouterr().err


def test_a_job_may_differ_in_its_sensor_and_its_facts_only() -> None:
    """Named by their keys in the job file, in the guide's order."""
    job = job_from_text(QUICK, "a")
    sensor = job_from_text(QUICK + '[sensor]\nurl = "serial:///dev/ttyUSB3"\n', "b")
    assert differing(job, sensor) == []
    other = QUICK.replace('floor = "200 degC"', 'floor = "210 degC"').replace("3.2 kg", "4 kg")
    assert differing(job, job_from_text(other, "c")) == ["part.mass", "band.floor"]
    # It says which run is the root, and so which one isn't peened.
    coated = QUICK.replace("[joint]\n", '[joint]\nbutter = "yes"\n')
    assert differing(job, job_from_text(coated, "d")) == ["joint.butter"]


# --- as commands ------------------------------------------------------------------


@pytest.mark.slow
def test_a_recording_goes_on_without_its_job_file(bench: Path, tmp_path: Path) -> None:
    """Another machine: nothing but the recording. The gap says how its length is known."""
    path = tmp_path / "moved.jsonl"
    path.write_bytes((bench / "ready.jsonl").read_bytes())
    done = pacer(
        "run", "--resume", path, "--sensor", "file:-", "--away", "14h", "--no-screen", told="25.5\n"
    ).fine()
    assert next(line.split("\t")[1] for line in done.cues) in {"GAP", "PREPARE"}
    assert "READY" not in done.out
    events = list(Recording(path).events())
    (gap,) = (event for event in events if isinstance(event, ClockGap))
    assert (gap.by, gap.to_ms - gap.t_ms) == ("said", 14 * 3_600_000)
    assert unfinished(path).folded.state.phase is Phase.PREPARE
    assert [event.raw for event in events if isinstance(event, Reading)][-1] == (25.5,)
    resumed = next(event for event in events if isinstance(event, Resumed))
    assert (resumed.source, resumed.tz[0] in "+-") == ("file:-", True)


@pytest.mark.slow
def test_a_clock_set_back_is_told_and_nothing_is_made_up(bench: Path, tmp_path: Path) -> None:
    """The recording is from tomorrow, so to speak."""
    path = ended_at(
        bench / "ready.jsonl", BootClock().wall() + timedelta(days=1), tmp_path / "a.jsonl"
    )
    run = ("run", "--resume", path, "--sensor", "file:-", "--no-screen")
    done = pacer(*run, told="25.5\n").fine()
    assert "how long it stood is not known; give --away, such as --away 3h" in done.err
    (gap,) = (event for event in Recording(path).events() if isinstance(event, ClockGap))
    assert (gap.by, gap.t_ms) == ("unknown", gap.to_ms)
    assert pacer("replay", path, "--audit").code == 0


@pytest.mark.slow
def test_a_job_file_that_is_another_one_is_told_by_its_keys(bench: Path, tmp_path: Path) -> None:
    """One line; the recording is untouched."""
    other = tmp_path / "other.toml"
    other.write_text(QUICK.replace("Test bracket, hot", "Another bracket"))
    before = (bench / "ready.jsonl").read_bytes()
    done = pacer("run", other, "--resume", "--out", bench / "ready.jsonl", "--no-screen")
    assert (done.code, done.out) == (2, "")
    assert done.err == (
        "pacer: ready.jsonl: was made for another job file (job.title differs); "
        "without a job file it goes on with its own\n"
    )
    assert (bench / "ready.jsonl").read_bytes() == before


@pytest.mark.slow
def test_a_damaged_recording_is_told_and_goes_on(bench: Path, tmp_path: Path) -> None:
    """A line rotten in the middle, the last one torn: what was there stays, byte for byte."""
    lines = (bench / "ready.jsonl").read_bytes().splitlines(keepends=True)
    lines[9] = lines[9].replace(b'"b":', b'"b":1')
    before = b"".join(lines)[:-7]
    path = tmp_path / "a.jsonl"
    path.write_bytes(before)
    run = ("run", "--resume", path, "--sensor", "file:-", "--no-screen", "--away", "10s")
    done = pacer(*run, told="250\n").fine()
    assert "a.jsonl: line 10: " in done.err
    assert path.read_bytes().startswith(before)
    assert pacer("review", path).code == 0


def test_cool_is_for_a_part_that_cools(
    hot_job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A repair that stood elsewhere is pointed to what goes on with it."""
    reading = Reading(t_ms=2000, raw=(20.0,), status="ok")
    events: list[AnyEvent] = [Act(t_ms=1000, deed="next"), reading]
    path = write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), events))
    monkeypatch.setattr(going_on, "chosen", lambda args, settings: read_settings())
    with pytest.raises(UserInputError, match=r"it stood in preheat; go on with: pacer run --resu"):
        going_on.go_on_cooling(_args(sensor=None), Recording(path))


@pytest.mark.parametrize("away", ["300d", "-3h", "3", "soon"])
def test_a_time_away_that_cannot_be_is_told(away: str) -> None:
    """As typed, and what is expected."""
    with pytest.raises(UserInputError, match=r"^--away "):
        going_on._away_s(_args(away=away))
