"""Recordings made to hurt, read by every command (reliability.md T-16 to T-20).

Whoever makes such a file computes its checksums too: they hold here.
"""

from __future__ import annotations

import json
import random  # noqa: TID251 - seeded
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hostile import COMMANDS, ESCAPES, obeyed, opened_up, resealed, said, spoiled, whole_session
from written import head_of, lines_of, write_lines

from pacer.clock import BootClock
from pacer.job.file.keys import keys
from pacer.job.job import Job
from pacer.recording.limits import JOB
from pacer.recording.reader import Recording
from pacer.run.film import Film
from pacer.run.replay import Replay
from pacer.screen.view import view
from pacer.session.events import (
    MOST_CHANNELS,
    Act,
    AnyEvent,
    Channel,
    CueTold,
    Ended,
    Inspection,
    Outcome,
    Reading,
    Resumed,
    SensorChanged,
    Trouble,
)
from pacer.session.fold import fold
from pacer.session.inspection import Imperfection, Penetrant, Proof
from pacer.units import Shown, parse

CLEAR = Inspection(t_ms=0, look="visual", result="nothing found")
FOUND = {"number": 100, "name": "crack"}
LOOK = Inspection(
    t_ms=0, look="visual", result="not judged", penetrant=Penetrant(), proof=Proof(height_m=0.1)
)

LONGEST_S = 2.0
"Processor time that a command may take over a small recording."


@pytest.fixture
def session(hot_job: Job) -> list[bytes]:
    """A short whole session's lines."""
    head = head_of(hot_job)
    return lines_of(head, whole_session(head))


def _survive(lines: list[bytes], path: Path, commands: tuple[tuple[str, ...], ...]) -> None:
    """Insist on an answer or one clean line from each command, and soon."""
    write_lines(path, lines)
    for command in commands:
        began = time.process_time()
        done = said(command, path)
        assert time.process_time() - began < LONGEST_S, command
        assert done.code in {0, 1, 2}
        assert not obeyed(done.out + done.err), command
        assert all(line.startswith("pacer: ") for line in done.err.splitlines()), done.err
        if "--json" in command:
            for line in done.out.splitlines():
                json.loads(line)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(7))
def test_whatever_is_put_in_a_record_every_command_answers_or_refuses(
    seed: int, session: list[bytes], tmp_path: Path
) -> None:
    """T-17, T-20: no traceback, exit code 0, 1 or 2, no control character, bounded time."""
    commands = tuple(COMMANDS[(seed + i) % len(COMMANDS)] for i in range(4))
    for turn in range(2):
        chance = random.Random(1000 * turn + seed)
        _survive(spoiled(session, chance), tmp_path / "a.jsonl", commands)


@pytest.mark.full
@pytest.mark.parametrize("seed", range(60))
def test_many_spoiled_recordings_are_survived(
    seed: int, session: list[bytes], tmp_path: Path
) -> None:
    """T-20: as above, 600 recordings by every command."""
    for turn in range(10):
        chance = random.Random(100_000 + 100 * seed + turn)
        _survive(spoiled(session, chance), tmp_path / "a.jsonl", COMMANDS)


def _changed(line: bytes, number: int, path: str, value: Any) -> bytes:
    """Return a line with one member, however deep, put to `value`."""
    members = opened_up(line)
    *way, last = path.split(".")
    held = members
    for name in way:
        held = held[name]
    held[last] = value
    return resealed(number, members)


@pytest.mark.parametrize(
    ("path", "value", "told"),
    [
        ("job.bead.travel_m_s", 0, "job.bead.travel_m_s 0, expected 1e-05 to 10"),
        ("job.part.mass_kg", -3.2, "job.part.mass_kg -3.2, expected 0.001 to 1e+06"),
        ("job.bead.length_m", 1e-9, "job.bead.length_m 1e-09, expected 0.0001 to 100"),
        ("job.part.size_m", [0.1, 0.0, 0.1], "job.part.size_m 0, expected 0.0001 to 100"),
        ("job.plan.runs", 10**9, "job.plan.runs 1000000000, expected 1 to 20000"),
        ("job.plan.order", [0, 0, 1], "expected every place from 0 to 2 once a run"),
        ("job.plan.order", [], "0 places in job.plan.order"),
        ("period_s", 0, "period_s 0, expected 0.001 to 1e+06"),
        ("channel.scale", 1e300, "channel.scale 1e+300, expected -1e+09 to 1e+09"),
        ("b", -5, "b -5, expected 0 to 3155760000000"),
        ("b", 2**53, "b 9007199254740992, expected 0 to"),
        ("w", "yesterday", 'w "yesterday", expected a time of 1970 to 2200 as ISO 8601'),
        ("w", "2026-01-01T08:00:00", "expected a time of 1970 to 2200"),
        ("w", "9999-12-31T23:59:59+00:00", "expected a time of 1970 to 2200"),
        ("tz", "../../etc", 'tz "../../etc", expected an offset such as +01:00'),
        ("job.band.ceiling_c", "300", "Expected `float`, got `str` - at `$.job.band.ceiling_c`"),
        ("job.band.ceiling_c", True, "Expected `float`, got `bool` - at `$.job.band.ceiling_c`"),
    ],
)
def test_a_head_that_cannot_be_worked_with_is_refused_in_one_line(
    path: str, value: Any, told: str, session: list[bytes], tmp_path: Path
) -> None:
    """Exit 2; the line names the file, the key, what was found and what is expected."""
    line = session[0]
    if path == "job.plan.order" and value:
        line = _changed(line, 0, "job.plan.places", len(value))
    file = write_lines(tmp_path / "a.jsonl", [_changed(line, 0, path, value), *session[1:]])
    for command in COMMANDS:
        done = said(command, file)
        assert (done.code, done.out) == (2, "")
        assert done.err.startswith("pacer: a.jsonl: line 1: the head is not as the format says: ")
        assert told in done.err
        assert done.err.count("\n") == 1


