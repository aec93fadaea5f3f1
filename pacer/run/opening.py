"""Start a recording, or take one up again."""

from __future__ import annotations

import secrets
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from pacer import __version__
from pacer.clock import stamp, utc_offset
from pacer.errors import RecordingError
from pacer.job.job import Job
from pacer.recording.codec import VERSION
from pacer.recording.limits import PERIOD_S
from pacer.recording.reader import Recording
from pacer.recording.writing.disk import InUse, RealDisk
from pacer.recording.writing.refused import in_use, instead
from pacer.recording.writing.writer import Log
from pacer.run.refold import Refolded, cue_told, refold
from pacer.run.trend import Trend
from pacer.sensor.source import Source
from pacer.session.cues import Cue
from pacer.session.events import (
    LATEST_S,
    Afterwards,
    AnyEvent,
    ClockGap,
    GapBy,
    Opened,
    Recovered,
    Resumed,
    StartPhase,
)
from pacer.session.fold import begin, step
from pacer.session.forecast import priors
from pacer.session.state import State
from pacer.session.work import Phase
from pacer.text import clean
from pacer.units import Shown

APP = f"pacer {__version__}"

IMPORTED = "import:"
"So begins the source of an import."

BEFORE = timedelta(seconds=2)
"""A wall clock may read so much earlier than the last record and still be taken to be right: it
is slewed, and set by less than what a session writes down."""


@dataclass(frozen=True, slots=True)
class Started:
    """A log open for writing and the state it has come to."""

    log: Log
    state: State
    cues: tuple[Cue, ...]
    told: int
    "How many of the cues are in the log already."
    trend: Trend | None = None
    "What was measured before it was taken up again."
    damaged: bool = False
    "It was taken up again, and its recording lacks something."


def head(
    job: Job,
    source: Source,
    wall: datetime,
    *,
    settings: dict[str, str],
    start_phase: StartPhase = "prepare",
) -> Opened:
    """Return the head of a new recording: everything known before the first reading."""
    return Opened(
        v=VERSION,
        sid=secrets.token_hex(8),
        app=APP,
        wall=stamp(wall),
        job=job,
        channel=source.channel,
        source=clean(source.url),
        tz=utc_offset(wall),
        clk=source.clk,
        start_phase=start_phase,
        period_s=_period_s(source.period_s),
        hand=source.hand,
        invented=source.invented,
        settings=settings,
        priors=priors(job),
    )


def _period_s(period_s: float | None) -> float | None:
    """Return a period as a head may have it: of rows at the same time nobody can say one."""
    least_s, most_s = PERIOD_S
    return period_s if period_s is not None and least_s <= period_s <= most_s else None


def start(path: Path, opened: Opened, elsewhere: Sequence[Path] = ()) -> Started:
    """Create the recording; raises `RecordingError` with the cause before any heat.

    `elsewhere` are folders for the case that it can't be written any more.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        folder, why = clean(str(path.parent)), clean(error.strerror or str(error))
        if isinstance(error, FileExistsError):
            why = "it is a file"
        raise RecordingError(
            f"{folder}: this folder cannot be made: {why}; {instead(path, elsewhere)}"
        ) from None
    log = Log(path, opened, elsewhere=elsewhere)
    state, cues = begin(opened)
    return Started(log=log, state=state, cues=cues, told=0)


@dataclass(frozen=True, slots=True)
class Bridge:
    """Session time now, and how the time since the last record is known."""

    to_s: float
    "The driver's clock starts here."
    by: GapBy
    wall: datetime
    "UTC, of the same moment."


@dataclass(frozen=True, slots=True)
class Unfinished:
    """A recording that can go on."""

    recording: Recording
    folded: Refolded
    trend: Trend
    wall: datetime
    "UTC wall time of the last record."
    source: str
    "URL of the sensor last used, as the recording has it."

    @property
    def last_s(self) -> float:
        """Session time of the last record, s."""
        return self.folded.last_ms / 1000

    @property
    def imported(self) -> bool:
        """True where the readings are another logger's: nobody wrote down when they were made."""
        return self.source.startswith(IMPORTED)

    @property
    def interrupted(self) -> bool:
        """True where nobody closed it."""
        return not self.recording.damage.ended

    def bridge(self, wall: datetime, away_s: float | None = None) -> Bridge:
        """Return what session time it is at `wall`; `away_s`: the welder says how long it stood.

        The wall times of an import are the importing's.
        A wall clock that reads earlier than the last record, or many months later, says nothing:
        no length is made up, and session time goes on from that record.
        """
        by: GapBy = "wall"
        passed_s = (wall - self.wall).total_seconds()
        if away_s is not None:
            by, passed_s = "said", away_s
        elif self.imported or self.wall - wall > BEFORE or passed_s > LATEST_S:
            by, passed_s = "unknown", 0.0
        return Bridge(round(self.last_s + max(0.0, passed_s), 3), by, wall)


