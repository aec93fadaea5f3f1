"""Going on with a recording: gap, resumption, cues told once (reliability.md section 3)."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from driving import Driven, hot_told, live
from fakes import START, FakeClock, FakeSource, QuietDisk
from written import head_of, lines_of, write_lines

from pacer.errors import RecordingError
from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.run.driver import Driver
from pacer.run.opening import head, resume, start, unfinished
from pacer.run.refold import differences, refold
from pacer.session.events import (
    Act,
    AnyEvent,
    Channel,
    ClockGap,
    CueTold,
    Ended,
    Reading,
    Resumed,
)
from pacer.session.work import Phase
from pacer.units import Shown

METRIC = Shown("metric")


def _killed(job: Job, path: Path, to_s: int, lines: int | None = None) -> list[bytes]:
    """Leave a recording as a kill does: no `end`, perhaps fewer lines."""
    driven = live(path, job, hot_told(to_s))
    driven.driver.run()
    kept = path.read_bytes().splitlines(keepends=True)[:-1][:lines]
    write_lines(path, kept)
    return kept


def _go_on(path: Path, away_s: float, told: list[tuple[float, AnyEvent]]) -> Driven:
    """Resume `away_s` after the last record and run the rest of the session."""
    last_s = refold(Recording(path).head, Recording(path).events()).last_ms / 1000
    wall = START + timedelta(seconds=last_s + away_s)
    found = unfinished(path, wall)
    assert found.to_s == last_s + away_s
    clock = FakeClock(found.to_s, wall)
    source = FakeSource(clock, [(found.to_s + after_s, event) for after_s, event in told])
    started = resume(found, source, clock.wall(), METRIC)
    driver = Driver(
        log=started.log,
        source=source,
        clock=clock,
        state=started.state,
        cues=started.cues,
        told=started.told,
    )
    driven = Driven(driver, started.log, source, clock, QuietDisk())
    driver.run()
    return driven


def _reading(temp_c: float) -> Reading:
    return Reading(t_ms=0, raw=(temp_c,), status="ok")


def test_a_killed_session_goes_on_where_it_stood(hot_job: Job, tmp_path: Path) -> None:
    """T-01: a `gap` and a `resume` record, then the rest; what stood before is untouched."""
    before = _killed(hot_job, tmp_path / "a.jsonl", 73)
    driven = _go_on(tmp_path / "a.jsonl", 60.0, [(1.0, _reading(262.0)), (2.0, _reading(262.0))])
    assert driven.log.path.read_bytes().startswith(b"".join(before))
    events = driven.events()
    new = events[len(before) - 1 :]
    assert isinstance(new[0], ClockGap)
    assert (new[0].t_ms, new[0].to_ms) == (73_000, 133_000)
    assert isinstance(new[1], Resumed)
    assert new[1].t_ms == 133_000
    assert new[1].wall == "2026-01-01T08:02:13.000+00:00"
    assert isinstance(new[-1], Ended)
    folded = refold(driven.log.opened, events)
    assert differences(folded.cues, folded.recorded) == []


def test_no_cue_is_told_twice(hot_job: Job, tmp_path: Path) -> None:
    """What was told before the kill is not told again; the gap is, once."""
    _killed(hot_job, tmp_path / "a.jsonl", 73)
    driven = _go_on(tmp_path / "a.jsonl", 60.0, [(1.0, _reading(262.0))])
    told = driven.told()
    assert len(told) == len(set(told))
    assert sum("GAP" in cue for cue in told) == 1
    assert sum("READY" in cue for cue in told) == 1


def test_a_cue_lost_between_its_event_and_itself_is_written(hot_job: Job, tmp_path: Path) -> None:
    """Killed after the press was on disk and before its cue was: the cue stands where it belongs."""
    path = tmp_path / "a.jsonl"
    kept = _killed(hot_job, path, 73)
    at = next(i for i, line in enumerate(kept) if b'"k":"cue"' in line and b"PREHEAT" in line)
    write_lines(path, kept[:at])
    assert isinstance(list(Recording(path).events())[-1], Act)
    driven = _go_on(path, 30.0, [(1.0, _reading(20.0))])
    events = driven.events()
    new = events[at - 1 :]
    assert isinstance(new[0], CueTold)
    assert (new[0].kind, new[0].t_ms) == ("PREHEAT", 1000)
    assert [cue for cue in driven.told() if "PREHEAT" in cue] == ["1.000 PREHEAT"]
    folded = refold(driven.log.opened, events)
    assert differences(folded.cues, folded.recorded) == []


def test_a_recording_cut_after_any_line_goes_on(hot_job: Job, tmp_path: Path) -> None:
    """T-01: whichever record was the last, what follows folds as it was told; b never falls."""
    whole = _killed(hot_job, tmp_path / "whole.jsonl", 90)
    for count in range(1, len(whole) + 1, 3):
        path = write_lines(tmp_path / f"{count}.jsonl", [*whole[:count], b'{"q":'])
        driven = _go_on(path, 10.0, [(1.0, _reading(262.0)), (2.0, _reading(262.0))])
        events = driven.events()
        resumed = next(event for event in events if isinstance(event, Resumed))
        assert resumed.cut == 5
        folded = refold(driven.log.opened, events)
        assert differences(folded.cues, folded.recorded) == []


def test_a_new_sensor_may_be_used_on_resuming(hot_job: Job, tmp_path: Path) -> None:
    """The resumption says which, and how its values become °C."""
    _killed(hot_job, tmp_path / "a.jsonl", 73)
    found = unfinished(tmp_path / "a.jsonl", START + timedelta(seconds=80))
    clock = FakeClock(found.to_s)
    source = FakeSource(clock, [])
    source.channel = Channel(name="t1", unit="degF", scale=5 / 9, offset_c=-160 / 9)
    started = resume(found, source, clock.wall(), METRIC)
    assert started.state.sensor.channel.unit == "degF"
    started.log.close()


def test_a_wall_clock_set_back_does_not_turn_time_back(hot_job: Job, tmp_path: Path) -> None:
    """T-13: session time goes on from the last record at least."""
    _killed(hot_job, tmp_path / "a.jsonl", 73)
    found = unfinished(tmp_path / "a.jsonl", START - timedelta(days=3650))
    assert found.to_s == 73.0


def test_a_session_closed_by_the_welder_may_go_on(hot_job: Job, tmp_path: Path) -> None:
    """Closing is not being done: the last `end` is no end of the repair."""
    path = tmp_path / "a.jsonl"
    driven = live(path, hot_job, hot_told(73))
    driven.driver.run()
    driven = _go_on(path, 5.0, [(1.0, _reading(262.0))])
    assert sum(isinstance(event, Ended) for event in driven.events()) == 2


def test_a_simulated_recording_does_not_go_on(hot_job: Job, tmp_path: Path) -> None:
    """Invented and real readings never share a recording."""
    path = write_lines(
        tmp_path / "a.jsonl", lines_of(head_of(hot_job, invented="simulated part, seed 1"), [])
    )
    with pytest.raises(RecordingError, match=r"a\.jsonl: a simulated part, seed 1; only a real"):
        unfinished(path, START)


def test_a_session_that_is_done_does_not_go_on(hot_job: Job, tmp_path: Path) -> None:
    """A cool import, uncovered when cool enough."""
    events: list[AnyEvent] = [Reading(t_ms=1000 * i, raw=(30.0,), status="ok") for i in range(10)]
    events.append(Act(t_ms=10_000, deed="uncovered"))
    opened = head_of(hot_job, start_phase="cool-down")
    assert refold(opened, events).state.phase is Phase.DONE
    path = write_lines(tmp_path / "a.jsonl", lines_of(opened, events))
    with pytest.raises(RecordingError, match="this session is done"):
        unfinished(path, START)


def test_a_folder_that_cannot_be_made_is_refused(hot_job: Job, tmp_path: Path) -> None:
    """T-09: path and reason, before any heat."""
    (tmp_path / "file").touch()
    clock = FakeClock()
    opened = head(hot_job, FakeSource(clock, []), clock.wall(), settings={})
    with pytest.raises(RecordingError, match="this folder cannot be made: "):
        start(tmp_path / "file" / "deeper" / "a.jsonl", opened)
    made = start(tmp_path / "new" / "folder" / "a.jsonl", opened)
    made.log.close()
