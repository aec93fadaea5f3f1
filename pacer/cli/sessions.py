"""practice, run, and cool on the screen: sessions that write a recording."""

from __future__ import annotations

import argparse
import secrets
import signal
import sys
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
from pacer.errors import PacerError, RecordingError, UserInputError
from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.run.driver import Driver
from pacer.run.opening import Started, Unfinished, head, resume, start, unfinished
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
    if not args.no_screen:
        need_terminal()
    from pacer.job.file.read import read_job
    from pacer.job.warn import warnings
    from pacer.sensor.open import open_source

    job = read_job(args.job)
    settings = chosen(args, read_settings())
    url = args.sensor or job.sensor.url
    check_hands(settings, url)
    for line in warnings(job):
        print(f"pacer: note: {line}", file=sys.stderr)
    found = _to_resume(args, job, settings)
    if found is not None:
        return _resumed_session(args, found, url, settings)
    clock = BootClock()
    corrections = told_corrections(url, settings, clock)
    source = open_source(url, clock, job=job, fail_fast=args.no_screen)
    correct(source, corrections)
    kind: Kind = "practice" if source.invented else "live"
    return _new_session(args, job, source, clock, settings, kind=kind)


def _to_resume(args: argparse.Namespace, job: Job, settings: Settings) -> Unfinished | None:
    """Return the recording to go on with: named with --resume, or offered and accepted."""
    wall = BootClock().wall()
    if args.resume:
        if not args.out:
            raise UserInputError("--resume goes with --out, the recording to go on with")
        found = unfinished(Path(args.out), wall)
        if found.recording.head.job != job:
            raise UserInputError(f"{found.recording.name}: was made for another job file")
        return found
    if args.no_screen or args.out or not sys.stdin.isatty():
        return None
    for path in sorted(settings.recordings.glob("*.jsonl"), reverse=True)[:5]:
        try:
            found = unfinished(path, wall)
        except PacerError:
            continue
        if found.recording.head.job == job:
            accepted = _offered(found, Shown(settings.units))
            # Asked again for the time: the answer took its own.
            return unfinished(path, BootClock().wall()) if accepted else None
    return None


def _offered(found: Unfinished, shown: Shown) -> bool:
    state = found.folded.state
    ago = shown.duration(found.to_s - found.folded.last_ms / 1000)
    print(f"{found.recording.name} is unfinished: {state.phase}, {state.work.laid} beads laid,")
    try:
        answer = input(f"last record {ago} ago. Go on with it? [y/N] ")
    except EOFError:
        return False
    return answer.strip().casefold() in {"y", "yes"}


def go_on_cooling(args: argparse.Namespace, recording: Recording) -> int:
    """`pacer cool REC` on a screen: go on with an unfinished recording, or replay its end."""
    settings = chosen(args, read_settings())
    if recording.head.invented:
        raise UserInputError(
            f"{recording.name}: a {recording.head.invented}; see it with pacer replay, "
            "or ask with pacer cool --no-screen"
        )
    found = unfinished(recording.path, BootClock().wall())
    url = args.sensor or recording.head.job.sensor.url
    args.no_screen = False
    check_hands(settings, url)
    return _resumed_session(args, found, url, settings)


def _resumed_session(
    args: argparse.Namespace, found: Unfinished, url: str, settings: Settings
) -> int:
    from pacer.sensor.open import open_source

    clock = BootClock(zero_s=found.to_s)
    job = found.recording.head.job
    corrections = told_corrections(url, settings, clock)
    source = open_source(url, clock, job=job, fail_fast=args.no_screen)
    correct(source, corrections)

    def begin(settings: Settings) -> Started:
        return resume(found, source, clock.wall(), Shown(settings.units))

    for line in found.recording.damage.told(found.recording.name):
        print(f"pacer: {line}", file=sys.stderr)
    return _session(args, begin, source, clock, settings, kind="live")


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
        return start(_out_path(args, settings, wall), head(job, source, wall, settings=effect))

    return _session(args, begin, source, clock, settings, kind=kind)


def _session(
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


def _out_path(args: argparse.Namespace, settings: Settings, wall: datetime) -> Path:
    if args.out:
        return Path(args.out)
    # The name is ours: a job's title never becomes a path.
    name = f"{wall.astimezone():%Y%m%d-%H%M%S}-{secrets.token_hex(2)}.jsonl"
    try:
        settings.recordings.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        folder = clean(str(settings.recordings))
        raise RecordingError(
            f"{folder}: cannot be made: {clean(str(error.strerror))}; give --out"
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
    )
    where = clean(str(started.log.path))
    drawn = True
    if args.no_screen:
        for line in hands.off():
            print(f"pacer: note: {line}", file=sys.stderr)
        _on_signals(driver.ask_to_stop)
        driver.run()
    else:
        drawn = _on_screen(driver, shown, settings, hands, kind)
    trouble = started.log.trouble
    print(f"pacer: recorded in {clean(str(started.log.path))}", file=sys.stderr)
    if trouble:
        print(f"pacer: {where}: {trouble}", file=sys.stderr)
        return 1
    return 0 if drawn else 1


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