def test_the_limits_of_a_head_hold_whatever_a_job_file_takes() -> None:
    """A recording of an honest job is never refused: each range holds the job file's."""
    compared = 0
    for key in keys().values():
        path = next((p for p in JOB if p == key.name or p.startswith(f"{key.name}_")), "")
        if not path or not key.range:
            # No number, or only for the record.
            continue
        least, most = JOB[path]
        if key.kind == "count":
            low, high = (float(limit) for limit in key.range)
        else:
            low, high = (parse(limit, key.kind) for limit in key.range)  # type: ignore[arg-type]
        assert least <= low < high <= most, path
        compared += 1
    assert compared == len(JOB)


@pytest.mark.parametrize(
    ("event", "path", "value", "told"),
    [
        (Reading(0, (20.0,), "ok"), "R", [1.0] * 65, "65 values, expected at most 64"),
        (Reading(0, (20.0,), "ok"), "n", ["a", "b"], "2 names for 1 values"),
        (Reading(0, (20.0,), "ok"), "D", ["ok", "ok"], "2 status words for 1 values"),
        (Reading(0, (20.0,), "ok"), "dropped", -1, "dropped -1, expected 0 to 1e+15"),
        (Act(0, "reading"), "temp_c", 1e308, "temp_c 1e+308, expected -273.15 to 10000"),
        (Act(0, "bead"), "length_m", -0.1, "length_m -0.1, expected 0 to 100"),
        (Act(0, "next"), "w", "noon", 'w "noon", expected a time'),
        (SensorChanged(0, "paced"), "period_s", 0, "period_s 0, expected 0.001 to 1e+06"),
        (Resumed(0), "tz", ESCAPES, "expected an offset such as +01:00"),
        (Resumed(0), "w", "noon", 'w "noon", expected a time'),
        (LOOK, "leak_s", -1, "leak_s -1, expected 0 to 1e+09"),
        (LOOK, "penetrant.surface_c", 1e9, "surface_c 1e+09, expected -100 to 2000"),
        (LOOK, "proof.height_m", 0.0, "height_m 0, expected 1e-06 to 100"),
        (LOOK, "imperfections", [FOUND] * 51, "51 imperfections, expected at most 50"),
        (LOOK, "imperfections", [{**FOUND, "number": 7}], "number 7, expected 100 to 9999"),
        (CLEAR, "w", "noon", 'w "noon", expected a time'),
        (CLEAR, "imperfections", [FOUND], 'with "nothing found", expected "imperfections found"'),
        (CLEAR, "ring", "dull", 'ring with look "visual", expected "ring"'),
        (CLEAR, "leak_s", 0, 'leak_s with look "visual", expected "leak"'),
        (CLEAR, "liquid", "oil", 'liquid with look "visual", expected "leak"'),
        (CLEAR, "opened", False, 'opened with look "visual", expected "back side"'),
        (CLEAR, "welded", True, 'welded with look "visual", expected "back side"'),
        (CLEAR, "penetrant", {}, 'penetrant with look "visual", expected "penetrant"'),
        (CLEAR, "proof", {}, 'proof with look "visual", expected "proof load"'),
        (Outcome(0, "crack"), "service_s", -1, "service_s -1, expected 0 to 1e+11"),
        (Act(0, "next"), "b", -1, "b -1, expected 0 to"),
        (Act(0, "next"), "b", 10**4000, "b of more than 18 digits, expected 0 to"),
        (Act(0, "reading"), "side", -(10**400), "side of more than 18 digits, expected -1 to 1"),
    ],
)
def test_a_number_that_cannot_be_is_a_damaged_record(
    event: AnyEvent, path: str, value: Any, told: str, hot_job: Job, tmp_path: Path
) -> None:
    """T-17: left out and told with its line number; the records around it are read."""
    around: list[AnyEvent] = [Act(t_ms=0, deed="note", text="here"), Ended(t_ms=9, why="end")]
    lines = lines_of(head_of(hot_job), [around[0], event, around[1]])
    lines[2] = _changed(lines[2], 2, path, value)
    recording = Recording(write_lines(tmp_path / "a.jsonl", lines))
    assert list(recording.events()) == around
    (first, *_) = recording.damage.told("a")
    assert first.startswith("a: line 3: not as the format says (")
    assert told in first
    assert not obeyed(first)


