"""A recording folded once: any moment of it equals straight folding, whatever was looked at before."""

from __future__ import annotations

import bisect
from pathlib import Path

import pytest
from driving import at_ready, hot_script, live, press_next, scripted, steady
from fakes import FakeClock
from hypothesis import given, settings
from hypothesis import strategies as st
from replaying import LAST_S, long_enough
from written import head_of, lines_of, write_lines

from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.run.film import Film
from pacer.screen.view import view
from pacer.session.events import (
    Act,
    AnyEvent,
    ClockGap,
    CueTold,
    Ended,
    Inspection,
    Outcome,
    Reading,
)
from pacer.session.fold import advance, begin, step
from pacer.session.state import State
from pacer.units import Shown


@pytest.fixture(scope="module")
def recording(hot_job: Job, tmp_path_factory: pytest.TempPathFactory) -> Recording:
    """Some 1,800 events: four blocks to look into."""
    return long_enough(tmp_path_factory.mktemp("film") / "a.jsonl", hot_job)


@pytest.fixture(scope="module")
def film(recording: Recording) -> Film:
    """The same, folded."""
    return Film(recording)


def of(events: list[AnyEvent], job: Job, path: Path) -> Film:
    """Return the film of hand-written events."""
    return Film(Recording(write_lines(path, lines_of(head_of(job), events))))


def _straight(recording: Recording, t_s: float) -> State:
    state, _ = begin(recording.head)
    for event in recording.events():
        if event.t_s > t_s:
            break
        state, _ = step(state, event)
    return advance(state, t_s)[0]


@pytest.mark.slow
def test_a_look_anywhere_equals_folding_straight_there(recording: Recording, film: Film) -> None:
    """Both ways, across blocks; the film remembers where it was looked at last."""
    straight: dict[float, State] = {}

    @given(times=st.lists(st.integers(0, LAST_S * 8).map(lambda n: n / 8), min_size=2, max_size=4))
    @settings(max_examples=25, deadline=None)
    def look(times: list[float]) -> None:
        for t_s in times:
            if t_s not in straight:
                straight[t_s] = _straight(recording, t_s)
            assert film.state_at(t_s) == straight[t_s]

    look()


@pytest.mark.slow
def test_records_are_stepped_through_both_ways(recording: Recording, film: Film) -> None:
    """Each time at which something was recorded, once, over the borders of blocks."""
    times = sorted({event.t_s for event in recording.events()})
    for at in (0.0, 0.1, 71.9, *times[480:520], times[-2], LAST_S - 0.01):
        later = times[min(len(times) - 1, bisect.bisect_right(times, at))]
        assert film.record_after(at) == later
        before = bisect.bisect_left(times, at) - 1
        assert film.record_before(at) == (times[before] if before >= 0 else 0.0)
    assert film.record_after(LAST_S) == LAST_S
    assert film.record_before(0.0) == 0.0


def test_phases_come_in_the_order_they_were_entered(hot_job: Job, tmp_path: Path) -> None:
    """Times are summed up at `driving.hot_script`: READY at 72 s, a bead from 74 to 85.5 s."""
    driven = scripted(tmp_path / "a.jsonl", hot_job, hot_script())
    driven.driver.run()
    film = Film(Recording(driven.log.path))
    assert [(str(phase), from_s) for phase, from_s in film.phases][:5] == [
        ("prepare", 0.0),
        ("preheat", 1.0),
        ("soak", 12.0),
        ("ready", 72.0),
        ("bead", 74.0),
    ]
    assert (film.start_s, film.end_s) == (0.0, 130.0)
    assert film.state_at(73.9).phase == "ready"
    assert film.state_at(74.0).phase == "bead"


def ramped(t_s: int) -> float:
    """Return a flame left on for too long: 4 K a second up to 320 °C at 77 s, down to 280 °C."""
    return min(320.0, 20.0 + 4.0 * max(0, t_s - 2)) if t_s < 78 else max(280.0, 628.0 - 4.0 * t_s)


@pytest.mark.parametrize(("last_s", "to_s"), [(119, 83.0), (79, 79.0)])
def test_an_excursion_lasts_from_the_first_record_outside_to_the_first_within(
    hot_job: Job, tmp_path: Path, last_s: int, to_s: float
) -> None:
    """Ceiling 300 °C. Read are 304 °C at 73 s and 296 °C at 83 s; at 1 Hz the median of three
    is a reading late: over it from 74 s on, at 300 °C from 83 s on. Or broken off at 79 s."""
    lines = ["0,20.0", "1,!next", *(f"{t_s},{ramped(t_s)}" for t_s in range(2, last_s + 1))]
    driven = scripted(tmp_path / "a.jsonl", hot_job, "\n".join(lines) + "\n")
    driven.driver.run()
    film = Film(Recording(driven.log.path))
    assert film.excursions == ((74.0, to_s, "above the ceiling"),)


@pytest.mark.slow
def test_what_was_read_stays_though_the_file_goes(hot_job: Job, tmp_path: Path) -> None:
    """A stick pulled out while somebody looks at what was on it."""
    recording = long_enough(tmp_path / "a.jsonl", hot_job, last_s=300)
    film, straight = Film(recording), _straight(recording, 200.0)
    recording.path.unlink()
    assert film.state_at(200.0) == straight
    assert film.snapshot(200.0, speed=1.0, paused=True).cues


