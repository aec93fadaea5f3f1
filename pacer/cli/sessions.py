"""practice and run: sessions that begin a recording; or `run` goes on with one."""

from __future__ import annotations

import argparse
import secrets
import sys
from datetime import datetime
from pathlib import Path

from pacer.cli.going_on import go_on, go_on_named, offered
from pacer.cli.hands import check_hands, chosen
from pacer.cli.running import elsewhere, run_session
from pacer.cli.sensors.matching import correct, in_head, told_corrections
from pacer.cli.told import need_terminal, times_real
from pacer.clock import BootClock, Clock
from pacer.errors import RecordingError, UserInputError
from pacer.job.job import Job
from pacer.recording.writing.refused import instead
from pacer.run.opening import Started, head, start
from pacer.screen.desk import Kind
from pacer.sensor.source import Source
from pacer.settings import Settings, read_settings
from pacer.text import clean


def practice(args: argparse.Namespace) -> int:
    """The whole job on a simulated part."""
    if not args.no_screen:
        need_terminal()
    from pacer.job.file.read import read_job
    from pacer.sensor.practice.source import open_practice, practice_job

    job = read_job(args.job) if args.job else practice_job()
    settings = chosen(args, read_settings())
    check_hands(settings, "practice:")
    speed = _speed(args.speed, screen=not args.no_screen)
    source = open_practice(job, seed=args.seed, speed=speed, spoil=args.spoil)
    return _new_session(args, job, source, BootClock(), settings, kind="practice")


def _speed(text: str | None, *, screen: bool) -> float | None:
    """Return session seconds a real second; 0 as fast as it can, None by phase."""
    if text is None:
        return None if screen else 0.0
    if text == "auto":
        return None
    return times_real(text, 0.0, 10_000.0)


def run(args: argparse.Namespace) -> int:
    """A live session, new or taken up again."""
    if not (args.job or args.resume):
        raise UserInputError("run: name a job file, or --resume and the recording to go on with")
    if not args.no_screen:
        need_terminal()
    from pacer.job.file.read import read_job
    from pacer.job.warn import warnings
    from pacer.sensor.open import open_source

    if args.resume:
        return go_on_named(args)
    job = read_job(args.job)
    settings = chosen(args, read_settings())
    url = args.sensor or job.sensor.url
    check_hands(settings, url)
    found = offered(args, job, settings)
    if found is not None:
        return go_on(args, found, url, settings)
    if args.away is not None:
        raise UserInputError("--away goes with --resume: a new session has not stood anywhere yet")
    for line in warnings(job):
        print(f"pacer: note: {line}", file=sys.stderr)
    clock = BootClock()
    corrections = told_corrections(url, settings, clock)
    source = open_source(url, clock, job=job, fail_fast=args.no_screen)
    correct(source, corrections)
    kind: Kind = "practice" if source.invented else "live"
    return _new_session(args, job, source, clock, settings, kind=kind)


def _new_session(
    args: argparse.Namespace,
    job: Job,
    source: Source,
    clock: Clock,
    settings: Settings,
    *,
    kind: Kind,
) -> int:
    def begin(settings: Settings) -> Started:
        wall = clock.wall()
        effect = settings.had_effect(screen=not args.no_screen, plugs=True)
        effect |= in_head(source.channel)
        opened = head(job, source, wall, settings=effect)
        return start(_out_path(args, settings, wall), opened, elsewhere(settings))

    return run_session(args, begin, source, clock, settings, kind=kind)


def _out_path(args: argparse.Namespace, settings: Settings, wall: datetime) -> Path:
    if args.out:
        return Path(args.out)
    # The name is ours: a job's title never becomes a path. With the offset, since one night a
    # year has an hour twice.
    name = f"{wall.astimezone():%Y%m%d-%H%M%S%z}-{secrets.token_hex(2)}.jsonl"
    try:
        settings.recordings.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        folder = clean(str(settings.recordings))
        raise RecordingError(
            f"{folder}: cannot be made: {clean(str(error.strerror))}; "
            f"{instead(settings.recordings / name, elsewhere(settings))}"
        ) from None
    return settings.recordings / name