def unfinished(path: Path) -> Unfinished:
    """Return what stands in `path`.

    Raises `RecordingError` if it is no recording, is simulated, is done, or is being written
    by another pacer, which has its port as well.
    """
    recording = Recording(path)
    opened, name = recording.head, recording.name
    if opened.invented:
        raise RecordingError(f"{name}: a {opened.invented}; only a real session goes on")
    _must_be_free(recording)
    trend = Trend()
    wall, at_ms, source = opened.wall, opened.t_ms, opened.source

    def noted() -> Iterator[AnyEvent]:
        nonlocal wall, at_ms, source
        for event in recording.events():
            said = getattr(event, "wall", None)
            # Those say when they were written, not what session time it was.
            if said and not isinstance(event, Recovered | Afterwards):
                wall, at_ms = said, event.t_ms
            if isinstance(event, Resumed):
                source = event.source
            yield event

    folded = refold(opened, noted(), trend.add)
    work = folded.state.work
    # Covered half-way, cooled and uncovered: the repair goes on another day.
    if work.phase is Phase.DONE and (work.finished or not work.beads):
        raise RecordingError(f"{name}: this session is done; start a new one")
    then = datetime.fromisoformat(wall) + timedelta(milliseconds=folded.last_ms - at_ms)
    return Unfinished(recording, folded, trend, then, source)


def _must_be_free(recording: Recording) -> None:
    disk = RealDisk()
    try:
        disk.close(disk.reopen(recording.path))
    except InUse as error:
        raise in_use(recording, error.pid) from None
    except OSError:
        # Told when it is opened to go on: here it is only looked at.
        pass


def gap_of(found: Unfinished, bridge: Bridge) -> ClockGap:
    """Return the time nobody watched as the recording will have it."""
    return ClockGap(
        t_ms=found.folded.last_ms,
        to_ms=round(bridge.to_s * 1000),
        why="the program was not running",
        by=bridge.by,
    )


def resume(
    found: Unfinished,
    bridge: Bridge,
    source: Source,
    shown: Shown,
    elsewhere: Sequence[Path] = (),
) -> Started:
    """Go on with a recording: write the gap and the resumption after what stands there.

    Cues that were due before the end but are not on disk are written, not sounded.
    `elsewhere` are folders for the case that it can't be written any more.
    """
    log = Log(
        found.recording.path,
        found.recording.head,
        resume=found.recording,
        wall=stamp(bridge.wall),
        elsewhere=elsewhere,
    )
    state = found.folded.state
    cues = list(found.folded.cues)
    for cue in found.folded.untold:
        log.append(cue_told(cue, shown), source.clock())
    gap = gap_of(found, bridge)
    news: tuple[AnyEvent, ...] = (
        gap,
        Resumed(
            t_ms=gap.to_ms,
            wall=stamp(bridge.wall),
            tz=utc_offset(bridge.wall),
            app=APP,
            channel=source.channel,
            hand=source.hand,
            source=clean(source.url),
        ),
    )
    # In one write: a gap alone would be a going-on that never came.
    for event in log.append_all(news, source.clock()):
        state, more = step(state, event)
        cues.extend(more)
        found.trend.add(state)
    return Started(
        log=log,
        state=state,
        cues=tuple(cues),
        told=len(found.folded.cues),
        trend=found.trend,
        damaged=not found.recording.damage.sound,
    )
