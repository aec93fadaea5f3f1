"""Practice time against real time: speeds, pause, and keys pressed meanwhile."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from pacer.sensor.practice.pace import AUTO, Pace
from pacer.sensor.practice.source import PracticePart, practice_job
from pacer.sensor.url import parse_url
from pacer.session.cues import Cue, CueKind
from pacer.session.events import Act, Reading


class Room:
    """A real clock that moves only while somebody waits; `then` happens in the next wait."""

    def __init__(self) -> None:
        self.now = 100.0
        self.waits: list[float | None] = []
        self.then: list[Callable[[], None]] = []

    def real(self) -> float:
        """Seconds."""
        return self.now

    def wait(self, timeout: float | None) -> bool:
        """Pass the time, or only a tenth of it where something happens."""
        self.waits.append(timeout)
        assert len(self.waits) < 1000
        if self.then:
            self.now += 0.1 * (timeout or 10.0)
            self.then.pop(0)()
            return True
        assert timeout is not None
        self.now += timeout
        return False


def never() -> bool:
    """Nothing was posted."""
    return False


@pytest.mark.parametrize(("speed", "real_s"), [(1.0, 60.0), (4.0, 15.0), (0.5, 120.0)])
def test_a_speed_is_session_seconds_a_real_second(speed: float, real_s: float) -> None:
    """One minute in steps of 0.25 s takes 60 s / speed of real time."""
    room = Room()
    pace = Pace(speed, room.real, room.wait)
    for i in range(1, 241):
        assert pace.until(0.25 * i, never)
    assert room.now - 100.0 == pytest.approx(real_s)
    assert pace.now_s() == pytest.approx(60.0)


def test_speed_0_never_waits() -> None:
    """Headless runs go as fast as they can."""
    room = Room()
    pace = Pace(0.0, room.real, room.wait)
    assert pace.until(1e5, never)
    assert room.waits == []
    assert pace.now_s() == 1e5


def test_auto_goes_by_the_last_cue() -> None:
    """4x where he welds, 900x in the cool-down (the brief's figures); other cues change nothing."""
    pace = Pace(None, Room().real, Room().wait)
    pace.heard(CueKind.READY)
    assert pace.rate == 4.0
    pace.heard(CueKind.STOP)
    assert pace.rate == 4.0
    pace.heard(CueKind.COVERED)
    assert pace.rate == 900.0
    assert AUTO[CueKind.WAIT] == 20.0
    assert AUTO[CueKind.SOAK] == 60.0


def test_faster_doubles_and_slower_halves() -> None:
    """Also in the middle of a wait: what is left goes at the new speed."""
    room = Room()
    pace = Pace(1.0, room.real, room.wait)
    room.then.append(lambda: pace.change("faster"))
    assert pace.until(10.0, never)
    # A tenth at 1x, nine tenths at 2x.
    assert room.now - 100.0 == pytest.approx(1.0 + 4.5)
    pace.change("slower")
    pace.change("slower")
    assert pace.rate == 0.5


def test_a_pause_stands_still_until_it_is_ended() -> None:
    """Paused: the wait has no end of its own, and session time doesn't move."""
    room = Room()
    pace = Pace(2.0, room.real, room.wait)
    pace.change("pause")
    seen: list[float] = []

    def go_on() -> None:
        seen.append(pace.now_s())
        pace.change("pause")

    room.then.append(go_on)
    assert pace.until(8.0, never)
    assert room.waits[0] is None
    assert seen == [0.0]
    assert room.now - 100.0 == pytest.approx(1.0 + 4.0)


def test_the_clock_stops_at_the_moment_waited_for() -> None:
    """A slow machine: real time runs on, session time waits for the simulation."""
    room = Room()
    pace = Pace(60.0, room.real, room.wait)
    assert pace.until(15.0, never)
    room.now += 50.0
    assert pace.now_s() == pytest.approx(15.0)
    assert pace.until(30.0, never)
    assert pace.now_s() == pytest.approx(30.0)
    assert pace.until(45.0, never)
    # It doesn't race to catch up with the 50 s lost.
    assert room.waits[-1] == pytest.approx(15.0 / 60.0)


def opened(room: Room, speed: float | None) -> PracticePart:
    """A practice part in a room."""
    pace = Pace(speed, room.real, room.wait)
    return PracticePart(practice_job(), 1, pace, parse_url("practice:"))


def test_a_key_wakes_the_wait_and_is_stamped_at_the_time_reached() -> None:
    """A press in a tenth of the wait for the next reading carries that time, then it comes."""
    room = Room()
    part = opened(room, 1.0)
    assert part.read(None)[0].t_s == 0.0
    room.then.append(lambda: part.post(Act(t_ms=0, deed="note", text="hot")))
    pressed = part.read(None)
    assert [type(item.event) for item in pressed] == [Act]
    assert pressed[0].t_s == pytest.approx(0.025)
    following = part.read(None)
    assert isinstance(following[0].event, Reading)
    assert following[0].t_s == 0.25


def test_an_empty_answer_means_that_the_time_was_reached() -> None:
    """Until 0.1 s there is no reading: none comes, and the clock says 0.1 s."""
    part = opened(Room(), 2.0)
    part.read(None)
    assert part.read(0.1) == []
    assert part.clock() == pytest.approx(0.1)
    assert part.read(0.05) == []
    assert part.clock() == pytest.approx(0.1)


def test_one_call_gives_one_step() -> None:
    """However far ahead the driver looks, the next reading alone comes back."""
    part = opened(Room(), 0.0)
    times = [item.t_s for _ in range(5) for item in part.read(3600.0)]
    assert times == [0.0, 0.25, 0.5, 0.75, 1.0]


def test_closing_ends_a_wait() -> None:
    """A paused practice can be left."""
    room = Room()
    part = opened(room, 1.0)
    part.read(None)
    part.pace("pause")
    room.then.append(part.close)
    assert part.read(None) == []
    assert part.finished


def test_the_welder_answers_a_cue_that_came_late_at_the_same_time() -> None:
    """PREPARE told at 0 s or only after the first reading: his press has the same time."""
    pressed = []
    for wait_for_reading in (False, True):
        part = opened(Room(), 0.0)
        if wait_for_reading:
            part.read(None)
        part.hear(Cue(kind=CueKind.PREPARE, t_s=0.0))
        items = [item for _ in range(100) for item in part.read(None)]
        pressed.append([item.t_s for item in items if isinstance(item.event, Act)])
    assert pressed[0] == pressed[1]
    assert len(pressed[0]) == 1
