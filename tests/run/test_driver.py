"""The driver: stamps, writes, folds, tells, closes (design.md, one reading's journey; T-12)."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from driving import at_ready, drive, hot_script, live, press_next, same_again, scripted, steady
from fakes import Doing, FakeClock, FakeSink, FakeSource
from hypothesis import HealthCheck, given, settings
from strategies import sessions

from pacer.job.job import Job
from pacer.session.cues import Cue, CueKind
from pacer.session.events import (
    Act,
    AnyEvent,
    ClockGap,
    Ended,
    Mark,
    Reading,
    Resumed,
    Trouble,
)
from pacer.session.work import Phase

SESSIONS = sessions(30)


def test_a_script_is_paced_as_the_sum_says(hot_job: Job, tmp_path: Path) -> None:
    """READY, STOP and the end of the peening where the job's own numbers put them."""
    driven = scripted(tmp_path / "a.jsonl", hot_job, hot_script())
    driven.driver.run()
    told = driven.told()
    for cue in (
        "0.000 PREPARE",
        "1.000 PREHEAT",
        "12.000 SOAK",
        "72.000 READY",
        "84.000 STOP",
        "85.500 PEEN",
        "100.500 READY",
    ):
        assert cue in told
    same_again(driven)


def test_what_came_in_is_on_disk_in_order_and_closed(hot_job: Job, tmp_path: Path) -> None:
    """Facts only, stamped once in whole ms; `end` last."""
    driven = scripted(tmp_path / "a.jsonl", hot_job, "0,20\n0.2504,21.5\n0.9,!note seen\n1,OPEN\n")
    driven.driver.run()
    events = driven.events()
    facts = [event for event in events if isinstance(event, Reading | Act)]
    assert [event.t_ms for event in facts] == [0, 250, 900, 1000]
    assert [event.raw for event in facts if isinstance(event, Reading)] == [
        (20.0,),
        (21.5,),
        ("OPEN",),
    ]
    end = events[-1]
    assert isinstance(end, Ended)
    assert end.why == "the source ended"
    assert end.t_ms == 1000


def test_an_event_is_on_disk_before_its_cue(hot_job: Job, tmp_path: Path) -> None:
    """design.md: on disk before it is folded; then its cues on disk, then sounded."""
    seen: list[int] = []
    driven = live(tmp_path / "a.jsonl", hot_job, [press_next(1.0)])

    class Looks(FakeSink):
        def play(self, cue: Cue) -> None:
            seen.append(len(driven.events()))

    driven.driver.add_sink(Looks())
    driven.driver.run()
    # PREPARE's own record was the first; then the press, then its cue.
    assert seen == [3]
    assert isinstance(driven.events()[1], Act)


def test_no_timer_after_the_last_stamp_fires(hot_job: Job, tmp_path: Path) -> None:
    """Contract, headless: the script ends at 80 s, the bead would at 84 s."""
    driven = scripted(tmp_path / "a.jsonl", hot_job, hot_script(80))
    driven.driver.run()
    assert driven.driver.snapshot().state.phase is Phase.BEAD
    assert not any("STOP" in cue for cue in driven.told())
    assert driven.events()[-1].t_ms == 80_000


@given(events=SESSIONS)
@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@pytest.mark.slow
def test_any_session_replays_as_it_was_lived(
    hot_job: Job, tmp_path_factory: pytest.TempPathFactory, events: list[AnyEvent]
) -> None:
    """T-12: record, replay: cues equal in time, kind and values; b never falls."""
    told: list[tuple[float, AnyEvent | Doing]] = [
        (event.t_s, event)
        for event in events
        # Those the driver or the log itself writes.
        if not isinstance(event, ClockGap | Resumed | Mark | Ended)
    ]
    driven = live(tmp_path_factory.mktemp("any") / "a.jsonl", hot_job, told)
    driven.driver.run()
    same_again(driven)


def test_what_a_reader_would_refuse_is_recorded_in_words(hot_job: Job, tmp_path: Path) -> None:
    """Nothing that came in is lost for its numbers, nor is the recording called damaged."""
    wide = Reading(t_ms=0, raw=tuple(float(n) for n in range(100)), status="ok")
    frozen = Act(t_ms=0, deed="reading", temp_c=-300.0)
    driven = live(tmp_path / "a.jsonl", hot_job, [(1.0, wide), (2.0, frozen)])
    driven.driver.run()
    # `events` fails where the reader finds damage.
    line, trouble = (e for e in driven.events() if isinstance(e, Reading | Trouble))
    assert isinstance(line, Reading)
    assert (line.t_ms, line.status) == (1000, "unparsable")
    assert "99.0" in str(line.raw[0])
    assert isinstance(trouble, Trouble)
    assert trouble.t_ms == 2000
    assert trouble.why.startswith("temp_c -300, expected -273.15 to 10000: ")


