"""What `pacer inspect` and `pacer outcome` have in common: records added at any later date."""

from __future__ import annotations

import hashlib
import json
import os
import shlex
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import msgspec
import pytest
from commands import told
from terminal_answers import answering, at_a_terminal
from written import head_of, lines_of, some_events, welded, write_lines

from pacer.cli.inspection.command import offer
from pacer.cli.inspection.looks import LOOKS
from pacer.errors import RecordingError
from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.recording.writing.disk import RealDisk
from pacer.run import afterwards
from pacer.session.events import Inspection, Outcome
from pacer.units import Shown

COMMANDS = ("inspect", "outcome")
LEAST = {
    "inspect": ("--look", "visual", "--result", "nothing found"),
    "outcome": ("--found", "no crack found", "--when", "at uncovering"),
}
SAID = {
    "inspect": "recorded, in {0}\n  visual: nothing found by this look\n",
    "outcome": "recorded: no crack found by that look, in {0}\n",
}


@pytest.fixture
def record(hot_job: Job, tmp_path: Path) -> Path:
    """A closed recording with one bead."""
    return write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), welded()))


def added_to(path: Path) -> list[Inspection | Outcome]:
    """Return what was added, without when; the file must be sound."""
    recording = Recording(path)
    found = [e for e in recording.events() if isinstance(e, Inspection | Outcome)]
    assert recording.damage.sound, recording.damage.lines
    return [msgspec.structs.replace(each, wall="") for each in found]


@contextmanager
def written_by_another(path: Path) -> Iterator[None]:
    """The lock of any writer."""
    disk = RealDisk()
    fd = disk.reopen(path)
    try:
        yield
    finally:
        disk.close(fd)