def _hostile_everywhere(job: Job) -> list[bytes]:
    """Return a session with escapes in every text that its format leaves free."""
    bad = ESCAPES
    head = head_of(
        msgspec.structs.replace(
            job, title=bad, origin={bad: bad}, facts={bad: bad},
            filler=msgspec.structs.replace(job.filler, designation=bad),
            sensor=msgspec.structs.replace(job.sensor, url=bad),
        ),
        app=bad, source=bad, invented=bad, clk=bad, settings={bad: bad}, priors={bad: bad},
        channel=Channel(name=bad, unit=bad),
    )  # fmt: skip
    events: list[AnyEvent] = [
        SensorChanged(t_ms=0, state="opened", why=bad),
        Reading(t_ms=0, raw=(bad, 20.0), status=("unparsable", "ok"), names=(bad, "x"), why=bad),
        Reading(t_ms=250, raw=(20.0,), status="ok", names=(bad,), units=(bad,)),
        Trouble(t_ms=300, what=bad, why=bad),
        Act(t_ms=400, deed="note", by=bad, text=bad),
        Act(t_ms=500, deed="crack", text=bad),
        Act(t_ms=600, deed="tink", text=bad),
        Act(t_ms=700, deed="reading", temp_c=20.0, text=bad),
        Act(t_ms=800, deed="checked", text=bad),
        CueTold(t_ms=900, kind=bad, urgency=bad, values={bad: 1.0}, words=bad, because=bad),
        SensorChanged(t_ms=1000, state="lost", why=bad),
        Resumed(t_ms=2000, app=bad, source=bad, channel=Channel(name=bad, unit=bad)),
        Reading(t_ms=2500, raw=(20.0,), status="ok", names=(bad,)),
        Ended(t_ms=3000, why=bad),
        Outcome(t_ms=3000, found="crack", text=bad, photo=bad, photo_sha=bad),
        Act(t_ms=3000, deed="prepared", text=bad),
        Inspection(
            t_ms=3000,
            look="proof load",
            result="imperfections found",
            imperfections=(Imperfection(100, bad, 1, bad, 0.1),),
            proof=Proof(1.0, 1.0, 1.0, 1.0, 1.0, 1.0, bad),
            text=bad,
            by=bad,
            photo=bad,
            photo_sha=bad,
        ),
        Inspection(
            t_ms=3000,
            look="penetrant",
            result="not judged",
            penetrant=Penetrant(20.0, 1.0, 1.0, 1.0, bad, True),
        ),
        Inspection(t_ms=3000, look="leak", result="not judged", liquid=bad),
    ]
    return lines_of(head, events)


@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_no_text_of_a_recording_reaches_the_terminal_raw(
    command: tuple[str, ...], hot_job: Job, tmp_path: Path
) -> None:
    """T-18: 0 control characters but the line ends, whatever text or file name is hostile."""
    name = "".join(ch for ch in ESCAPES if ch not in "\x00/") + ".jsonl"
    done = said(command, write_lines(tmp_path / name, _hostile_everywhere(hot_job)))
    assert done.code in {0, 1, 2}
    assert not obeyed(done.out + done.err)
    if "--json" in command:
        assert all(json.loads(line) for line in done.out.splitlines())


def _texts(value: object) -> Iterator[str]:
    """Yield every text inside a view."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple | list):
        for inner in value:
            yield from _texts(inner)
    elif hasattr(value, "__dataclass_fields__"):
        for name in value.__dataclass_fields__:
            yield from _texts(getattr(value, name))


@pytest.mark.parametrize("t_s", [0.3, 0.85, 1.5, 2.6, 3.0])
def test_no_text_of_a_recording_reaches_the_screen_raw(
    t_s: float, hot_job: Job, tmp_path: Path
) -> None:
    """T-18: every text of what a replay draws is clean."""
    path = write_lines(tmp_path / "a.jsonl", _hostile_everywhere(hot_job))
    desk = Replay(Film(Recording(path)), BootClock(), 1.0, t_s)
    seen = "".join(_texts(view(desk.snapshot(), Shown("metric"))))
    assert "owned" in seen
    assert not obeyed(seen)


def test_names_without_end_cost_no_more_than_some(hot_job: Job, tmp_path: Path) -> None:
    """A new channel name in every line: judged are the first 64, and that is told."""
    events: list[AnyEvent] = [
        Reading(t_ms=100 * i, raw=(20.0,), status="ok", names=(f"c{i}",)) for i in range(200)
    ]
    head = head_of(hot_job)
    state, _ = fold(head, events)
    assert len(state.tracks) == MOST_CHANNELS == 64
    recording = Recording(write_lines(tmp_path / "a.jsonl", lines_of(head, events)))
    assert list(recording.events()) == events
    (told,) = recording.damage.told("a")
    assert told == "a: line 66: more than 64 channel names so far; further ones are not judged"
