"""A driver over a timed script or a fake source, in a few lines."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from fakes import Doing, FakeClock, FakeSource, QuietDisk

from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.recording.writing.writer import Log
from pacer.run.audit import differences
from pacer.run.driver import Driver
from pacer.run.opening import head
from pacer.run.refold import refold
from pacer.sensor.open import open_source
from pacer.sensor.source import Source
from pacer.session.events import Act, AnyEvent, CueTold, Reading
from pacer.session.fold import begin
from pacer.sound.sink import Sink


@dataclass
class Driven:
    """A driver and all that belongs to it."""

    driver: Driver
    log: Log
    source: Source
    clock: FakeClock
    disk: QuietDisk

    def events(self) -> list[AnyEvent]:
        """Return what is on disk, which must be whole and in order of time."""
        recording = Recording(self.log.path)
        events = list(recording.events())
        assert recording.damage.sound, recording.damage.told("recording")
        assert all(a.t_ms <= b.t_ms for a, b in pairwise(events)), "b fell"
        return events

    def told(self) -> list[str]:
        """Return the cues on disk as `time KIND`."""
        return [f"{e.t_s:.3f} {e.kind}" for e in self.events() if isinstance(e, CueTold)]


def drive(
    path: Path,
    job: Job,
    source: Source,
    clock: FakeClock,
    sinks: Sequence[Sink] = (),
    elsewhere: Sequence[Path] = (),
) -> Driven:
    """Return a driver at the start of a new recording, not yet running."""
    opened = head(job, source, clock.wall(), settings={"units": "metric"})
    disk = QuietDisk()
    log = Log(path, opened, elsewhere=elsewhere, disk=disk)
    state, cues = begin(opened)
    driver = Driver(log=log, source=source, clock=clock, state=state, cues=cues, sinks=sinks)
    return Driven(driver, log, source, clock, disk)


def live(
    path: Path,
    job: Job,
    told: Iterable[tuple[float, AnyEvent | Doing]],
    clock: FakeClock | None = None,
    sinks: Sequence[Sink] = (),
    elsewhere: Sequence[Path] = (),
) -> Driven:
    """Return a driver over a fake live source."""
    clock = clock or FakeClock()
    return drive(path, job, FakeSource(clock, told), clock, sinks, elsewhere)


def scripted(path: Path, job: Job, script: str, sinks: Sequence[Sink] = ()) -> Driven:
    """Return a driver over a timed `file:` script."""
    lines = path.with_suffix(".script")
    lines.write_text(script, encoding="utf-8")
    clock = FakeClock()
    source = open_source(f"file:{lines}?time=first", clock, fail_fast=True)
    return drive(path, job, source, clock, sinks)


def hot_script(to_s: int = 130) -> str:
    """Return a hot repair by hand: READY at 72 s, one bead of 10 s from 74 s, peened to 100 s.

    Preheat as in `telling.ready`: 262 °C from 9 s, the median passes 260 °C at 10 s, held 2 s;
    60 s of soak end at 72 s. Bead 25 mm at 150 mm/min = 10 s; 15 s of peening.
    """
    lines = ["0,20.0", "1,!next"]
    for t_s in range(2, to_s + 1):
        lines.append(f"{t_s},{150.0 if t_s < 9 else 262.0}")
        if t_s == 74:
            lines.append("74,!next")
        if t_s == 85:
            lines.append("85.5,!next")
    return "\n".join(lines) + "\n"


def hot_told(to_s: int) -> list[tuple[float, AnyEvent | Doing]]:
    """Return the same session as heard live."""
    told: list[tuple[float, AnyEvent | Doing]] = []
    for line in hot_script(to_s).splitlines():
        time, what = line.split(",")
        event: AnyEvent = Act(t_ms=0, deed="next")
        if not what.startswith("!"):
            event = Reading(t_ms=0, raw=(float(what),), status="ok")
        told.append((float(time), event))
    return told


def steady(from_s: float, to_s: float, temp_c: float) -> list[tuple[float, AnyEvent | Doing]]:
    """Return a reading each second from `from_s` up to, not including, `to_s`."""
    count = round(to_s - from_s)
    return [(from_s + i, Reading(t_ms=0, raw=(temp_c,), status="ok")) for i in range(count)]


def press_next(t_s: float) -> tuple[float, AnyEvent | Doing]:
    """Return one press at `t_s`."""
    return (t_s, Act(t_ms=0, deed="next"))


def at_ready() -> list[tuple[float, AnyEvent | Doing]]:
    """READY at 72 s (`driving.hot_script` does the sum)."""
    return [*steady(0, 1, 20.0), press_next(1), *steady(2, 9, 150.0), *steady(9, 73, 262.0)]


def same_again(driven: Driven) -> None:
    """A replay of what is on disk tells exactly the cues that were told."""
    events = driven.events()
    folded = refold(driven.log.opened, events)
    assert differences(folded.cues, folded.recorded) == []
