"""A live session lived through at random: sleeps, clocks set, kills, goings-on; made from a seed.

Its numbers are invented (`walks.Walk`). The driver is the real one over an injected clock:
nothing waits.
"""

from __future__ import annotations

import random  # noqa: TID251 - seeded
from collections.abc import Iterator, Sequence
from datetime import timedelta
from functools import partial
from pathlib import Path
from typing import NamedTuple

import msgspec
from driving import Driven, drive
from fakes import Doing, FakeClock, FakeSink, FakeSource, QuietDisk
from walks import JOBS, SOURCES, Walk, job_named

from pacer.errors import RecordingError
from pacer.recording.writing.writer import Log
from pacer.run.driver import Driver
from pacer.run.opening import resume, unfinished
from pacer.session.events import Act, AnyEvent, ClockGap, Outcome, Resumed
from pacer.session.state import State
from pacer.units import Shown

_SETS_S = (-3600.0, -3.0, -1.0, 3.0, 10.0, 3600.0, 86_400.0)
_AWAY_S = (0.0, 1.0, 4.0, 60.0, 200.0, 20_000.0, 100_000.0, -5000.0)
_SAID_S = (None, None, None, 0.0, 100.0, 3600.0)

Told = list[tuple[float, AnyEvent | Doing]]


class Lived(NamedTuple):
    """A session up to a kill or to its end."""

    state: State
    "As the live driver had it."
    ended: bool


class _Source(FakeSource):
    """A live source, or one whose lines carry their own time."""

    def __init__(self, clock: FakeClock, told: Told, source: str, *, timed: bool) -> None:
        super().__init__(clock, told)
        self.channel = SOURCES[source].get("channel", self.channel)
        self.hand = bool(SOURCES[source].get("hand", False))
        self.clk = "source" if timed else "boottime"


def lives(path: Path, seed: int) -> Iterator[Lived]:
    """Yield a session at each kill, and at its end: by then `path` holds what it wrote."""
    chance = random.Random(seed)
    job, source = job_named(chance.choice(JOBS)), chance.choice(list(SOURCES))
    timed = chance.random() < 0.2
    legs = chance.choice((1, 1, 2, 3))
    clock = _clock(chance, 0.0)
    driven: Driven | None = None
    for leg in range(legs):
        if driven is not None:
            if chance.random() < 0.5:
                _cut(path, chance.randrange(60))
            try:
                found = unfinished(path)
            except RecordingError:
                # It is done: uncovered when cool enough.
                return
            if chance.random() < 0.2:
                _outcome(path)
                found = unfinished(path)
            wall = clock.wall() + timedelta(seconds=chance.choice(_AWAY_S))
            bridge = found.bridge(wall, chance.choice(_SAID_S))
            clock = _clock(chance, bridge.to_s, wall=wall)
        events = Walk(source, seed * 8 + leg).events(chance.choice((10, 60)))
        heard = _Source(clock, _told(events, clock, chance), source, timed=timed)
        sinks = [FakeSink("tone", chance.choice((3, 10**9)))]
        if driven is None:
            driven = drive(path, job, heard, clock, sinks)
        else:
            started = resume(found, bridge, heard, Shown("metric"))
            driver = Driver(
                log=started.log,
                source=heard,
                clock=clock,
                state=started.state,
                cues=started.cues,
                told=started.told,
                sinks=sinks,
                trend=started.trend,
            )
            driven = Driven(driver, started.log, heard, clock, QuietDisk())
        ended = chance.random() < 0.4 and leg == legs - 1
        if ended:
            driven.driver.run()
        else:
            _turns(driven, chance.randrange(1, 300))
        yield Lived(driven.driver.snapshot().state, ended)


def _clock(chance: random.Random, t_s: float, **wall: object) -> FakeClock:
    clock = FakeClock(t_s, **wall)  # type: ignore[arg-type]
    # One that counts through a suspend, and one that may not (`pacer/clock.py`).
    clock.name = chance.choice(("boottime", "monotonic"))
    return clock


def _told(events: Sequence[AnyEvent], clock: FakeClock, chance: random.Random) -> Told:
    """Return a walk as it is heard live: its gaps are slept through, its goings-on left out."""
    from_s, told = clock.now_s(), Told()
    for event in events:
        t_s = from_s + event.t_s
        if isinstance(event, ClockGap):
            told.append((t_s, partial(_sleep, clock, event.to_s - event.t_s)))
        elif isinstance(event, Act) and event.deed == "note":
            told.append((t_s, partial(clock.set_wall, chance.choice(_SETS_S))))
        elif not isinstance(event, Resumed):
            told.append((t_s, msgspec.structs.replace(event, t_ms=0)))
    return told


def _sleep(clock: FakeClock, length_s: float) -> None:
    if clock.name == "boottime":
        clock.to(clock.now_s() + length_s)
    else:
        clock.set_wall(length_s)


def _turns(driven: Driven, count: int) -> None:
    """Drive for a while and break off, as a kill does."""
    for _ in range(count):
        if driven.source.finished:
            break
        driven.driver.turn()
    driven.log.close()


def _cut(path: Path, count: int) -> None:
    """Take some bytes away, but nothing of the head."""
    whole = path.read_bytes()
    path.write_bytes(whole[: max(whole.index(b"\n") + 1, len(whole) - count)])


def _outcome(path: Path) -> None:
    """Write down what became of the repair, as somebody may before it goes on."""
    found = unfinished(path)
    log = Log(path, found.recording.head, resume=found.recording, disk=QuietDisk())
    log.append(Outcome(t_ms=found.folded.last_ms, found="no crack found"), 0.0)
    log.close()
