"""A screen that stands still: the record goes on, it is written down, and the bell rings (T-39)."""

from __future__ import annotations

import asyncio
import sys
import threading
from itertools import pairwise
from pathlib import Path

import pytest
from driving import Driven, drive
from fakes import Doing, FakeClock, FakeSource

from pacer.job.job import Job
from pacer.run.driver import Driver
from pacer.run.watchdog import BEAT_S, STALLED_S, Watchdog, ring_terminal, watched
from pacer.screen.app import PacerApp
from pacer.screen.desk import Snapshot
from pacer.session.events import AnyEvent, Reading, Trouble
from pacer.units import Shown

LIMIT_S = 20.0
"""Of real time, for threads to meet; a test that waits so long has failed."""


def barks(looks_s: list[float], to_s: float, asleep: tuple[float, float] = (0, 0)) -> list[str]:
    """Return when a watchdog barked and what it said, over looks at the given times."""
    clock, told = FakeClock(), list[str]()
    dog = Watchdog(clock.now_s, lambda for_s: told.append(f"{clock.now_s():.2f} {for_s:.2f}"))
    looks = [*looks_s]
    for beat in range(1, round(to_s / BEAT_S) + 1):
        at_s = beat * BEAT_S
        while looks and looks[0] <= at_s:
            clock.to(looks.pop(0))
            dog.looked()
        clock.to(at_s)
        if not asleep[0] < at_s < asleep[1]:
            dog.check()
    return told


def every(from_s: float, to_s: float) -> list[float]:
    """Return times four a second."""
    return [from_s + 0.25 * at for at in range(round((to_s - from_s) * 4) + 1)]


def test_it_barks_once_a_stall_and_within_two_seconds() -> None:
    """Two stalls of 5 and 10 s: one bark each, at most 2 s after the last look."""
    told = barks([*every(1, 4), *every(9, 20), *every(30, 31)], 31.5)
    assert told == ["5.50 1.50", "21.50 1.50"]
    assert STALLED_S + BEAT_S <= 2.0


def test_looks_that_come_slowly_are_no_stall() -> None:
    """A look a second, on a slow machine."""
    assert barks([float(at) for at in range(1, 30)], 29.5) == []


def test_nothing_is_told_before_there_is_a_screen() -> None:
    """The first look begins the watch."""
    assert barks([], 30.0) == []


def test_a_suspended_laptop_is_no_stalled_screen() -> None:
    """The watchdog slept too; a screen that stays dead after waking is told."""
    assert barks([*every(1, 5), *every(65, 70)], 70.5, asleep=(5.0, 65.0)) == []
    assert barks(every(1, 5), 70.5, asleep=(5.0, 65.0)) == ["66.50 1.50"]


class Hold:
    """Holds up whoever takes a snapshot, once, when the test says so."""

    def __init__(self, driver: Driver) -> None:
        self._snapshot = driver.snapshot
        self._wanted = False
        self._held, self.go_on = threading.Event(), threading.Event()

    def snapshot(self) -> Snapshot:
        """Return the driver's snapshot, at once or not."""
        seen = self._snapshot()
        if self._wanted:
            self._wanted = False
            self._held.set()
            assert self.go_on.wait(LIMIT_S)
        return seen

    def hold(self) -> None:
        """Hold the next one, and wait until it is held."""
        self._wanted = True
        assert self._held.wait(LIMIT_S)


def four_a_second(from_s: float, to_s: float) -> list[tuple[float, AnyEvent | Doing]]:
    """Return readings four a second."""
    return [(at, Reading(t_ms=0, raw=(20.0,), status="ok")) for at in every(from_s, to_s - 0.25)]


@pytest.mark.slow
def test_a_blocked_screen_does_not_stop_the_record(
    hot_job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Textual's loop stands for 5 s of session time: no sample is missed, one stall told."""
    clock, rung = FakeClock(), list[float]()
    told: list[tuple[float, AnyEvent | Doing]] = []

    def bark(for_s: float) -> None:
        driver.note_trouble("screen", f"stalled for {for_s:.1f} s")
        rung.append(clock.now_s())

    dog = Watchdog(clock.now_s, bark)
    beats: list[tuple[float, AnyEvent | Doing]] = [
        (10.0 + BEAT_S * at, dog.check) for at in range(1, 21)
    ]
    source = FakeSource(clock, told)
    driven = drive(tmp_path / "a.jsonl", hot_job, source, clock)
    driver, hold = driven.driver, Hold(driven.driver)
    monkeypatch.setattr(driver, "snapshot", hold.snapshot)
    driver.on_look(dog.looked)
    stalled = sorted([*four_a_second(10.0, 15.0), *beats], key=lambda due: due[0])
    source._told.extend(four_a_second(0.0, 10.0))
    source._told.extend([(10.0, hold.hold), *stalled, (15.0, hold.go_on.set)])
    source._told.extend(four_a_second(15.0, 20.0))
    seen = screen_over(driven)
    readings = [e.t_s for e in driven.events() if isinstance(e, Reading)]
    assert readings == every(0.0, 19.75)
    assert max(b - a for a, b in pairwise(readings)) == 0.25
    troubles = [e for e in driven.events() if isinstance(e, Trouble)]
    assert [(e.what, e.why) for e in troubles] == [("screen", "stalled for 1.5 s")]
    assert rung == [troubles[0].t_s]
    assert 10.0 <= troubles[0].t_s <= 12.0
    assert (seen.over, seen.t_s) == (True, 19.75)


def screen_over(driven: Driven) -> Snapshot:
    """Run driver and screen to the driver's end; return what can be seen then."""
    thread = threading.Thread(target=driven.driver.run)

    async def run() -> None:
        app = PacerApp(driven.driver, Shown())
        async with app.run_test(size=(80, 24)) as pilot:
            app.look()
            thread.start()
            while thread.is_alive():
                await pilot.pause()

    asyncio.run(run())
    thread.join()
    return driven.driver.snapshot()


def test_the_thread_barks_through_the_record_and_the_bell(hot_job: Job, tmp_path: Path) -> None:
    """`watched`: the record is told even where the terminal is gone."""
    clock = FakeClock()
    driven = drive(tmp_path / "a.jsonl", hot_job, FakeSource(clock, []), clock)
    rung = threading.Event()

    def ring() -> None:
        rung.set()
        raise OSError(5, "Input/output error")

    with watched(driven.driver, clock, ring) as dog:
        driven.driver.snapshot()
        # Within the lateness that a beat may have: else it is taken for a suspend.
        dog.check()
        clock.to(BEAT_S + 0.9)
        dog.check()
        clock.to(STALLED_S + 0.3)
        assert rung.wait(LIMIT_S)
    driven.driver.run()
    troubles = [(e.what, e.why) for e in driven.events() if isinstance(e, Trouble)]
    assert troubles == [("screen", "stalled for 1.8 s")]


def test_the_bell_goes_straight_to_the_terminal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One BEL byte past whoever draws; without a terminal nothing."""
    with (tmp_path / "terminal").open("w") as terminal:
        monkeypatch.setattr(sys, "__stderr__", terminal)
        ring_terminal()
        monkeypatch.setattr(sys, "__stderr__", None)
        ring_terminal()
    assert (tmp_path / "terminal").read_bytes() == b"\a"
