"""Sessions by command line: the headless contracts of design.md, as another program sees them."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from commands import Done, here, pacer, run_script
from conftest import HOT
from written import lines_of, write_lines

from pacer.recording.head import HEADS
from pacer.recording.reader import Recording
from pacer.session.events import CueTold, Ended, Reading

SCRIPT = """0,20
1,!next
2,150.25
3,OPEN
4,151.5
!note one, two
5,zzz
6,-5.125
"""


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A job file."""
    path = tmp_path / "job.toml"
    path.write_text(HOT)
    return path


def _export(recording: Path) -> list[dict[str, str]]:
    done = here("export", recording, "--csv", "-").fine()
    return list(csv.DictReader(io.StringIO(done.out)))


@pytest.mark.slow
def test_a_headless_run_prints_a_line_a_cue_and_leaves_a_whole_recording(
    job: Path, tmp_path: Path
) -> None:
    """Contract: lines until they end, two tabs a cue, `end`, exit 0 whatever the phase."""
    out = tmp_path / "a.jsonl"
    done = run_script(job, out, SCRIPT).fine()
    assert [line.split("\t")[:2] for line in done.out.splitlines()] == [
        ["0.000", "PREPARE"],
        ["1.000", "PREHEAT"],
    ]
    assert done.cues == done.out.splitlines()
    assert not any("\t" in line for line in done.err.splitlines())
    recording = Recording(out)
    events = list(recording.events())
    assert recording.damage.sound
    assert isinstance(events[-1], Ended)
    # One record a line from the source, the garbled one with its line number too.
    readings = [event for event in events if isinstance(event, Reading)]
    assert [reading.t_ms for reading in readings] == [0, 2000, 3000, 4000, 5000, 6000]
    assert readings[4].why is not None
    assert readings[4].why.startswith("line 7: ")


@pytest.mark.slow
def test_an_export_gives_the_numbers_that_were_sent(job: Path, tmp_path: Path) -> None:
    """Contract: `t_s,channel,temp_c`; none for open or garbled."""
    run_script(job, tmp_path / "a.jsonl", SCRIPT).fine()
    rows = _export(tmp_path / "a.jsonl")
    assert list(rows[0]) == ["t_s", "channel", "temp_c"]
    assert [(float(row["t_s"]), float(row["temp_c"])) for row in rows] == [
        (0, 20),
        (2, 150.25),
        (4, 151.5),
        (6, -5.125),
    ]
    to_file = tmp_path / "a.csv"
    pacer("export", tmp_path / "a.jsonl", "--csv", to_file).fine()
    with to_file.open(newline="") as file:
        assert list(csv.DictReader(file)) == rows


@pytest.mark.slow
def test_a_recording_that_exists_is_never_written_over(job: Path, tmp_path: Path) -> None:
    """Contract: --out that exists: exit 2, unless --resume."""
    out = tmp_path / "a.jsonl"
    out.write_text("precious")
    done = run_script(job, out, SCRIPT)
    assert done.code == 2
    assert done.err.endswith(
        f"pacer: {out}: exists already; give another --out, or --resume to go on with it\n"
    )
    assert out.read_text() == "precious"


