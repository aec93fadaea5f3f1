"""Clocks that jump, sleep and run for days (reliability.md T-13 to T-15).

What a machine does in a sleep is told by an injected clock; nobody here shuts a lid.
"""

from __future__ import annotations

import time
from argparse import Namespace
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from types import SimpleNamespace
from zoneinfo import ZoneInfo

import pytest
from driving import Driven, at_ready, drive, live, press_next, same_again, steady
from fakes import Doing, FakeClock, FakeSource

from pacer import clock as clocks
from pacer.cli.sessions import _out_path
from pacer.clock import COUNTING, UNSURE, BootClock, local_time, utc_offset
from pacer.job.job import Job
from pacer.run.opening import head
from pacer.sensor.source import Heard
from pacer.session.events import AnyEvent, ClockGap, CueTold, Reading, WallStepped
from pacer.session.work import Phase
from pacer.settings import Settings

SLEPT_S = 23 * 60.0
"As in reliability.md T-14."

Told = tuple[float, AnyEvent | Doing]


def _gaps(driven: Driven) -> list[ClockGap]:
    return [event for event in driven.events() if isinstance(event, ClockGap)]


def _steps(driven: Driven) -> list[WallStepped]:
    return [event for event in driven.events() if isinstance(event, WallStepped)]


def _unsure() -> FakeClock:
    """A steady clock that stands still in a sleep, as `time.monotonic` may."""
    clock = FakeClock()
    clock.name = UNSURE
    return clock


# --- which clock ------------------------------------------------------------------


def test_this_machines_clock_is_the_one_that_counts_through_a_suspend() -> None:
    """Python's `time` page: CLOCK_BOOTTIME includes the time a system is suspended (Linux)."""
    if not hasattr(time, "CLOCK_BOOTTIME"):
        pytest.skip("no Linux")
    name, read = clocks._steady()
    assert isinstance(read, partial)
    assert (name, read.args) == (COUNTING, (time.CLOCK_BOOTTIME,))
    before_s, clock = read(), BootClock(100.0)
    assert 0.0 <= clock.now_s() - 100.0 <= read() - before_s


@pytest.mark.parametrize(
    ("platform", "behind", "name", "asks"),
    [
        ("darwin", "mach_absolute_time()", COUNTING, "clock_gettime"),
        ("win32", "GetTickCount64()", COUNTING, "monotonic"),
        ("win32", "QueryPerformanceCounter()", UNSURE, "monotonic"),
        ("freebsd14", "clock_gettime(CLOCK_MONOTONIC)", UNSURE, "monotonic"),
    ],
)
def test_elsewhere_a_clock_is_trusted_as_far_as_is_written_of_it(
    monkeypatch: pytest.MonkeyPatch, platform: str, behind: str, name: str, asks: str
) -> None:
    """PEP 418's table of what clocks do on suspend; macOS: clock_gettime(3), read in a quotation.

    The names of implementations are what `time.get_clock_info` gives, from memory but for
    Linux; no such machine was tried.
    """
    fake = SimpleNamespace(
        CLOCK_MONOTONIC=6,
        clock_gettime=lambda which: 11.0,
        monotonic=lambda: 22.0,
        get_clock_info=lambda _: SimpleNamespace(implementation=behind),
    )
    monkeypatch.setattr(clocks, "time", fake)
    monkeypatch.setattr(clocks, "sys", SimpleNamespace(platform=platform))
    found, read = clocks._steady()
    assert found == name
    assert read() == {"clock_gettime": 11.0, "monotonic": 22.0}[asks]


def test_a_clock_moved_on_goes_on_from_there() -> None:
    """What the steady clock did not count of a sleep is added once."""
    clock = BootClock(100.0)
    before_s = clock.now_s()
    clock.skip(SLEPT_S)
    assert clock.now_s() - before_s == pytest.approx(SLEPT_S, abs=1.0)


# --- the wall clock is set (T-13) -------------------------------------------------


@pytest.mark.parametrize("name", [COUNTING, UNSURE])
@pytest.mark.parametrize("by_s", [-3600.0, -315_360_000.0, 2.5])
def test_a_wall_clock_that_is_set_moves_no_countdown(
    hot_job: Job, tmp_path: Path, name: str, by_s: float
) -> None:
    """Set back, or on by seconds: one `clock` record, no gap, the bead's end to the millisecond."""
    clock = FakeClock()
    clock.name = name
    told: list[Told] = [*at_ready(), press_next(74), (77.5, lambda: clock.set_wall(by_s))]
    driven = live(tmp_path / "a.jsonl", hot_job, [*told, *steady(78, 90, 262.0)], clock)
    driven.driver.run()
    assert [step.step_s for step in _steps(driven)] == [by_s]
    assert _gaps(driven) == []
    assert "84.000 STOP" in driven.told()
    same_again(driven)


