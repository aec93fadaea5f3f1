"""The replay's desk: pause, pace both ways, steps and jumps."""

from __future__ import annotations

from typing import get_args

import pytest
from fakes import FakeClock
from replaying import LAST_S, long_enough

from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.run.audit import differences
from pacer.run.film import Film
from pacer.run.playback import SPEEDS
from pacer.run.replay import Replay
from pacer.screen.desk import Pace


@pytest.fixture(scope="module")
def recording(hot_job: Job, tmp_path_factory: pytest.TempPathFactory) -> Recording:
    """Some 1,800 events."""
    return long_enough(tmp_path_factory.mktemp("replay") / "a.jsonl", hot_job)


@pytest.fixture(scope="module")
def film(recording: Recording) -> Film:
    """The same, folded once."""
    return Film(recording)


@pytest.fixture
def clock() -> FakeClock:
    """The viewer's clock."""
    return FakeClock(1000.0)


@pytest.fixture
def desk(film: Film, clock: FakeClock) -> Replay:
    """A replay at ten times real time."""
    return Replay(film, clock, 10.0)


def test_time_runs_at_the_pace_and_stops_at_the_end(desk: Replay, clock: FakeClock) -> None:
    """Session seconds a second of the viewer's."""
    assert desk.snapshot().t_s == 0
    clock.to(1007)
    assert desk.snapshot().t_s == 70
    assert not desk.snapshot().over
    clock.to(2000)
    shown = desk.snapshot()
    assert (shown.t_s, shown.over) == (LAST_S, True)
    assert shown.kind == "replay"


def test_a_pause_holds_the_moment(desk: Replay, clock: FakeClock) -> None:
    """And lets it go on from there."""
    clock.to(1005)
    desk.pace("pause")
    clock.to(1100)
    assert (desk.snapshot().t_s, desk.snapshot().paused) == (50, True)
    desk.pace("pause")
    clock.to(1101)
    assert desk.snapshot().t_s == 60


def test_a_change_of_pace_makes_no_jump(desk: Replay, clock: FakeClock) -> None:
    """10 to 20 times from 50 s on, and never beyond the fastest or the slowest."""
    clock.to(1005)
    desk.pace("faster")
    assert desk.snapshot().t_s == 50
    clock.to(1006)
    assert (desk.snapshot().t_s, desk.snapshot().speed) == (70, 20)
    for _ in range(20):
        desk.pace("slower")
    assert desk.snapshot().speed == 1
    for _ in range(20):
        desk.pace("faster")
    assert desk.snapshot().speed == 1000


@pytest.mark.parametrize("speed", SPEEDS)
def test_every_speed_is_what_it_says_both_ways(film: Film, clock: FakeClock, speed: float) -> None:
    """1 to 1000 session seconds a second, and back to where it came from; never past an end."""
    desk = Replay(film, clock, speed, at_s=100.0)
    clock.to(1000.5)
    assert desk.snapshot().t_s == min(LAST_S, 100 + speed / 2)
    desk.pace("turn")
    clock.to(1001.0)
    shown = desk.snapshot()
    assert shown.speed == -speed
    assert shown.t_s == max(0, min(LAST_S, 100 + speed / 2) - speed / 2)
    clock.to(3000)
    assert (desk.snapshot().t_s, desk.snapshot().over) == (0, True)
    desk.pace("turn")
    assert not desk.snapshot().over
    clock.to(5000)
    assert (desk.snapshot().t_s, desk.snapshot().over) == (LAST_S, True)


def test_a_step_goes_to_the_record_beside_and_stands_there(desk: Replay, clock: FakeClock) -> None:
    """Four readings a second there: a quarter of a second on, and back."""
    clock.to(1010.01)
    for word, t_s in (
        ("next record", 100.25),
        ("next record", 100.5),
        ("previous record", 100.25),
        ("previous record", 100.0),
    ):
        desk.pace(word)  # type: ignore[arg-type]
        clock.to(clock.now_s() + 5)
        shown = desk.snapshot()
        assert (shown.t_s, shown.paused) == (t_s, True)


def test_phases_can_be_walked(desk: Replay) -> None:
    """Each press one further; where there is none it stays where it is."""
    desk.pace("pause")
    times = [t_s for _, t_s in desk.film.phases]
    assert len(times) > 5
    assert times[0] == 0
    for t_s in (*times[1:], times[-1]):
        desk.pace("next phase")
        assert desk.snapshot().t_s == t_s
    for t_s in (*times[-2::-1], 0):
        desk.pace("previous phase")
        assert desk.snapshot().t_s == t_s