def test_what_is_pressed_is_recorded_with_the_wall_time(hot_job: Job, tmp_path: Path) -> None:
    """The desk: presses go through the source's queue and are stamped like all else."""
    clock = FakeClock()
    driven = live(tmp_path / "a.jsonl", hot_job, [*steady(0, 3, 20.0)], clock)
    driven.driver.turn()
    driven.driver.press("note", text="hot\x1b[2J")
    driven.driver.press("reading", temp_c=231.0)
    driven.driver.run()
    acts = [event for event in driven.events() if isinstance(event, Act)]
    assert [(a.deed, a.text, a.temp_c) for a in acts] == [
        ("note", "hot\ufffd[2J", None),
        ("reading", None, 231.0),
    ]
    assert all(a.wall and a.wall.startswith("2026-01-01T08:00:0") for a in acts)


def test_the_snapshot_is_the_present_moment(hot_job: Job, tmp_path: Path) -> None:
    """What the screen draws: state, time, cues, the recording's name."""
    driven = live(tmp_path / "a.jsonl", hot_job, [*steady(0, 3, 20.0)])
    driven.driver.turn()
    driven.driver.turn()
    shown = driven.driver.snapshot()
    assert (shown.t_s, shown.kind, shown.log, shown.over) == (1.0, "live", "a.jsonl", False)
    assert [cue.kind for cue in shown.cues] == [CueKind.PREPARE]
    assert shown.trend[-1] == (1.0, 20.0)
    driven.driver.run()
    assert driven.driver.snapshot().over


def test_stopping_closes_the_recording(hot_job: Job, tmp_path: Path) -> None:
    """`stop()` from another thread returns when `end` is on disk and the source is closed."""

    class Endless(FakeSource):
        @property
        def finished(self) -> bool:
            return False

    clock = FakeClock()
    driven = live(tmp_path / "a.jsonl", hot_job, [], clock)
    source = Endless(clock, steady(0, 3, 20.0))
    driven.driver._source = source
    thread = threading.Thread(target=driven.driver.run)
    thread.start()
    driven.driver.stop()
    thread.join(timeout=10)
    end = driven.events()[-1]
    assert isinstance(end, Ended)
    assert end.why == "closed by the welder"
    assert source.closed


def test_a_fault_in_the_program_still_closes_the_recording(hot_job: Job, tmp_path: Path) -> None:
    """A bug keeps its traceback, the recording its end."""

    def bug() -> None:
        raise ZeroDivisionError

    driven = live(tmp_path / "a.jsonl", hot_job, [*steady(0, 3, 20.0), (4, bug)])
    with pytest.raises(ZeroDivisionError):
        driven.driver.run()
    end = driven.events()[-1]
    assert isinstance(end, Ended)
    assert end.why == "stopped by a fault in the program"


def test_a_mark_is_set_each_minute(hot_job: Job, tmp_path: Path) -> None:
    """Seals: how much stands before, and its hash."""
    driven = live(tmp_path / "a.jsonl", hot_job, steady(0, 200, 20.0))
    driven.driver.run()
    marks = [event.t_s for event in driven.events() if isinstance(event, Mark)]
    assert marks == [60.0, 120.0, 180.0]


def test_cues_are_heard_by_the_source_once_each(hot_job: Job, tmp_path: Path) -> None:
    """The practice welder listens there."""
    driven = live(tmp_path / "a.jsonl", hot_job, at_ready())
    driven.driver.run()
    assert isinstance(driven.source, FakeSource)
    heard = [f"{cue.t_s:.3f} {cue.kind}" for cue in driven.source.heard_cues]
    assert heard == driven.told()


def test_what_is_due_at_the_last_stamp_of_a_timed_source_is_told(
    hot_job: Job, tmp_path: Path
) -> None:
    """No clock goes on after its last line, but a replay finds the cue due at the end's record."""
    moved = Trouble(t_ms=0, what="log", why="goes on in a-2.jsonl")
    clock = FakeClock()
    source = FakeSource(clock, [*steady(0, 3, 20.0), (3.0, moved)])
    source.clk = "source"
    timed = drive(tmp_path / "a.jsonl", hot_job, source, clock)
    timed.driver.run()
    assert timed.told()[-1].startswith("3.000 LOG_")
    same_again(timed)
