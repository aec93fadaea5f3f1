"""The replay's desk: pause, pace, jumps both ways; any moment equals straight folding."""

from __future__ import annotations

import pytest
from driving import scripted
from fakes import FakeClock
from hypothesis import given, settings
from hypothesis import strategies as st

from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.run.replay import Replay
from pacer.session.fold import advance, begin, step
from pacer.session.state import State

LAST_S = 900


def _script() -> str:
    """READY at 72 s, then four readings a second for a quarter of an hour; beads in between."""
    lines = ["0,20.0", "1,!next"]
    lines += [f"{t_s},{150.0 if t_s < 9 else 262.0}" for t_s in range(2, 73)]
    for i in range(73 * 4, LAST_S * 4 + 1):
        t_s = i / 4
        lines.append(f"{t_s},{262.0 + 10 * ((i // 400) % 3)}")
        if i % 200 == 0:
            lines.append("!next")
    return "\n".join(lines) + "\n"


@pytest.fixture(scope="module")
def recording(hot_job: Job, tmp_path_factory: pytest.TempPathFactory) -> Recording:
    """Some 3,500 events: seven kept states to jump between."""
    driven = scripted(tmp_path_factory.mktemp("replay") / "a.jsonl", hot_job, _script())
    driven.driver.run()
    return Recording(driven.log.path)


@pytest.fixture
def clock() -> FakeClock:
    """The viewer's clock."""
    return FakeClock(1000.0)


@pytest.fixture
def desk(recording: Recording, clock: FakeClock) -> Replay:
    """A replay at ten times real time."""
    return Replay(recording, clock, 10.0)


def _straight(recording: Recording, t_s: float) -> State:
    state, _ = begin(recording.head)
    for event in recording.events():
        if event.t_s > t_s:
            break
        state, _ = step(state, event)
    return advance(state, t_s)[0]


@pytest.mark.slow
def test_a_jump_anywhere_equals_folding_straight_there(recording: Recording) -> None:
    """Both ways, across kept states; the desk remembers where it was."""
    desk = Replay(recording, FakeClock())
    straight: dict[float, State] = {}

    @given(times=st.lists(st.integers(0, LAST_S * 8).map(lambda n: n / 8), min_size=2, max_size=4))
    @settings(max_examples=25, deadline=None)
    def jump(times: list[float]) -> None:
        for t_s in times:
            if t_s not in straight:
                straight[t_s] = _straight(recording, t_s)
            assert desk._state_at(t_s) == straight[t_s]

    jump()


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


def test_the_cues_can_be_walked_forwards_and_back(desk: Replay) -> None:
    """Each press a cue further; at the ends it stays."""
    desk.pace("pause")
    times = sorted({cue.t_s for cue in desk.cues})
    walked = []
    for _ in times:
        desk.pace("next cue")
        walked.append(desk.snapshot().t_s)
    assert walked == [*times[1:], LAST_S]
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
    times = sorted({cue.t_s for cue in desk.cues})
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
    assert shown.state == desk._state_at(72)


def test_a_replay_is_never_changed_by_a_press(desk: Replay, recording: Recording) -> None:
    """The recording is only read."""
    before = recording.path.read_bytes()
    desk.press("next")
    desk.stop()
    assert recording.path.read_bytes() == before
    assert desk.snapshot().state.phase == "prepare"


def test_a_replay_finds_the_cues_as_recorded(desk: Replay) -> None:
    """T-12."""
    assert len(desk.recorded) == len(desk.cues) > 20
    assert desk.differences() == []