@pytest.mark.parametrize(
    "later",
    [
        Outcome(t_ms=9_000_000, found="no crack found"),
        Inspection(t_ms=9_000_000, look="visual", result="nothing found"),
    ],
    ids=["outcome", "look"],
)
def test_a_look_weeks_later_makes_no_longer_film(
    later: AnyEvent, hot_job: Job, tmp_path: Path
) -> None:
    """It is no part of the session: nobody plays back weeks of nothing."""
    events: list[AnyEvent] = [Reading(t_ms=500 * i, raw=(20.0,), status="ok") for i in range(9)]
    events += [Ended(t_ms=4000, why="closed"), later]
    film = of(events, hot_job, tmp_path / "a.jsonl")
    assert film.end_s == 4.0
    assert film.record_after(4.0) == 4.0
    assert film.snapshot(4.0, speed=1.0, paused=False).over


def test_a_cue_written_late_shows_no_state_of_later(hot_job: Job, tmp_path: Path) -> None:
    """A cue's record has its deadline for a time, which may lie before the record above it."""
    events: list[AnyEvent] = [Act(t_ms=1000, deed="next")]
    events += [Reading(t_ms=2000 + 100 * i, raw=(20.0 + i,), status="ok") for i in range(499)]
    cue = CueTold(t_ms=20_000, kind="WAIT", urgency="STEP", values={}, words="")
    events += [cue, Reading(t_ms=60_000, raw=(900.0,), status="ok")]
    path = tmp_path / "a.jsonl"
    film = of(events, hot_job, path)
    assert film.state_at(30.0) == _straight(Recording(path), 30.0)
    assert film.record_after(51.8) == 60.0


def test_nothing_but_a_head_is_a_film_of_no_length(hot_job: Job, tmp_path: Path) -> None:
    """Killed as soon as it was opened."""
    film = of([], hot_job, tmp_path / "a.jsonl")
    assert (film.start_s, film.end_s, film.excursions) == (0.0, 0.0, ())
    shown = film.snapshot(0.0, speed=1.0, paused=False)
    assert (str(shown.state.phase), shown.over) == ("prepare", True)
    assert [str(phase) for phase, _ in film.phases] == ["prepare"]


def test_damage_and_invention_are_said_in_every_snapshot(hot_job: Job, tmp_path: Path) -> None:
    """Of a file with a line gone."""
    events: list[AnyEvent] = [Reading(t_ms=500 * i, raw=(20.0,), status="ok") for i in range(9)]
    lines = lines_of(head_of(hot_job, invented="by hand"), events)
    whole = Film(Recording(write_lines(tmp_path / "a.jsonl", lines)))
    holed = Film(Recording(write_lines(tmp_path / "b.jsonl", lines[:4] + lines[5:])))
    for film, damaged in ((whole, False), (holed, True)):
        shown = film.snapshot(1.0, speed=1.0, paused=False)
        assert (shown.damaged, shown.invented) == (damaged, "by hand")


@pytest.mark.slow
def test_how_far_it_has_read_is_told(recording: Recording) -> None:
    """Rising, once a block, and all of it at the end of the last full one."""
    said: list[float] = []
    Film(recording, said.append)
    assert len(said) == 3
    assert said == sorted(said)
    assert 0.2 < said[0] < 0.4
    assert 0.7 < said[-1] <= 1


def test_in_a_gap_stands_what_was_known_when_it_began(hot_job: Job, tmp_path: Path) -> None:
    """A bead from 74 s, the lid closed at 80 s for ten hours: only then is the bead dropped."""
    clock = FakeClock()
    told = [*at_ready(), press_next(74), *steady(75, 80, 262.0)]
    told += [(80.0, lambda: clock.to(36_080.0)), *steady(36_090, 36_100, 25.0)]
    driven = live(tmp_path / "a.jsonl", hot_job, told, clock)
    driven.driver.run()
    (gap,) = (event for event in driven.events() if isinstance(event, ClockGap))
    assert gap.to_s == 36_080.0
    film = Film(Recording(driven.log.path))
    at_start = film.state_at(gap.t_s)
    # Both ways: what was looked at before must not show through.
    for t_s in (gap.t_s, 20_000.0, 36_079.9, 20_000.0, gap.t_s + 0.5):
        shown = film.snapshot(t_s, speed=1.0, paused=True)
        assert shown.state == at_start
        assert (str(shown.state.phase), shown.state.work.beads[-1].ended_s) == ("bead", None)
        assert all(cue.t_s <= t_s for cue in shown.cues)
        assert shown.watched is (t_s == gap.t_s)
        said = view(shown, Shown("metric")).banner
        assert said == ("REPLAY paused" if shown.watched else "REPLAY, nobody watched, paused")
    after = film.snapshot(gap.to_s, speed=1.0, paused=True)
    assert after.watched
    assert after.state.t_s == gap.to_s
    assert after.state.work.beads[-1].ended_s is not None
    assert "GAP" in [cue.kind for cue in after.cues if cue.t_s == gap.to_s]


def test_a_gap_at_the_border_of_a_block_is_one_too(hot_job: Job, tmp_path: Path) -> None:
    """The 501st event."""
    events: list[AnyEvent] = [
        Reading(t_ms=100 * i, raw=(20.0,), status="ok") for i in range(1, 501)
    ]
    events += [ClockGap(t_ms=50_000, to_ms=900_000), Reading(t_ms=901_000, raw=(9.0,), status="ok")]
    film = of(events, hot_job, tmp_path / "a.jsonl")
    inside = film.snapshot(400.0, speed=1.0, paused=True)
    assert (inside.watched, inside.state.t_s) == (False, 50.0)
    assert film.state_at(900.0).t_s == 900.0


def test_a_recording_that_ends_in_a_gap_lasts_to_its_end(hot_job: Job, tmp_path: Path) -> None:
    """Killed as it woke."""
    film = of([ClockGap(t_ms=1000, to_ms=9000)], hot_job, tmp_path / "a.jsonl")
    assert (film.end_s, film.state_at(9.0).t_s) == (9.0, 9.0)