@pytest.mark.slow
def test_a_run_without_out_goes_into_the_recordings_folder(
    job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """T-19: the name is our own; the title is only a field."""
    job.write_text(HOT.replace("Test bracket, hot", "../../../../tmp/x"))
    monkeypatch.setenv("PACER_HOME", str(tmp_path / "home"))
    done = pacer("run", job, "--sensor", "file:-?period=1", "--no-screen", told="20\n21\n").fine()
    made = list((tmp_path / "home" / "recordings").iterdir())
    assert len(made) == 1
    assert f"pacer: recorded in {made[0]}" in done.err
    assert not list(tmp_path.glob("x*"))


@pytest.mark.slow
def test_going_on_headless_keeps_one_recording(job: Path, tmp_path: Path) -> None:
    """--resume: gap and resumption, cues not repeated, readings of both runs."""
    out = tmp_path / "a.jsonl"
    first = run_script(job, out, "0,20\n1,!next\n2,150\n").fine()
    again = run_script(job, out, "0,151\n900,152\n", "--resume").fine()
    assert len(first.cues) == 2
    assert not set(first.cues) & set(again.cues)
    kinds = [json.loads(line)["k"] for line in out.read_text().splitlines()]
    assert kinds.count("end") == 2
    assert "resume" in kinds
    assert [float(row["temp_c"]) for row in _export(out)] == [20, 150, 151, 152]
    assert here("replay", out, "--audit").code == 0


@pytest.mark.slow
def test_a_replay_prints_the_lines_of_the_run(job: Path, tmp_path: Path) -> None:
    """Contract: the same cue lines; `--audit` finds nothing, exit 0."""
    out = tmp_path / "a.jsonl"
    done = run_script(job, out, SCRIPT).fine()
    assert pacer("replay", out, "--no-screen").fine().out == done.out
    audit = here("replay", out, "--audit").fine()
    assert audit.out == "2 cues, all as recorded\n"


@pytest.mark.slow
def test_an_audit_finds_a_changed_cue_and_damage(job: Path, tmp_path: Path) -> None:
    """Contract: exit 1 for a cue told otherwise (checksums hold) and for damage."""
    import msgspec

    out = tmp_path / "a.jsonl"
    run_script(job, out, SCRIPT).fine()
    recording = Recording(out)
    events = list(recording.events())
    changed = [
        msgspec.structs.replace(event, t_ms=event.t_ms + 250)
        if isinstance(event, CueTold) and event.kind == "PREHEAT"
        else event
        for event in events
    ]
    other = write_lines(tmp_path / "b.jsonl", lines_of(recording.head, changed))
    audit = pacer("replay", other, "--audit")
    assert audit.code == 1
    assert audit.out.startswith("0:00:01.250 PREHEAT: recorded (")
    assert "today at 0:00:01.000 (" in audit.out
    assert audit.out.splitlines()[-1] == "2 cues today, 2 recorded: 1 different"

    lines = out.read_bytes().splitlines(keepends=True)
    damaged = write_lines(tmp_path / "c.jsonl", [*lines[:5], b"rot\n", *lines[6:]])
    audit = here("replay", damaged, "--audit")
    assert audit.code == 1
    assert "c.jsonl: line 6: " in audit.err
    # Everything else opens it, exit 0, and says on stderr what is missing.
    assert "line 6" in here("replay", damaged, "--no-screen").fine().err
    assert "line 6" in here("export", damaged, "--csv", "-").fine().err


@pytest.mark.slow
def test_recover_copies_what_is_sound(job: Path, tmp_path: Path) -> None:
    """T-08: the damaged file is only read; what was left out is said."""
    out = tmp_path / "a.jsonl"
    run_script(job, out, SCRIPT).fine()
    lines = out.read_bytes().splitlines(keepends=True)
    damaged = write_lines(tmp_path / "b.jsonl", [*lines[:5], b"rot\n", *lines[6:-1], b'{"q":'])
    before = damaged.read_bytes()
    done = pacer("recover", damaged, tmp_path / "c.jsonl").fine()
    assert "2 damaged line(s) left out" in done.err
    assert damaged.read_bytes() == before
    sound = lines[:5] + lines[6:-1]
    records = len(sound) - (HEADS - 1)
    assert done.out == f"{tmp_path / 'c.jsonl'}: {records} records copied\n"
    *copied, told = (tmp_path / "c.jsonl").read_bytes().splitlines(keepends=True)
    assert copied == sound
    assert b'"k":"recover"' in told
    assert here("recover", damaged, tmp_path / "c.jsonl").code == 2


SMALL = """
[job]
title = "Test cover, cold"
method = "cold"
[part]
metal = "grey iron"
mass = "0.6 kg"
size = ["150 mm", "100 mm", "8 mm"]
wall = "4 mm"
[joint]
crack_length = "20 mm"
[band]
ceiling = "60 degC"
[cooldown]
cover = "still air"
"""
"Thin and quickly cool again: the default job takes longer and is practised in tests/sensor."


def _practise(folder: Path, name: str) -> tuple[Done, list[dict[str, str]]]:
    (folder / "small.toml").write_text(SMALL)
    out = folder / f"{name}.jsonl"
    done = pacer(
        "practice",
        folder / "small.toml",
        "--no-screen",
        "--speed",
        "0",
        "--seed",
        "7",
        "--out",
        out,
    ).fine()
    return done, _export(out)


@pytest.mark.slow
def test_the_same_seed_practises_the_same_session(tmp_path: Path) -> None:
    """Contract: the same export and the same cue lines; the replay's are the same too."""
    (one, readings), (two, again) = _practise(tmp_path, "one"), _practise(tmp_path, "two")
    assert len(one.cues) > 10
    assert one.out == two.out
    assert readings == again
    assert here("replay", tmp_path / "one.jsonl", "--no-screen").fine().out == one.out
    resumed = run_script(tmp_path / "small.toml", tmp_path / "one.jsonl", "0,20\n", "--resume")
    assert resumed.code == 2
    assert "only a real session goes on" in resumed.err


@pytest.mark.slow
@pytest.mark.parametrize("args", [("plan", "job.toml"), ("sources", "preheat"), ("guide", "plan")])
def test_a_terminal_that_is_not_utf_8_has_every_line(
    args: tuple[str, ...], job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A sign that it doesn't have is written as its code, and every other one as it is."""
    monkeypatch.chdir(job.parent)
    whole = pacer(*args, speaks="utf-8").fine().out
    assert not whole.isascii()
    for speaks in ("cp1252", "ascii"):
        told = pacer(*args, speaks=speaks).fine().out
        assert told == whole.encode(speaks, errors="backslashreplace").decode(speaks)


@pytest.mark.slow
def test_a_page_is_utf_8_whatever_the_terminal_speaks(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As it says of itself."""
    monkeypatch.chdir(job.parent)
    page = pacer("plan", "job.toml", "--html", "-", speaks="utf-8").fine().out
    monkeypatch.setenv("PYTHONIOENCODING", "cp1252")

    assert pacer("plan", "job.toml", "--html", "-").fine().out == page
