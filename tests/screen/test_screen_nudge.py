"""The screen looks at once when something changed, and not more often than it can pay for."""

from __future__ import annotations

import asyncio
import threading
from collections import deque
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import fake_desk as fd
import pytest
from pressing import Keyboard, play

from pacer.screen.nudge import LEAST_S, Nudge
from pacer.session.work import Phase


class FakeLoop:
    """An event loop whose time the test moves."""

    def __init__(self) -> None:
        self.now_s = 0.0
        self.soon: deque[Callable[[], None]] = deque()
        self.later: list[tuple[float, Callable[[], None]]] = []

    def time(self) -> float:
        """Return the loop's time."""
        return self.now_s

    def is_closed(self) -> bool:
        """Never."""
        return False

    def call_soon_threadsafe(self, do: Callable[[], None], context: Any) -> None:
        """Queue."""
        self.soon.append(do)

    def call_later(self, delay_s: float, do: Callable[[], None], context: Any) -> None:
        """Queue for later."""
        self.later.append((self.now_s + delay_s, do))

    def to(self, t_s: float) -> None:
        """Let time pass until `t_s`."""
        while True:
            while self.soon:
                self.soon.popleft()()
            due = sorted((at for at in self.later if at[0] <= t_s), key=lambda at: at[0])
            if not due:
                break
            self.later.remove(due[0])
            self.now_s = max(self.now_s, due[0][0])
            due[0][1]()
        self.now_s = max(self.now_s, t_s)


def looks(every_s: float, took_s: float = 0.0, nudges: int = 1, to_s: float = 10.0) -> list[float]:
    """Return when looks were taken; every so often come so many nudges."""
    loop, taken = FakeLoop(), []

    def look() -> None:
        taken.append(loop.now_s)
        loop.now_s += took_s

    nudge = Nudge(loop, look)  # type: ignore[arg-type]
    count = round(to_s / every_s)
    for at in range(1, count + 1):
        loop.to(at * every_s)
        for _ in range(nudges):
            nudge.nudge()
    loop.to(to_s + 1.0)
    return taken


def test_a_sensor_of_ten_a_second_is_shown_reading_by_reading() -> None:
    """Each look comes in the instant of its change."""
    taken = looks(0.1)
    assert taken == pytest.approx([0.1 * at for at in range(1, 101)])


@pytest.mark.parametrize("nudges", [1, 50])
def test_a_flood_of_changes_is_twenty_looks_a_second(nudges: int) -> None:
    """A practice at a thousand times; the last change is seen all the same."""
    taken = looks(0.001, nudges=nudges, to_s=2.0)
    assert min(b - a for a, b in pairwise(taken)) >= LEAST_S - 1e-9
    assert len(taken) <= 2.0 / LEAST_S + 2
    assert taken[-1] >= 2.0


def test_a_look_that_takes_long_is_taken_less_often() -> None:
    """At most a quarter of the time goes into looks."""
    taken = looks(0.01, took_s=0.1)
    assert len(taken) * 0.1 <= 11.0 / 4 + 0.1


def test_the_tick_looks_only_where_nobody_nudged() -> None:
    """Four looks a second without a change, no more with four changes a second."""
    loop, taken = FakeLoop(), []
    nudge = Nudge(loop, lambda: taken.append(loop.now_s))  # type: ignore[arg-type]
    for at in range(1, 41):
        loop.to(at * 0.25)
        nudge.tick(0.25)
    assert len(taken) == 40
    taken.clear()
    for at in range(41, 81):
        loop.to(at * 0.25 - 0.05)
        nudge.nudge()
        loop.to(at * 0.25)
        nudge.tick(0.25)
    assert len(taken) == 40


def test_a_nudge_after_the_end_is_nobodys_business() -> None:
    """The driver may outlive the screen by a moment."""
    loop = asyncio.new_event_loop()
    nudge = Nudge(loop, lambda: pytest.fail("looked"))
    loop.close()
    nudge.nudge()


@pytest.mark.slow
def test_a_change_told_from_the_drivers_thread_is_on_the_screen() -> None:
    """Through the running application: nobody calls `look` here, and the tick is stopped."""
    session = fd.waiting(312.0)

    async def script(keys: Keyboard) -> None:
        for timer in list(keys.app._timers):
            timer.stop()
        assert shown(keys) is Phase.WAIT
        keys.desk.now = session.read(250.0, 30.0).snapshot()
        (changed,) = keys.desk.changed
        thread = threading.Thread(target=changed)
        thread.start()
        thread.join()
        await keys.pilot.pause(2 * LEAST_S)
        assert shown(keys) is session.state.phase
        assert shown(keys) is not Phase.WAIT

    def shown(keys: Keyboard) -> Phase:
        view = keys.app.live.seen
        assert view is not None
        return view.phase

    play(session, script)
