"""A driver over a live port, in a few lines; its log can be watched."""

from __future__ import annotations

import threading
from pathlib import Path

from fakes import QuietDisk

from pacer.clock import Clock
from pacer.job.job import Job
from pacer.recording.writing.writer import Log
from pacer.run.driver import Driver
from pacer.run.opening import head
from pacer.sensor.source import Source
from pacer.session.events import Act, AnyEvent, Reading
from pacer.session.fold import begin


class NotedLog(Log):
    """The real log; notes when a key is written down, and the last values."""

    newest: tuple[float | str | None, ...] = ()

    def watch(self) -> threading.Event:
        """Return what is set when a key is written."""
        self.key_written = threading.Event()
        return self.key_written

    def append(self, event: AnyEvent, now_s: float) -> AnyEvent:
        """Write, and note it."""
        if isinstance(event, Act):
            self.key_written.set()
        if isinstance(event, Reading):
            self.newest = event.raw
        return super().append(event, now_s)


def driver_of(path: Path, job: Job, source: Source, clock: Clock) -> tuple[Driver, NotedLog]:
    """Return a driver at the start of a new recording."""
    opened = head(job, source, clock.wall(), settings={})
    log = NotedLog(path, opened, disk=QuietDisk())
    log.watch()
    state, cues = begin(opened)
    return Driver(log=log, source=source, clock=clock, state=state, cues=cues), log
