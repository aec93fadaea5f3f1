"""practice, run, and cool on the screen: sessions that write a recording."""

from __future__ import annotations

import argparse
import os
import secrets
import signal
import sys
import tempfile
import threading
from collections.abc import Callable
from contextlib import ExitStack
from datetime import datetime
from functools import partial
from pathlib import Path

from pacer.cli.hands import Hands, at_the_table, check_hands, chosen, open_hands
from pacer.cli.sensors.matching import correct, in_head, told_corrections
from pacer.cli.told import need_terminal, times_real
from pacer.clock import BootClock, Clock
from pacer.errors import RecordingError, UserInputError
from pacer.job.job import Job
from pacer.recording.refused import instead
from pacer.recording.writer import Log
from pacer.run.driver import Driver
from pacer.run.opening import Started, head, start
from pacer.screen.desk import Kind, why_ended
from pacer.screen.words import cue_line
from pacer.sensor.source import Source
from pacer.settings import Settings, read_settings
from pacer.sound.sink import Lines, Sink
from pacer.text import clean
from pacer.units import Shown


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
    from pacer.cli.going_on import go_on, go_on_named, offered
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


def run_session(
    args: argparse.Namespace,
    begin: Callable[[Settings], Started],
    source: Source,
    clock: Clock,
    settings: Settings,
    *,
    kind: Kind,
) -> int:
    """Open what hangs at the table, then the recording; where one fails nothing stays open."""
    settings = at_the_table(args, settings, source)
    with ExitStack() as undo:
        undo.callback(source.close)
        hands = open_hands(settings, source, screen=not args.no_screen)
        undo.callback(hands.give_up)
        started = begin(settings)
        undo.pop_all()
    try:
        return _drive(args, started, source, clock, settings, hands, kind=kind)
    finally:
        hands.close()


def elsewhere(settings: Settings) -> tuple[Path, ...]:
    """Return where a recording goes on when its own folder fails, in this order."""
    return settings.recordings, Path.home(), Path(tempfile.gettempdir())


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


def _drive(
    args: argparse.Namespace,
    started: Started,
    source: Source,
    clock: Clock,
    settings: Settings,
    hands: Hands,
    *,
    kind: Kind,
) -> int:
    shown = Shown(settings.units)
    lines = [Lines(_print_line, lambda cue: cue_line(cue, shown))] if args.no_screen else []
    driver = Driver(
        log=started.log,
        source=source,
        clock=clock,
        state=started.state,
        cues=started.cues,
        told=started.told,
        kind=kind,
        shown=shown,
        sinks=[*lines, *hands.sinks],
        off=hands.off,
        trend=started.trend,
    )
    log = started.log
    drawn = True
    if log.unlocked:
        name = clean(log.path.name)
        print(
            f"pacer: note: {name}: this drive keeps no locks; no second pacer would be refused",
            file=sys.stderr,
        )
    if args.no_screen:
        for line in hands.off():
            print(f"pacer: note: {line}", file=sys.stderr)
        _on_signals(driver.ask_to_stop)
        driver.run()
    else:
        drawn = _on_screen(driver, shown, settings, hands, kind)
    _tell_where(log)
    return 0 if drawn and not log.trouble else 1


def _tell_where(log: Log) -> None:
    """Say which file holds the session, and what became of the one it began in."""
    name, began = clean(str(log.path)), clean(str(log.began))
    print(f"pacer: recorded in {name}", file=sys.stderr)
    if log.path != log.began and os.path.lexists(log.began):
        print(f"pacer: {began}: holds the part up to the fault", file=sys.stderr)
    if log.trouble:
        print(f"pacer: {name}: {log.trouble}", file=sys.stderr)


def _print_line(line: str) -> None:
    print(line, flush=True)


def _on_signals(stop: Callable[[str], None]) -> None:
    """Close the recording properly when told to end, by whom in its own words."""
    for name in ("SIGTERM", "SIGHUP", "SIGINT"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), partial(_stop_for, stop, why_ended(name)))


def _stop_for(stop: Callable[[str], None], why: str, *_: object) -> None:
    stop(why)


def _on_screen(driver: Driver, shown: Shown, settings: Settings, hands: Hands, kind: Kind) -> bool:
    """Drive in a thread of its own while the screen is up; False if the screen failed."""
    from pacer.cli.screens import show
    from pacer.run.watchdog import watched
    from pacer.sound.open import spare_bell

    fault: list[BaseException] = []

    def drive() -> None:
        try:
            driver.run()
        except BaseException as error:  # the screen must end too, then the fault is raised
            fault.append(error)

    def add_bell(bell: Sink) -> None:
        if settings.sound != "off":
            driver.add_sink(spare_bell(bell, hands.sinks))

    thread = threading.Thread(target=drive, name="driver", daemon=True)
    thread.start()
    try:
        with watched(driver, BootClock()):
            drawn = show(driver, shown, settings, add_bell, hands.sinks, check=kind == "live")
    finally:
        driver.stop()
        thread.join(timeout=10)
    if fault:
        raise fault[0]
    return drawn
