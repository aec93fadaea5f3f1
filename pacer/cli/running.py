"""One session from opening what hangs at the table to its close, with a screen or without."""

from __future__ import annotations

import argparse
import os
import signal
import sys
import tempfile
import threading
from collections.abc import Callable
from contextlib import ExitStack
from functools import partial
from pathlib import Path

from pacer.cli.hands import Hands, at_the_table, open_hands
from pacer.clock import BootClock, Clock
from pacer.recording.writing.writer import NOT_SAVED, Log
from pacer.run.driver import Driver
from pacer.run.opening import Started
from pacer.screen.desk import Kind, why_ended
from pacer.screen.words import cue_line
from pacer.sensor.source import Source
from pacer.session.work import Phase, Work
from pacer.settings import Settings
from pacer.sound.sink import Lines, Sink
from pacer.text import clean
from pacer.units import Shown


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
        code, over = _drive(args, started, source, clock, settings, hands, kind=kind)
    finally:
        hands.close()
    if over and kind == "live" and not args.no_screen:
        from pacer.cli.inspection.command import offer

        offer(started.log.path, Shown(settings.units))
    return code


def elsewhere(settings: Settings) -> tuple[Path, ...]:
    """Return where a recording goes on when its own folder fails, in this order."""
    return settings.recordings, Path.home(), Path(tempfile.gettempdir())


def _drive(
    args: argparse.Namespace,
    started: Started,
    source: Source,
    clock: Clock,
    settings: Settings,
    hands: Hands,
    *,
    kind: Kind,
) -> tuple[int, bool]:
    """Return the exit code, and whether the repair was over when the session ended."""
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
        damaged=started.damaged,
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
    over = repair_over(driver.snapshot().state.work)
    return (0 if drawn and not log.trouble else 1), over and not log.trouble


def repair_over(work: Work) -> bool:
    """Return whether a repair is over; covered half-way and cooled, it goes on another day."""
    return work.phase is Phase.DONE and (work.finished or not work.beads)


def _tell_where(log: Log) -> None:
    """Say which file holds the session, and what became of the one it began in."""
    name, began = clean(str(log.path)), clean(str(log.began))
    if log.trouble:
        from pacer.screen.view import session_time

        lost, why = log.only_in_memory, log.trouble.removeprefix(NOT_SAVED)
        are = "1 record is" if lost == 1 else f"{lost} records are"
        since = session_time(log.lost_from_s())
        print(
            f"pacer: {name}: {are} not on the disk, from session time {since} on: {why}",
            file=sys.stderr,
        )
    else:
        print(f"pacer: recorded in {name}", file=sys.stderr)
    if log.path != log.began and os.path.lexists(log.began):
        print(f"pacer: {began}: holds only a part of it", file=sys.stderr)


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
            drawn = show(
                driver,
                shown,
                settings,
                add_bell,
                hands.sinks,
                check=kind == "live",
                contact=hands.pedal is not None,
            )
    finally:
        driver.stop()
        thread.join(timeout=10)
    if fault:
        raise fault[0]
    return drawn