@pytest.mark.parametrize("command", COMMANDS)
def test_it_is_added_after_everything_and_sealed(
    command: str, record: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every byte from before stays; the seal's hash is SHA-256 of all bytes before it."""
    before = record.read_bytes()
    code, out, err = told([command, str(record), *LEAST[command]], capsys)
    after = record.read_bytes()

    assert (code, err) == (0, "")
    assert out.startswith(SAID[command].format(record))
    assert after.startswith(before)
    added = after[len(before) :].splitlines(keepends=True)
    assert len(added) == 2
    assert json.loads(added[1])["sha"] == hashlib.sha256(before + added[0]).hexdigest()
    assert len(added_to(record)) == 1


@pytest.mark.parametrize("command", COMMANDS)
def test_while_somebody_writes_nobody_is_asked_in_vain(
    command: str,
    record: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Refused by options and, on a terminal, before the first question; the file as it was."""
    before = record.read_bytes()
    at_a_terminal(monkeypatch)
    left = answering(monkeypatch, ["1"])
    with written_by_another(record):
        for args in (LEAST[command], ()):
            code, out, err = told([command, str(record), *args], capsys)
            assert (code, out) == (2, "")
            assert len(err.splitlines()) == 1
            assert "a.jsonl" in err

    assert left == ["1"]
    assert record.read_bytes() == before


def test_while_somebody_writes_the_offer_asks_nothing(
    record: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A line in its place."""
    at_a_terminal(monkeypatch)
    left = answering(monkeypatch, ["y", "1"])
    with written_by_another(record):
        offer(record, Shown())

    assert left == ["1"]
    assert "a.jsonl" in capsys.readouterr().err


ANSWERS = {
    "inspect": [
        *("1", "", "", "2", "60 degF", "10 min", "2", "15 min", "", "red; 'best'"),
        *("1046 bead 1 2 mm", "stray arc", "", "-near the foot", ""),
        *[""] * (len(LOOKS) - 2),
        *("day shift", "y"),
    ],
    "outcome": ["2", "6", "400 h", "boundary", "1", "crater", "1", "", "at the wash's door", "y"],
}


@pytest.mark.parametrize("command", COMMANDS)
def test_what_was_answered_is_not_lost_where_it_can_not_be_written(
    command: str,
    record: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Locked while the last question was answered: the commands printed write the same."""
    other = tmp_path / "other.jsonl"
    other.write_bytes(record.read_bytes())
    at_a_terminal(monkeypatch)
    answering(monkeypatch, ANSWERS[command])
    assert told([command, str(other)], capsys)[0] == 0

    answering(monkeypatch, ANSWERS[command])
    with monkeypatch.context() as meanwhile, written_by_another(record):
        module = "inspection.command" if command == "inspect" else "outcome"
        meanwhile.setattr(f"pacer.cli.{module}.check_writable", lambda _: None)
        code, out, err = told([command, str(record)], capsys)
    assert (code, added_to(record)) == (2, [])
    assert len(err.splitlines()) == 1
    commands = out[out.index("Not written. ") :].splitlines()[1:]
    for line in commands:
        assert told(shlex.split(line)[1:], capsys)[0] == 0

    assert len(commands) == len(added_to(other)) == (2 if command == "inspect" else 1)
    assert added_to(record) == added_to(other)


def test_a_recording_that_is_gone_is_told_before_the_questions(record: Path) -> None:
    """The same words as where it is gone when they were answered."""
    gone = Recording(record)
    record.unlink()
    with pytest.raises(RecordingError, match=r"a\.jsonl"):
        afterwards.check_writable(gone)


INSPECT_WRONG: dict[tuple[str, ...], str] = {
    ("--result", "nothing found"): "which look is missing, expected --look",
    ("--look", "visual"): 'expected --result "nothing found" or "imperfections found"',
    ("--look", "visul", "--result", "not judged"): '--look "visul": did you mean "visual"?',
    ("--look", "visual", "--result", "sound"): '--result "sound": ',
    ("--look", "ring", "--result", "not judged", "--load", "2kN"): (
        '--load: goes with --look "proof load", found --look "ring"'
    ),
    ("--look", "visual", "--result", "not judged", "--from-service", "no"): (
        '--from-service: goes with --look "penetrant"'
    ),
    ("--look", "visual", "--result", "nothing found", "--imperfection", "601"): (
        '--imperfection: goes with --result "imperfections found"'
    ),
    ("--look", "visual", "--imperfection", "1022"): "no such number of ISO 6520-1 is known here",
    ("--look", "visual", "--imperfection", "crater crack"): (
        "which of these? 104 crater crack; 1045 longitudinal crater crack; "
        "1046 transverse crater crack; 1047 star-shaped crater crack"
    ),
    ("--look", "visual", "--imperfection", "601 bead 9"): (
        '--imperfection "601 bead 9": "9": expected the number of a bead, 1 to 1 in a.jsonl'
    ),
    ("--look", "visual", "--imperfection", "601 bead 0"): "number of a bead, 1 to 1 in a.jsonl",
    ("--look", "visual", "--imperfection", "601 0mm"): (
        '--imperfection "601 0mm": "0mm": expected a length such as'
    ),
    ("--look", "visual", "--imperfection", "bead 1"): (
        '--imperfection "bead 1": which imperfection is missing; expected a number of ISO 6520-1'
    ),
    ("--look", "visual", "--imperfection", "2 mm at the end"): (
        '--imperfection "2 mm at the end": which imperfection is missing; '
    ),
    ("--look", "visual", "--imperfection", "spatula"): '--imperfection "spatula": did you mean',
    ("--look", "visual", "--imperfection", "spatula bead 1"): (
        '--imperfection "spatula bead 1": "spatula": did you mean'
    ),
    ("--look", "visual", "--imperfection", ""): '--imperfection "": which imperfection is missing',
    ("--look", "visual", "--imperfection", "601 900 m"): (
        '--imperfection "601 900 m": "900 m": out of range; write 0.001 mm to 100 m'
    ),
    ("--look", "visual", "--result", "imperfections found"): (
        '--imperfection: none is named with "imperfections found"; expected at least one'
    ),
    ("--look", "ring", "--result", "nothing found", "--heard", "dull"): (
        '--heard: a dull ring is no "nothing found"; expected "not judged" or what was found'
    ),
    ("--look", "back side", "--result", "not judged", "--opened", "no", "--welded", "yes"): (
        "--welded: not opened from behind, so not welded there; expected yes to both, or no"
    ),
    ("--look", "penetrant", "--result", "not judged", "--surface", "60degC"): (
        '--surface "60degC": no penetrant on a surface at 60 °C: it works from 4 °C to 49 °C; '
        "let the part cool first"
    ),
    ("--look", "penetrant", "--result", "not judged", "--surface", "2degC"): "warm the part first",
    ("--look", "penetrant", "--result", "not judged", "--dwell", "10 mm"): '--dwell "10 mm"',
    ("--look", "penetrant", "--result", "not judged", "--from-service", "perhaps"): (
        '--from-service "perhaps": expected one of yes, no'
    ),
    ("--look", "proof load", "--result", "not judged", "--load", "2 MPa"): '--load "2 MPa": ',
    (
        "--look",
        "proof load",
        "--result",
        "not judged",
        "--section",
        "40 x 20 kg",
    ): "kg is for a mass",
    ("--look", "proof load", "--result", "not judged", "--arm", "2000 m"): (
        '--arm "2000 m": out of range; write 0.001 mm to 100 m'
    ),
    ("--look", "proof load", "--result", "not judged", "--load", "1e9kg"): (
        '--load "1e9kg": out of range; write 0.1 N to 100000 kN'
    ),
    ("--look", "proof load", "--result", "not judged", "--load", "150"): (
        '--load "150": unit missing; write "150 kg" or "150 N"'
    ),
    ("--look", "penetrant", "--result", "not judged", "--surface", "3.9degC"): (
        "no penetrant on a surface at 3.9 °C: it works from 4.0 °C to 49.0 °C; warm the part first"
    ),
    ("--look", "leak", "--result", "not judged", "--leak", "1e9 day"): (
        '--leak "1e9 day": out of range; write 0.1 s to 10000 day'
    ),
    ("--look", "ring", "--result", "not judged", "--heard", "cleer"): 'did you mean "clear"?',
    ("--look", "visual", "--result", "not judged", "--photo", "none.jpg"): "cannot be opened",
    ("--look", "visual", "--result", "not judged", "--photo", "fifo"): "not a regular file",
    (): 'no terminal to ask on; write --look visual --result "nothing found"',
}

OUTCOME_WRONG: dict[tuple[str, ...], str] = {
    ("--where", "weld"): 'expected --found "no crack found" or --found "crack"',
    ("--found", "crak"): '--found "crak": did you mean "crack"?',
    ("--found", "fine"): "expected one of no crack found, crack",
    ("--found", "crack", "--where", "bondary"): 'did you mean "boundary"?',
    ("--found", "crack", "--when", "hearrd"): 'did you mean "heard"?',
    ("--found", "crack", "--runs", "up"): "expected one of along, across",
    ("--found", "crack", "--at", "creater"): 'did you mean "crater"?',
    ("--found", "crack", "--service", "400"): '--service "400": unit missing',
    ("--found", "crack", "--service=-3h"): "expected a time such as",
    ("--found", "crack", "--service=1e9 day"): "out of range; write 0.1 s to 10000 day",
    ("--found", "crack", "--service", "3h", "--when", "heard"): 'goes with --when "in service"',
    ("--found", "no crack found", "--where", "weld"): "--where: goes with --found crack",
    ("--found", "crack", "--bead", "1"): "none.jsonl has no beads",
    ("--found", "crack", "--bead", "0"): '"0": expected the number of a bead, 1 to 1',
    ("--found", "crack", "--bead", "2"): '"2": expected the number of a bead, 1 to 1',
    ("--found", "crack", "--photo", "none.jpg"): "none.jpg: cannot be opened",
    ("--found", "crack", "--photo", "fifo"): "fifo: not a regular file, expected a photo",
    ("--found", "crack", "--photo", "empty.jpg"): "empty.jpg: an empty file, expected a photo",
    (): 'no terminal to ask on; write --found "no crack found" or --found crack',
}

WRONG = {
    **{("inspect", *args): said for args, said in INSPECT_WRONG.items()},
    **{("outcome", *args): said for args, said in OUTCOME_WRONG.items()},
}


@pytest.mark.parametrize("args", WRONG, ids=" ".join)
def test_a_mistake_is_one_line_and_writes_nothing(
    args: tuple[str, ...],
    record: Path,
    hot_job: Job,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Exit 2 with what was found and what is expected."""
    monkeypatch.chdir(record.parent)
    write_lines(Path("none.jsonl"), lines_of(head_of(hot_job), some_events()))
    os.mkfifo("fifo")
    Path("empty.jpg").touch()
    before = record.read_bytes()
    command, *options = args
    name = "none.jsonl" if "has no beads" in WRONG[args] else "a.jsonl"
    code, out, err = told([command, name, *options], capsys)

    assert (code, out) == (2, "")
    (line,) = err.splitlines()
    assert WRONG[args] in line
    assert record.read_bytes() == before
