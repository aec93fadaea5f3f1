"""The driver when something fails, and when clocks jump (T-07, T-13, T-14, T-30, T-38)."""

from __future__ import annotations

from pathlib import Path

import pytest
from driving import at_ready, hot_script, live, press_next, same_again, scripted, steady
from fakes import Doing, FakeClock, FakeSink

from pacer.job.job import Job
from pacer.session.events import (
    AnyEvent,
    ClockGap,
    CueTold,
    SensorChanged,
    Trouble,
    WallStepped,
)
from pacer.session.work import Phase


def test_a_failing_sink_is_recorded_and_dropped(hot_job: Job, tmp_path: Path) -> None:
    """T-38: sound failure is not silence of the system; others play on; its words are cleaned."""
    broken, sound = FakeSink("tone", breaks_at=2), FakeSink("bell")
    driven = scripted(tmp_path / "a.jsonl", hot_job, hot_script(), [broken, sound])
    driven.driver.run()
    assert len(broken.played) == 1
    assert [f"{c.t_s:.3f} {c.kind}" for c in sound.played] == driven.told()
    troubles = [event for event in driven.events() if isinstance(event, Trouble)]
    assert [(t.what, t.why) for t in troubles] == [("tone", "no such \ufffd[2Jdevice")]
    assert driven.driver.snapshot().off == ("tone is off: no such \ufffd[2Jdevice",)
    same_again(driven)


def test_a_sink_that_fails_late_does_not_turn_time_back(hot_job: Job, tmp_path: Path) -> None:
    """A stall from 80 to 85 s: FINISH (80.5) and STOP (84) in one waking, the first one breaks."""
    clock = FakeClock()
    driven = live(
        tmp_path / "a.jsonl",
        hot_job,
        [*at_ready(), press_next(74), (80, lambda: clock.to(85)), *steady(86, 90, 262.0)],
        clock,
    )
    broken = FakeSink("tone", breaks_at=4)
    driven.driver.add_sink(broken)
    driven.driver.run()
    assert [str(cue.kind) for cue in broken.played] == ["PREHEAT", "SOAK", "READY"]
    troubles = [event.t_s for event in driven.events() if isinstance(event, Trouble)]
    assert troubles == [85.0]
    late = [cue for cue in driven.told() if 80 < float(cue.split()[0]) < 86]
    assert late == ["80.500 FINISH", "84.000 STOP"]
    same_again(driven)


def test_a_suspended_laptop_leaves_a_gap_stamped_at_its_start(hot_job: Job, tmp_path: Path) -> None:
    """T-14: one gap record; missed timers do not fire on waking; one cue says so."""
    clock = FakeClock()
    driven = live(
        tmp_path / "a.jsonl",
        hot_job,
        [
            *at_ready(),
            press_next(74),
            (75, lambda: clock.to(75 + 23 * 60)),
            *steady(1456, 1460, 90.0),
        ],
        clock,
        [FakeSink("tone", breaks_at=10**6)],
    )
    driven.driver.run()
    gaps = [event for event in driven.events() if isinstance(event, ClockGap)]
    assert [(gap.t_ms, gap.to_ms) for gap in gaps] == [(74_000, 1_455_000)]
    told = driven.told()
    assert "1455.000 GAP" in told
    assert not any("STOP" in cue for cue in told)
    assert not any(cue for cue in told if 74_500 < 1000 * float(cue.split()[0]) < 1_455_000)
    same_again(driven)


def test_a_sink_that_fails_at_a_gap_does_not_turn_time_back(hot_job: Job, tmp_path: Path) -> None:
    """The trouble is recorded after the gap's own cue, which is told at the gap's end."""
    clock = FakeClock()
    sink = FakeSink("tone", breaks_at=1)
    driven = live(tmp_path / "a.jsonl", hot_job, [*at_ready(), (75, lambda: clock.to(99))], clock)
    while driven.driver.snapshot().t_s < 74:
        driven.driver.turn()
    driven.driver.add_sink(sink)
    driven.driver.run()
    events = driven.events()
    trouble = next(event for event in events if isinstance(event, Trouble))
    assert trouble.t_ms == 99_000
    same_again(driven)


def test_a_driver_that_wakes_each_second_sees_no_gap(hot_job: Job, tmp_path: Path) -> None:
    """Silence is no gap: an hour without a reading is watched all the while."""
    driven = live(tmp_path / "a.jsonl", hot_job, [*steady(0, 2, 20.0), *steady(3600, 3601, 20.0)])
    driven.driver.run()
    assert not any(isinstance(event, ClockGap) for event in driven.events())