def test_two_seconds_and_the_jitter_of_a_bad_clock_are_no_news(
    hot_job: Job, tmp_path: Path
) -> None:
    """T-13: +2 s is no step of more than 2 s; 100 ms to and fro all the while is none either."""
    clock = FakeClock()

    def shake(by_s: float) -> None:
        clock.set_wall(by_s)

    told: list[Told] = [*at_ready(), press_next(74)]
    told += [(75.0 + i / 4, partial(shake, 0.1 if i % 2 else -0.1)) for i in range(40)]
    told += [(86.0, partial(shake, 2.0)), *steady(87, 90, 262.0)]
    driven = live(tmp_path / "a.jsonl", hot_job, told, clock)
    driven.driver.run()
    assert _steps(driven) == []
    assert _gaps(driven) == []
    assert "84.000 STOP" in driven.told()


# --- the machine sleeps (T-14) ----------------------------------------------------


def _in_a_bead(clock: FakeClock, sleeps: Doing) -> list[Told]:
    return [*at_ready(), press_next(74), (75.0, sleeps)]


@pytest.mark.parametrize("name", [COUNTING, UNSURE])
def test_a_sleep_is_a_gap_of_its_length_with_one_prompt(
    hot_job: Job, tmp_path: Path, name: str
) -> None:
    """Whether the steady clock counts it or only the wall clock knows: same record, same words."""
    clock = FakeClock()
    clock.name = name
    sleep = (
        partial(clock.to, 75.0 + SLEPT_S)
        if name == COUNTING
        # The wall clock went on alone.
        else partial(clock.set_wall, SLEPT_S)
    )
    driven = live(tmp_path / "a.jsonl", hot_job, _in_a_bead(clock, sleep), clock)
    driven.driver.run()
    (gap,) = _gaps(driven)
    assert (gap.t_ms, gap.to_ms) == (74_000, 75_000 + round(SLEPT_S * 1000))
    assert gap.by == ("steady" if name == COUNTING else "wall")
    # Session time goes on from the gap's end, so the next sleep is measured from there.
    assert driven.clock.now_s() >= 75.0 + SLEPT_S
    assert _steps(driven) == []
    told = [event for event in driven.events() if isinstance(event, CueTold) and event.t_s > 75]
    # That there is no reading is true now, no prompt of the missed time.
    assert [(c.kind, c.t_s) for c in told if c.kind != "NO_READING"] == [("GAP", 75.0 + SLEPT_S)]
    same_again(driven)


def test_the_gap_is_written_within_two_seconds_of_waking(hot_job: Job, tmp_path: Path) -> None:
    """T-14, with nothing heard after it: the driver's own beat notices."""
    clock = FakeClock()
    told = _in_a_bead(clock, partial(clock.to, 75.0 + SLEPT_S))
    driven = live(tmp_path / "a.jsonl", hot_job, [*told, *steady(3000, 3001, 90.0)], clock)
    while not _gaps(driven):
        driven.driver.turn()
        assert clock.now_s() <= 75.0 + SLEPT_S + 2.0


class _Queued(FakeSource):
    """A live source whose queue kept what came in before the sleep."""

    def __init__(self, clock: FakeClock, told: list[Told], queued: list[Heard]) -> None:
        super().__init__(clock, told)
        self.queued = queued

    def read(self, until_s: float | None) -> list[Heard]:
        """Return what waited as well, once the machine is awake."""
        heard = super().read(until_s)
        if self.clock() < SLEPT_S:
            return heard
        waited, self.queued = self.queued, []
        return waited + heard


def test_what_waited_in_the_queue_is_not_fresh_after_the_sleep(
    hot_job: Job, tmp_path: Path
) -> None:
    """A reading of 262 °C from before the lid was shut must not call the part hot in the morning."""
    clock = FakeClock()
    told: list[Told] = [*at_ready(), (73.0, partial(clock.to, 73.0 + SLEPT_S))]
    hot = Reading(t_ms=0, raw=(262.0,), status="ok")
    cold = Reading(t_ms=0, raw=(90.0,), status="ok")
    woke_s = 73.0 + SLEPT_S
    source = _Queued(clock, told, [Heard(72.6, hot), Heard(woke_s + 0.1, cold)])
    driven = drive(tmp_path / "a.jsonl", hot_job, source, clock)
    driven.driver.run()
    (gap,) = _gaps(driven)
    readings = [event for event in driven.events() if isinstance(event, Reading)]
    assert [(r.t_s, r.raw) for r in readings[-2:]] == [(72.6, (262.0,)), (woke_s + 0.1, (90.0,))]
    assert gap.t_ms == 72_600
    assert driven.driver.snapshot().state.phase is not Phase.READY


