"""What today's rules tell otherwise than was recorded: a line each, and nothing else moved by it."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from driving import hot_script, scripted
from written import lines_of, write_lines

from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.run.audit import Audit, audit
from pacer.session.events import Act, AnyEvent, CueTold, Ended, Opened

replace = msgspec.structs.replace
Told = tuple[Opened, list[AnyEvent]]


@pytest.fixture(scope="module")
def told(hot_job: Job, tmp_path_factory: pytest.TempPathFactory) -> Told:
    """A hot repair: PREPARE 0 s, PREHEAT 1 s, SOAK 12 s, READY 72 s, and a bead with its cues."""
    driven = scripted(tmp_path_factory.mktemp("audit") / "a.jsonl", hot_job, hot_script())
    driven.driver.run()
    return driven.log.opened, driven.events()


def audited(path: Path, opened: Opened, events: list[AnyEvent]) -> Audit:
    """Write a recording and audit it."""
    return audit(Recording(write_lines(path / "b.jsonl", lines_of(opened, events))))


def cue_at(events: list[AnyEvent], number: int) -> tuple[int, CueTold]:
    """Return the cue of that number (1-based) and where it stands."""
    cues = [(at, event) for at, event in enumerate(events) if isinstance(event, CueTold)]
    return cues[number - 1]


def test_what_is_as_recorded_makes_no_line(told: Told, tmp_path: Path) -> None:
    """Other words, such as those of other units, are no difference."""
    opened, events = told
    cues = sum(isinstance(event, CueTold) for event in events)
    words = [replace(e, words="x", because="y") if isinstance(e, CueTold) else e for e in events]
    for recorded in (events, words):
        found = audited(tmp_path, opened, recorded)
        assert (found.differences, found.versions, found.untold) == ((), (), 0)
        assert found.summary == f"{cues} cues, all as recorded"


READY, WAS_NOT = "0:01:12.000 READY", "told today{}, not recorded"


@pytest.mark.parametrize(
    ("change", "lines"),
    [
        ({"t_ms": 72_250}, ["0:01:12.250 READY: recorded{}, today at 0:01:12.000{}"]),
        ({"values": {"bead": 7.0}}, [f"{READY}: recorded (bead 7), today{{}}"]),
        (
            {"kind": "WAIT", "values": {}},
            ["0:01:12.000 WAIT: recorded, not told today", f"{READY}: {WAS_NOT}"],
        ),
        (
            {"again": 2},
            [f"{READY} again (2): recorded{{}}, not told today", f"{READY}: {WAS_NOT}"],
        ),
    ],
)
def test_a_changed_cue_is_told_with_its_time_and_numbers(
    told: Told, tmp_path: Path, change: dict[str, object], lines: list[str]
) -> None:
    """READY at 72 s is the fourth (`driving.hot_script` does the sum)."""
    opened, events = told
    at, ready = cue_at(events, 4)
    numbers = ", ".join(f"{name} {value:g}" for name, value in ready.values.items())
    other = [*events[:at], replace(ready, **change), *events[at + 1 :]]
    found = audited(tmp_path, opened, other)
    assert list(found.differences) == [line.format(*[f" ({numbers})"] * 2) for line in lines]
    assert found.summary.endswith(f"recorded: {len(lines)} different")


@pytest.mark.parametrize("number", [1, 3, 5])
def test_one_cue_more_or_less_shifts_no_other(told: Told, tmp_path: Path, number: int) -> None:
    """A line each, wherever it stands."""
    opened, events = told
    at, cue = cue_at(events, number)
    less = audited(tmp_path, opened, [*events[:at], *events[at + 1 :]])
    assert len(less.differences) == 1
    assert less.differences[0].endswith(", not recorded")
    found = audited(tmp_path, opened, [*events[:at], replace(cue, kind="HOLD"), *events[at:]])
    assert len(found.differences) == 1
    assert "HOLD: recorded" in found.differences[0]
    assert found.differences[0].endswith(", not told today")


def test_a_kill_between_a_fact_and_its_cue_is_no_difference(told: Told, tmp_path: Path) -> None:
    """The press that asks for PREHEAT is the last record. Closed after it, the cue is missing."""
    opened, events = told
    at, _ = cue_at(events, 2)
    broken = audited(tmp_path, opened, events[:at])
    assert (broken.differences, broken.untold) == ((), 1)
    assert broken.summary == "1 cue, all as recorded; 1 more due where the recording breaks off"
    closed = audited(tmp_path, opened, [*events[:at], Ended(t_ms=1000, why="closed")])
    assert len(closed.differences) == 1
    assert closed.differences[0].startswith("0:00:01.000 PREHEAT: told today")


def test_undone_presses_are_folded_as_they_were(told: Told, tmp_path: Path) -> None:
    """A recording with an undo in it, made by the driver, has nothing to tell either."""
    opened, _ = told
    script = hot_script(80) + "80.5,!undo\n81,262.0\n82,!next\n83,262.0\n"
    driven = scripted(tmp_path / "u.jsonl", opened.job, script)
    driven.driver.run()
    assert any(isinstance(e, Act) and e.deed == "undo" for e in driven.events())
    assert audit(Recording(driven.log.path)).differences == ()


def test_a_model_of_another_version_is_named_once(told: Told, tmp_path: Path) -> None:
    """What was forecast then may differ; it is no cue, so it alone is no difference."""
    opened, events = told
    other = {**opened.priors, "heating": "heat-up/0", "gone": "\x1b[2Jm/3"}
    found = audited(tmp_path, replace(opened, priors=other), events)
    assert found.differences == ()
    assert len(found.versions) == 2
    assert found.versions[0] == f"heating: made with heat-up/0, today {opened.priors['heating']}"
    assert found.versions[1].startswith("gone: made with ")
    assert found.versions[1].isprintable()


def test_foreign_words_in_a_cue_are_cleaned(told: Told, tmp_path: Path) -> None:
    """Kind and names come out of the file."""
    opened, events = told
    _, cue = cue_at(events, 1)
    evil = replace(cue, kind="\x1b]0;x\x07", values={"\x1b[2J": 1.0})
    found = audited(tmp_path, opened, [evil, *events])
    assert len(found.differences) == 1
    assert found.differences[0].isprintable()
