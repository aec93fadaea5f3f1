"""The real screen, refreshed for an hour's worth of looks, keeps nothing of what it drew."""

from __future__ import annotations

import asyncio
import gc
import tracemalloc
from collections import Counter, deque

import fake_desk as fd
import pytest

from pacer.run.memo import Foresight
from pacer.run.trend import Trend
from pacer.screen.app import PacerApp
from pacer.screen.desk import Snapshot
from pacer.session.cues import Cue
from pacer.session.work import Phase
from pacer.units import Shown

LOOKS = 14_400
LOOK_S = 0.25
MOST_BYTES = 1_000_000
MOST_OBJECTS = 200
"""More of one kind after half the looks than a full cache or a dozen beads explain."""


class MovingDesk(fd.FakeDesk):
    """A session that moves on by a quarter second a look: bead after bead, each by a press."""

    def __init__(self) -> None:
        self._session = fd.ready()
        self._cues: deque[Cue] = deque(maxlen=20)
        self._trend = Trend()
        super().__init__(self._session.snapshot())

    def snapshot(self) -> Snapshot:
        """Fold the next reading; press when READY has stood for two seconds."""
        session, work = self._session, self._session.state.work
        session.t_s += LOOK_S
        session.raw(262.0 + (session.t_s % 7.0) - 2.0)
        if work.phase is Phase.READY and session.t_s - work.entered_s > 2.0:
            session.press("next")
        self._trend.add(session.state)
        self._cues.extend(session.cues)
        session.cues.clear()
        return session.snapshot(trend=self._trend.points(), cues=tuple(self._cues))


def kinds() -> Counter[str]:
    """Return how many objects of each type the collector knows of."""
    gc.collect()
    return Counter(type(thing).__qualname__ for thing in gc.get_objects())


@pytest.mark.full
def test_fourteen_thousand_looks_leave_nothing_behind() -> None:
    """The second half keeps under 1 MB, and no kind of object grows in number."""

    async def run() -> tuple[int, Counter[str]]:
        desk = MovingDesk()
        app = PacerApp(desk, Shown("metric"), Foresight())
        painted = asyncio.Event()
        async with app.run_test(size=(100, 30)):
            for look in range(LOOKS):
                if look == LOOKS // 2:
                    tracemalloc.start()
                if look == LOOKS // 2 + 200:
                    # What was there before the tracing has been replaced once by now.
                    before = tracemalloc.get_traced_memory()[0]
                    objects = kinds()
                app.look()
                painted.clear()
                app.live.call_after_refresh(painted.set)
                await painted.wait()
            grown = kinds()
            grown.subtract(objects)
            return tracemalloc.get_traced_memory()[0] - before, grown

    try:
        grown_bytes, grown = asyncio.run(run())
    finally:
        tracemalloc.stop()

    assert grown_bytes < MOST_BYTES
    assert {kind: n for kind, n in grown.items() if n > MOST_OBJECTS} == {}