@pytest.mark.parametrize("by_s", [3600.0, -3600.0, -315_360_000.0, 2.5])
def test_a_wall_clock_that_is_set_moves_no_timer(hot_job: Job, tmp_path: Path, by_s: float) -> None:
    """T-13: one `clock` record; the countdown's error is 0 ms."""
    clock = FakeClock()
    driven = live(
        tmp_path / "a.jsonl",
        hot_job,
        [*at_ready(), press_next(74), (77, lambda: clock.set_wall(by_s)), *steady(78, 90, 262.0)],
        clock,
    )
    driven.driver.run()
    steps = [event for event in driven.events() if isinstance(event, WallStepped)]
    assert [step.step_s for step in steps] == [by_s]
    assert "84.000 STOP" in driven.told()
    same_again(driven)


def test_small_steps_of_the_wall_clock_are_no_news(hot_job: Job, tmp_path: Path) -> None:
    """T-13: jitter of 100 ms, and a leap second; only more than 2 s is a record."""
    clock = FakeClock()

    def shake() -> None:
        clock.set_wall(0.1 if round(clock.now_s()) % 2 else -0.1)

    told: list[tuple[float, AnyEvent | Doing]] = [(float(i), shake) for i in range(1, 40)]
    driven = live(tmp_path / "a.jsonl", hot_job, [*told, (41, lambda: clock.set_wall(1))], clock)
    driven.driver.run()
    assert not any(isinstance(event, WallStepped) for event in driven.events())


def test_a_full_disk_is_on_the_screen_at_once_and_survived(hot_job: Job, tmp_path: Path) -> None:
    """T-07: alarm at once, cues go on, all of it is on disk within a beat of there being space."""
    clock = FakeClock()
    driven = live(tmp_path / "a.jsonl", hot_job, at_ready(), clock)
    while clock.now_s() < 5:
        driven.driver.turn()
    driven.disk.full = True
    driven.driver.turn()
    assert driven.driver.snapshot().trouble == "log not saved: No space left on device"
    while clock.now_s() < 60:
        driven.driver.turn()
    assert driven.driver.snapshot().state.phase is Phase.SOAK
    driven.disk.full = False
    driven.driver.turn()
    assert driven.driver.snapshot().trouble == ""
    driven.driver.run()
    assert "72.000 READY" in driven.told()
    same_again(driven)


def test_the_last_reading_before_a_silence_is_on_disk_within_a_second(
    hot_job: Job, tmp_path: Path
) -> None:
    """Whatever the beat was doing: nothing that was read waits for the next reading."""
    clock = FakeClock()
    readings = steady(0.35, 4, 20.0)
    driven = live(tmp_path / "a.jsonl", hot_job, [*readings, *steady(60.0, 61, 20.0)], clock)
    synced: list[float] = []
    driven.disk.sync = lambda fd: synced.append(clock.now_s())  # type: ignore[method-assign]
    while clock.now_s() < 30:
        driven.driver.turn()
    last_s = readings[-1][0]
    assert [t_s for t_s in synced if last_s <= t_s <= last_s + 1.0]


def test_a_log_that_moved_is_written_down_and_heard_of(hot_job: Job, tmp_path: Path) -> None:
    """T-07: its folder vanished; where the session goes on is a record of the new file."""
    away = tmp_path / "away"
    away.mkdir()
    driven = live(away / "a.jsonl", hot_job, at_ready(), elsewhere=(tmp_path / "spare",))
    while driven.clock.now_s() < 5:
        driven.driver.turn()
    (away / "a.jsonl").unlink()
    away.rmdir()
    driven.driver.run()
    assert driven.log.path.parent == tmp_path / "spare"
    (moved,) = (event for event in driven.events() if isinstance(event, Trouble))
    assert moved.what == "log moved"
    assert moved.why.startswith("goes on in a-2.jsonl")
    assert moved.t_s <= 7.0
    same_again(driven)


def test_a_lost_port_is_survived_and_heard_of(hot_job: Job, tmp_path: Path) -> None:
    """Contract: a port lost after the start is survived; the fault is told with its cause."""
    lost = SensorChanged(t_ms=0, state="lost", why="gone: check the cable")
    driven = live(
        tmp_path / "a.jsonl",
        hot_job,
        [*at_ready(), (73.5, lost), *steady(80, 92, 262.0)],
    )
    driven.driver.run()
    told = [e for e in driven.events() if isinstance(e, CueTold) and e.kind == "NO_READING"]
    assert len(told) == 1
    assert "gone: check the cable" in told[0].words
    assert any("READING_BACK" in cue for cue in driven.told())