def test_a_session_stopped_at_the_moment_of_waking_fires_nothing_either(
    hot_job: Job, tmp_path: Path
) -> None:
    """A shutdown ends the sleep: the bead's STOP is not told 23 minutes late on the way out."""
    clock = FakeClock()
    driven = live(tmp_path / "a.jsonl", hot_job, [*at_ready(), press_next(74)], clock)
    while clock.now_s() < 74:
        driven.driver.turn()
    clock.to(75.0 + SLEPT_S)
    driven.driver.ask_to_stop("ended by the system (SIGTERM)")
    driven.driver.run()
    assert len(_gaps(driven)) == 1
    assert not any("STOP" in cue or "FINISH" in cue for cue in driven.told())


# --- hours and days (T-15) --------------------------------------------------------


def _long(hours: float) -> Iterator[Told]:
    for i in range(round(hours * 4 * 3600) + 1):
        yield i / 4, Reading(t_ms=0, raw=(20.0 + i % 7 / 10,), status="ok")


def _samples(hot_job: Job, path: Path, hours: float) -> None:
    driven = live(path, hot_job, _long(hours))
    driven.driver.run()
    times = [event.t_ms for event in driven.events() if isinstance(event, Reading)]
    # Every one, at its own time: a quarter of a second has no remainder in ms.
    assert times == list(range(0, round(hours * 3_600_000) + 1, 250))


@pytest.mark.slow
def test_a_quarter_of_an_hour_at_4_hz_has_every_sample_and_no_drift(
    hot_job: Job, tmp_path: Path
) -> None:
    """T-15, a short one."""
    _samples(hot_job, tmp_path / "a.jsonl", 0.25)


@pytest.mark.full
def test_twelve_hours_at_4_hz_have_every_sample_and_no_drift(hot_job: Job, tmp_path: Path) -> None:
    """T-15: 172,800 samples and the one at zero, drift 0.

    What of it stays in memory: `tests/bench/bench_memory.py`.
    """
    _samples(hot_job, tmp_path / "a.jsonl", 12.0)


# --- daylight saving time ---------------------------------------------------------


@pytest.fixture
def berlin(monkeypatch: pytest.MonkeyPatch) -> Iterator[ZoneInfo]:
    """The machine stands in Berlin."""
    if not hasattr(time, "tzset"):
        pytest.skip("no time.tzset here")
    monkeypatch.setenv("TZ", "Europe/Berlin")
    time.tzset()
    yield ZoneInfo("Europe/Berlin")
    monkeypatch.undo()
    time.tzset()


def test_the_hour_that_comes_twice_has_two_names(berlin: ZoneInfo) -> None:
    """25 October 2026: 3:00 summer time is 2:00 again (tz database, by zoneinfo)."""
    first = datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
    again = first + timedelta(hours=1)
    assert {at.astimezone(berlin).strftime("%H:%M") for at in (first, again)} == {"02:30"}
    for at in (first, again):
        assert utc_offset(at) == at.astimezone(berlin).isoformat()[-6:]
    assert local_time(first) == "2026-10-25 02:30 +02:00"
    assert local_time(again) == "2026-10-25 02:30 +01:00"


@pytest.mark.usefixtures("berlin")
def test_recordings_of_the_hour_that_comes_twice_have_two_names(tmp_path: Path) -> None:
    """The offset tells them apart, not the order of the names."""
    args, settings = Namespace(out=None), Settings(recordings=tmp_path)
    first = datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
    names = [_out_path(args, settings, first + timedelta(hours=i)).name for i in (0, 1)]
    assert [name[:20] for name in names] == ["20261025-023000+0200", "20261025-023000+0100"]


def test_a_session_over_the_change_and_midnight_is_no_different(
    berlin: ZoneInfo, hot_job: Job, tmp_path: Path
) -> None:
    """Wall times are UTC: no step, no gap; the head has the offset of its own moment."""
    begins = datetime(2026, 10, 24, 21, 59, tzinfo=UTC)
    clock = FakeClock(wall=begins)
    told: list[Told] = [*at_ready(), press_next(74), *steady(75, 90, 262.0)]
    # On to five hours later, a second at a time by the driver's own beat.
    driven = live(
        tmp_path / "a.jsonl", hot_job, [*told, *steady(5 * 3600, 5 * 3600 + 1, 20.0)], clock
    )
    assert begins.astimezone(berlin).hour == 23
    driven.driver.run()
    assert driven.log.opened.tz == "+02:00"
    assert "84.000 STOP" in driven.told()
    assert _steps(driven) == []
    assert _gaps(driven) == []
    assert head(hot_job, driven.source, clock.wall(), settings={}).tz == "+01:00"
