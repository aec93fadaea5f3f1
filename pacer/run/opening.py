"""Start a recording, or take one up again."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from pacer import __version__
from pacer.errors import RecordingError
from pacer.job.job import Job
from pacer.recording.codec import VERSION
from pacer.recording.reader import Recording
from pacer.recording.writer import Log
from pacer.run.refold import Refolded, cue_told, refold, untold
from pacer.sensor.source import Source
from pacer.session.cues import Cue
from pacer.session.events import AnyEvent, ClockGap, Opened, Resumed, StartPhase
from pacer.session.fold import begin, step
from pacer.session.forecast import priors
from pacer.session.state import State
from pacer.session.work import Phase
from pacer.text import clean
from pacer.units import Shown


@dataclass(frozen=True, slots=True)
class Started:
    """A log open for writing and the state it has come to."""

    log: Log
    state: State
    cues: tuple[Cue, ...]
    told: int
    "How many of the cues are in the log already."


def head(
    job: Job,
    source: Source,
    wall: datetime,
    *,
    settings: dict[str, str],
    start_phase: StartPhase = "prepare",
) -> Opened:
    """Return the head of a new recording: everything known before the first reading."""
    local = wall.astimezone()
    offset = local.strftime("%z") or "+0000"
    return Opened(
        v=VERSION,
        sid=secrets.token_hex(8),
        app=f"pacer {__version__}",
        wall=wall.isoformat(timespec="milliseconds"),
        job=job,
        channel=source.channel,
        source=clean(source.url),
        tz=f"{offset[:3]}:{offset[3:5]}",
        clk=source.clk,
        start_phase=start_phase,
        period_s=source.period_s,
        hand=source.hand,
        invented=source.invented,
        settings=settings,
        priors=priors(job),
    )


def start(path: Path, opened: Opened) -> Started:
    """Create the recording; raises `RecordingError` with the cause before any heat."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        folder, why = clean(str(path.parent)), clean(error.strerror or str(error))
        raise RecordingError(f"{folder}: this folder cannot be made: {why}") from None
    log = Log(path, opened)
    state, cues = begin(opened)
    return Started(log=log, state=state, cues=cues, told=0)


@dataclass(frozen=True, slots=True)
class Unfinished:
    """A recording that can go on."""

    recording: Recording
    folded: Refolded
    to_s: float
    "Session time now, by the wall clock's word; the driver's clock starts here."


def unfinished(path: Path, wall: datetime) -> Unfinished:
    """Return what stands in `path` and what session time it is by now.

    Raises `RecordingError` if it is no recording, is simulated, or is done.
    """
    recording = Recording(path)
    name = recording.name
    if recording.head.invented:
        raise RecordingError(f"{name}: a {recording.head.invented}; only a real session goes on")
    events: list[AnyEvent] = list(recording.events())
    folded = refold(recording.head, events)
    if folded.state.phase is Phase.DONE:
        raise RecordingError(f"{name}: this session is done; start a new one")
    then = _last_wall(recording.head, events, folded.last_ms)
    # A wall clock set back while nobody watched must not turn session time back.
    away_s = max(0.0, (wall - then).total_seconds())
    return Unfinished(recording, folded, round(folded.last_ms / 1000 + away_s, 3))


def _last_wall(opened: Opened, events: Sequence[AnyEvent], last_ms: int) -> datetime:
    """Return the wall time of the last record, from the last one that carries it."""
    wall, at_ms = opened.wall, opened.t_ms
    for event in events:
        stamp = getattr(event, "wall", None)
        if stamp and not isinstance(event, ClockGap):
            wall, at_ms = stamp, event.t_ms
    return datetime.fromisoformat(wall) + timedelta(milliseconds=last_ms - at_ms)


def resume(found: Unfinished, source: Source, wall: datetime, shown: Shown) -> Started:
    """Go on with a recording: set a torn tail aside, then write the gap and the resumption.

    Cues that were due before the end but are not on disk are written, not sounded.
    """
    log = Log(found.recording.path, found.recording.head, resume=found.recording)
    state = found.folded.state
    cues = list(found.folded.cues)
    for cue in untold(found.folded):
        log.append(cue_told(cue, shown), source.clock())
    last_ms = found.folded.last_ms
    to_ms = round(found.to_s * 1000)
    news: tuple[AnyEvent, ...] = (
        ClockGap(t_ms=last_ms, to_ms=to_ms, why="the program was not running"),
        Resumed(
            t_ms=to_ms,
            wall=wall.isoformat(timespec="milliseconds"),
            cut=log.cut,
            channel=source.channel,
            hand=source.hand,
            source=clean(source.url),
        ),
    )
    for event in news:
        state, more = step(state, log.append(event, source.clock()))
        cues.extend(more)
    return Started(log=log, state=state, cues=tuple(cues), told=len(found.folded.cues))
