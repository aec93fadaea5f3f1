"""Make a recording from another logger's readings: folded headlessly, cues and all."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from pacer.clock import BootClock
from pacer.job.job import Job
from pacer.recording.exchange import Imported
from pacer.run.driver import Driver
from pacer.run.opening import head, start
from pacer.sensor.source import Heard
from pacer.session.cues import Cue
from pacer.session.events import AnyEvent, Channel, Reading, StartPhase, Status
from pacer.settings import Settings
from pacer.units import Shown


@dataclass
class _Rows:
    """Imported rows as a timed source."""

    rows: Imported
    url: str

    hand = False
    clk = "source"
    invented = ""
    channel = Channel(name="", unit="degC")

    def __post_init__(self) -> None:
        self.period_s = self.rows.period_s
        self._next = 0
        self._t_s = 0.0

    @property
    def finished(self) -> bool:
        return self._next >= len(self.rows.rows)

    def clock(self) -> float:
        return self._t_s

    def read(self, until_s: float | None) -> list[Heard]:
        if self.finished:
            return []
        t_s, temp_c = self.rows.rows[self._next]
        if until_s is not None and t_s > until_s:
            self._t_s = max(self._t_s, until_s)
            return []
        self._next += 1
        self._t_s = t_s
        status: Status = "ok" if temp_c is not None else "open"
        return [Heard(t_s, Reading(t_ms=0, raw=(temp_c,), status=status))]

    def hear(self, cue: Cue) -> None: ...

    def post(self, event: AnyEvent) -> None: ...

    def set_line(self, name: str, on: bool) -> None: ...

    def close(self) -> None: ...


class _NoClock:
    """An import has no now: everything is stamped with the moment of importing."""

    name = "source"

    def __init__(self, wall: datetime) -> None:
        self._wall = wall

    def now_s(self) -> float:
        return 0.0

    def wall(self) -> datetime:
        return self._wall


def record(
    rows: Imported, job: Job, phase: StartPhase, out: Path, settings: Settings, name: str
) -> None:
    """Write the recording; raises `RecordingError` if `out` exists or can't be written."""
    wall = BootClock().wall()
    source = _Rows(rows, f"import:{name}")
    opened = head(job, source, wall, settings=settings.had_effect(), start_phase=phase)
    started = start(out, opened)
    Driver(
        log=started.log,
        source=source,
        clock=_NoClock(wall),
        state=started.state,
        cues=started.cues,
        shown=Shown(settings.units),
    ).run()
