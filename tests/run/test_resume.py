"""Going on with a recording: gap, resumption, cues told once (reliability.md section 3)."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from driving import Driven, hot_told, live
from fakes import START, FakeClock, FakeSource, QuietDisk
from written import head_of, lines_of, write_lines

from pacer import __version__
from pacer.errors import RecordingError
from pacer.job.job import Job
from pacer.recording.head import HEADS
from pacer.recording.reader import Recording
from pacer.recording.writing.writer import Log
from pacer.run.audit import audit, differences
from pacer.run.driver import Driver
from pacer.run.opening import gap_of, resume, unfinished
from pacer.run.refold import refold
from pacer.session.cues import CueKind
from pacer.session.events import (
    Act,
    AnyEvent,
    Channel,
    ClockGap,
    CueTold,
    Ended,
    Inspection,
    Outcome,
    Reading,
    Recovered,
    Resumed,
    WallStepped,
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
    found = unfinished(path)
    wall = START + timedelta(seconds=found.last_s + away_s)
    bridge = found.bridge(wall)
    assert (bridge.to_s, bridge.by) == (found.last_s + away_s, "wall")
    clock = FakeClock(bridge.to_s, wall)
    source = FakeSource(clock, [(bridge.to_s + after_s, event) for after_s, event in told])
    started = resume(found, bridge, source, METRIC)
    driver = Driver(
        log=started.log,
        source=source,
        clock=clock,
        state=started.state,
        cues=started.cues,
        told=started.told,
        trend=started.trend,
        damaged=started.damaged,
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
    new = events[len(before) - HEADS :]
    assert isinstance(new[0], ClockGap)
    assert (new[0].t_ms, new[0].to_ms, new[0].by) == (73_000, 133_000, "wall")
    assert isinstance(new[1], Resumed)
    assert new[1].t_ms == 133_000
    assert new[1].wall == "2026-01-01T08:02:13.000+00:00"
    assert new[1].app == f"pacer {__version__}"
    assert isinstance(new[-1], Ended)
    folded = refold(driven.log.opened, events)
    assert differences(folded.cues, folded.recorded) == []


def test_going_on_with_a_damaged_recording_is_shown(hot_job: Job, tmp_path: Path) -> None:
    """What the screen says of the past may lack something; of a sound one it says nothing."""
    path = tmp_path / "a.jsonl"
    kept = _killed(hot_job, path, 73)
    assert not _go_on(path, 60.0, [(1.0, _reading(262.0))]).driver.snapshot().damaged
    write_lines(path, [*kept[:20], b"x" + kept[20], *kept[21:]])
    assert _go_on(path, 60.0, [(1.0, _reading(262.0))]).driver.snapshot().damaged


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
    new = events[at - HEADS :]
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
        recovered = next(event for event in events if isinstance(event, Recovered))
        assert recovered.torn == 5
        folded = refold(driven.log.opened, events)
        assert differences(folded.cues, folded.recorded) == []


def test_a_new_sensor_may_be_used_on_resuming(hot_job: Job, tmp_path: Path) -> None:
    """The resumption says which, and how its values become °C."""
    _killed(hot_job, tmp_path / "a.jsonl", 73)
    found = unfinished(tmp_path / "a.jsonl")
    bridge = found.bridge(START + timedelta(seconds=80))
    source = FakeSource(FakeClock(bridge.to_s), [])
    source.channel = Channel(name="t1", unit="degF", scale=5 / 9, offset_c=-160 / 9)
    started = resume(found, bridge, source, METRIC)
    assert started.state.sensor.channel.unit == "degF"
    started.log.close()


def test_a_wall_clock_set_back_does_not_turn_time_back(hot_job: Job, tmp_path: Path) -> None:
    """T-13: session time goes on from the last record, and no length is made up."""
    _killed(hot_job, tmp_path / "a.jsonl", 73)
    found = unfinished(tmp_path / "a.jsonl")
    for days in (-3650, 3650):
        bridge = found.bridge(START + timedelta(days=days))
        assert (bridge.to_s, bridge.by) == (73.0, "unknown")
    # A clock that is being slewed reads a little early: nothing is wrong with it.
    bridge = found.bridge(START + timedelta(seconds=72))
    assert (bridge.to_s, bridge.by) == (73.0, "wall")


def test_what_the_welder_says_of_the_time_away_goes_before_the_clock(
    hot_job: Job, tmp_path: Path
) -> None:
    """--away 3h, whatever the wall clock reads."""
    _killed(hot_job, tmp_path / "a.jsonl", 73)
    found = unfinished(tmp_path / "a.jsonl")
    for days in (-3650, 1):
        bridge = found.bridge(START + timedelta(days=days), 10_800.0)
        assert (bridge.to_s, bridge.by) == (10_873.0, "said")


def test_an_imports_wall_times_bridge_nothing(hot_job: Job, tmp_path: Path) -> None:
    """They are the moment of importing, not of the readings."""
    opened = head_of(hot_job, start_phase="cool-down", source="import:logger.csv")
    path = write_lines(tmp_path / "a.jsonl", lines_of(opened, [_reading(200.0)]))
    bridge = unfinished(path).bridge(START + timedelta(hours=1))
    assert (bridge.to_s, bridge.by) == (0.0, "unknown")


def test_the_bridge_counts_from_the_last_time_that_was_written_down(
    hot_job: Job, tmp_path: Path
) -> None:
    """A wall clock set in between, a recovery and an outcome written later: none moves it."""
    late = (START + timedelta(days=30)).isoformat()
    set_on = (START + timedelta(seconds=10 + 3600)).isoformat()
    events: list[AnyEvent] = [
        WallStepped(t_ms=10_000, step_s=3600.0, wall=set_on),
        Reading(t_ms=20_000, raw=(20.0,), status="ok"),
        Recovered(t_ms=20_000, torn=5, wall=late),
        Outcome(t_ms=20_000, found="no crack found", wall=late),
        Inspection(t_ms=20_000, look="visual", result="nothing found", wall=late),
    ]
    path = write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), events))
    found = unfinished(path)
    assert found.wall == START + timedelta(seconds=20 + 3600)


def test_what_was_measured_before_is_on_the_screen_again(hot_job: Job, tmp_path: Path) -> None:
    """The trend and the last cues; a line across the time nobody watched would be invented."""
    _killed(hot_job, tmp_path / "a.jsonl", 73)
    before = unfinished(tmp_path / "a.jsonl")
    driven = _go_on(tmp_path / "a.jsonl", 60.0, [(1.0, _reading(262.0)), (2.0, _reading(262.0))])
    shown = driven.driver.snapshot()
    assert shown.trend[: len(before.trend.points())] == before.trend.points()
    assert (73.0, 262.0) in shown.trend
    between = [temp_c for t_s, temp_c in shown.trend if 73.0 < t_s <= 133.0]
    assert between
    assert set(between) == {None}
    assert CueKind.PREHEAT in [cue.kind for cue in shown.cues]


def test_a_session_that_is_being_written_is_not_taken_up(hot_job: Job, tmp_path: Path) -> None:
    """One line, before its port is opened, and who has it."""
    driven = live(tmp_path / "a.jsonl", hot_job, hot_told(5))
    with pytest.raises(RecordingError, match=r"a\.jsonl: in use by pacer \(.*since 2026-01-01"):
        unfinished(tmp_path / "a.jsonl")
    driven.driver.run()
    assert unfinished(tmp_path / "a.jsonl").interrupted is False


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
        unfinished(path)


def test_a_session_that_is_done_does_not_go_on(hot_job: Job, tmp_path: Path) -> None:
    """A cool import, uncovered when cool enough."""
    events: list[AnyEvent] = [Reading(t_ms=1000 * i, raw=(30.0,), status="ok") for i in range(10)]
    events.append(Act(t_ms=10_000, deed="uncovered"))
    opened = head_of(hot_job, start_phase="cool-down")
    assert refold(opened, events).state.phase is Phase.DONE
    path = write_lines(tmp_path / "a.jsonl", lines_of(opened, events))
    with pytest.raises(RecordingError, match="this session is done"):
        unfinished(path)


def test_a_part_covered_half_way_and_cooled_goes_on(hot_job: Job, tmp_path: Path) -> None:
    """Uncovered next day with beads still to lay: the repair is not done (procedure.md section 7)."""
    driven = live(
        tmp_path / "a.jsonl",
        hot_job,
        [
            *hot_told(131),
            (131.0, Act(t_ms=0, deed="covered")),
            *[(140.0 + i, _reading(30.0)) for i in range(20)],
            (160.0, Act(t_ms=0, deed="reading", temp_c=30.0)),
            (161.0, Act(t_ms=0, deed="uncovered")),
        ],
    )
    driven.driver.run()
    found = unfinished(tmp_path / "a.jsonl")
    assert found.folded.state.phase is Phase.DONE
    assert found.folded.state.work.laid == 1


def test_killed_at_any_byte_while_it_goes_on_no_time_is_lost_or_counted_twice(
    hot_job: Job, tmp_path: Path
) -> None:
    """Half an hour away, then five minutes more: 35 minutes by the wall, whatever got written."""
    kept = _killed(hot_job, tmp_path / "whole.jsonl", 73)
    whole = len(b"".join(kept))
    found = unfinished(tmp_path / "whole.jsonl")
    bridge = found.bridge(START + timedelta(seconds=73 + 1800))
    source = FakeSource(FakeClock(bridge.to_s), [])
    resume(found, bridge, source, METRIC).log.close()
    written = (tmp_path / "whole.jsonl").read_bytes()
    gap_end = written.index(b"\n", written.index(b'"k":"gap"')) + 1
    for size in {*range(whole, len(written) + 1, 23), gap_end, gap_end + 1, len(written)}:
        path = tmp_path / f"{size}.jsonl"
        path.write_bytes(written[:size])
        found = unfinished(path)
        wall = START + timedelta(seconds=73 + 2100)
        bridge = found.bridge(wall)
        assert (bridge.to_s, bridge.by) == (2173.0, "wall")
        clock = FakeClock(bridge.to_s, wall)
        started = resume(found, bridge, FakeSource(clock, []), METRIC)
        assert started.state.t_s == 2173.0
        started.log.close()
        recording = Recording(path)
        events = list(recording.events())
        assert recording.damage.sound
        gaps = [event for event in events if isinstance(event, ClockGap)]
        assert sum(gap.to_ms - gap.t_ms for gap in gaps) == 2_100_000
        # The cue of the last gap is the driver's to tell.
        assert audit(recording).differences == ()


def test_gap_and_resumption_are_one_write(hot_job: Job, tmp_path: Path) -> None:
    """A kill between two writes can't part them."""
    _killed(hot_job, tmp_path / "a.jsonl", 73)
    found = unfinished(tmp_path / "a.jsonl")
    bridge = found.bridge(START, 600.0)
    written: list[bytes] = []

    class Seen(QuietDisk):
        def write(self, fd: int, line: bytes) -> int:
            written.append(line)
            return super().write(fd, line)

    disk = Seen()
    log = Log(found.recording.path, found.recording.head, resume=found.recording, disk=disk)
    gap = gap_of(found, bridge)
    both: list[AnyEvent] = [gap, Resumed(t_ms=gap.to_ms)]
    assert log.append_all(both, 0.0) == both
    log.close()
    (write,) = written
    assert [b'"k":"gap"' in line for line in write.splitlines()] == [True, False]