def test_where_no_limit_was_left_it_stays(desk: Replay) -> None:
    """A jump to an end would read as an excursion there."""
    assert desk.film.excursions == ()
    desk.jump(123.0)
    for word in ("next excursion", "previous excursion"):
        desk.pace(word)
        assert (desk.snapshot().t_s, desk.snapshot().speed) == (123.0, 10.0)


def test_minutes_and_ends(desk: Replay) -> None:
    """A minute on or back, never past an end."""
    desk.pace("pause")
    moves: tuple[tuple[Pace, float], ...] = (
        ("on a minute", 60),
        ("on a minute", 120),
        ("back a minute", 60),
        ("back a minute", 0),
        ("back a minute", 0),
        ("end", LAST_S),
        ("on a minute", LAST_S),
        ("start", 0),
    )
    for word, t_s in moves:
        desk.pace(word)
        assert desk.snapshot().t_s == t_s


def test_a_jump_says_where_it_led(desk: Replay) -> None:
    """Beyond the end it stands at the end and says so."""
    assert desk.jump(330.0) == "Now at 0:05:30"
    assert desk.snapshot().t_s == 330
    assert desk.jump(9999.0) == "It ends at 0:08:20: now there"
    assert desk.snapshot().over


@pytest.mark.slow
def test_every_word_of_pace_does_something(film: Film, clock: FakeClock) -> None:
    """None of them is forgotten: each changes how time goes or where it stands."""
    # Here no limit was left; tests/run/test_pair.py goes to one.
    for word in set(get_args(Pace)) - {"next excursion", "previous excursion"}:
        desk = Replay(film, FakeClock(), 10.0, at_s=400.1)

        def seen(desk: Replay = desk) -> tuple[float, float, bool]:
            shown = desk.snapshot()
            return shown.t_s, shown.speed, shown.paused

        before = seen()
        desk.pace(word)
        assert seen() != before, word


@pytest.mark.slow
def test_the_cues_can_be_walked_forwards_and_back(desk: Replay) -> None:
    """Each press a cue further; at the ends it stays."""
    desk.pace("pause")
    times = sorted({cue.t_s for cue in desk.film.cues})
    walked = []
    for _ in times:
        desk.pace("next cue")
        walked.append(desk.snapshot().t_s)
    assert walked == [*times[1:], times[-1]]
    desk.pace("end")
    back = []
    for _ in times:
        desk.pace("previous cue")
        back.append(desk.snapshot().t_s)
    assert back == times[::-1]
    desk.pace("previous cue")
    assert desk.snapshot().t_s == 0


@pytest.mark.parametrize("faster", [0, 3])
def test_pressing_back_goes_back_though_time_runs_on(
    desk: Replay, clock: FakeClock, faster: int
) -> None:
    """Pressed again within a second: on from where the last press led, at any pace."""
    desk.pace("pause")
    for _ in range(faster):
        desk.pace("faster")
    for _ in range(4):
        desk.pace("next cue")
    desk.pace("pause")
    times = sorted({cue.t_s for cue in desk.film.cues})
    for expected in (times[3], times[2], times[1]):
        clock.to(clock.now_s() + 0.2)
        desk.pace("previous cue")
        assert desk.snapshot().t_s == expected
    clock.to(clock.now_s() + 2)
    now_s = desk.snapshot().t_s
    desk.pace("previous cue")
    assert desk.snapshot().t_s == max(t_s for t_s in times if t_s < now_s)


def test_what_is_shown_is_what_was_known_then(desk: Replay) -> None:
    """Cues and trend up to the moment, none later."""
    desk.pace("pause")
    for _ in range(3):
        desk.pace("next cue")
    shown = desk.snapshot()
    assert shown.t_s == 72
    assert [cue.kind for cue in shown.cues] == ["PREPARE", "PREHEAT", "SOAK", "READY"]
    assert max(t_s for t_s, _ in shown.trend) <= 72
    assert shown.state == desk.film.state_at(72)


def test_a_replay_is_never_changed_by_a_press(desk: Replay, recording: Recording) -> None:
    """The recording is only read."""
    before = recording.path.read_bytes()
    desk.press("next")
    desk.stop()
    assert recording.path.read_bytes() == before
    assert desk.snapshot().state.phase == "prepare"


def test_a_replay_finds_the_cues_as_recorded(desk: Replay) -> None:
    """T-12."""
    assert len(desk.film.recorded) == len(desk.film.cues) > 20
    assert differences(desk.film.cues, desk.film.recorded) == []
