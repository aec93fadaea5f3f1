"""Make a recording from another logger's readings: folded headlessly, cues and all."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import msgspec

from pacer.clock import BootClock
from pacer.job.job import Job
from pacer.recording.exchange.incoming import Imported, Row
from pacer.run.driver import Driver
from pacer.run.opening import IMPORTED, head, start
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
        self._rows = self.rows.rows()
        self._next: Row | None = next(self._rows, None)
        self._t_s = 0.0

    @property
    def finished(self) -> bool:
        return self._next is None

    def clock(self) -> float:
        return self._t_s

    def read(self, until_s: float | None) -> list[Heard]:
        if self._next is None:
            return []
        t_s, temp_c = self._next
        if until_s is not None and t_s > until_s:
            self._t_s = max(self._t_s, until_s)
            return []
        self._next, self._t_s = next(self._rows, None), t_s
        status: Status = "ok" if temp_c is not None else "open"
        return [Heard(t_s, Reading(t_ms=0, raw=(temp_c,), status=status))]

    def hear(self, cue: Cue) -> None: ...

    def post(self, event: AnyEvent) -> None: ...

    def set_line(self, name: str, on: bool) -> None: ...

    def close(self) -> None: ...


class _NoClock:
    """An import has no now: everything is stamped with one moment, that of session time 0."""

    name = "source"

    def __init__(self, wall: datetime) -> None:
        self._wall = wall

    def now_s(self) -> float:
        return 0.0

    def wall(self) -> datetime:
        return self._wall

    def skip(self, by_s: float) -> None: ...


def record(
    rows: Imported, job: Job, phase: StartPhase, out: Path, settings: Settings, name: str
) -> None:
    """Write the recording, its wall time that of the first row where rows have dates.

    Raises `RecordingError` if `out` exists or can't be written.
    """
    dated = rows.start
    wall = BootClock().wall() if dated is None else dated.astimezone(UTC)
    source = _Rows(rows, f"{IMPORTED}{name}")
    opened = head(job, source, wall, settings=settings.had_effect(), start_phase=phase)
    if dated is not None:
        opened = msgspec.structs.replace(opened, tz=dated.isoformat()[-6:])
    started = start(out, opened)
    Driver(
        log=started.log,
        source=source,
        clock=_NoClock(wall),
        state=started.state,
        cues=started.cues,
        shown=Shown(settings.units),
    ).run()
