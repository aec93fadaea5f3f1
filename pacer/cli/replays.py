"""replay: the recorded session on the screen, as lines, or audited."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from pacer.cli.told import need_terminal, tell_damage, times_real
from pacer.errors import UserInputError
from pacer.recording.reader import Recording

if TYPE_CHECKING:
    from pacer.run.film import Film
    from pacer.units import Shown


def replay(args: argparse.Namespace) -> int:
    """Show, print or audit a recording."""
    from pacer.settings import read_settings
    from pacer.units import Shown

    if args.align is not None:
        raise UserInputError("--align: found one recording, expected two")
    recording = Recording(Path(args.recording))
    settings = read_settings()
    shown = Shown(settings.units)
    at_s = _moment(args.at)
    speed = times_real(args.speed, 0.1, 1000.0) if args.speed else 10.0
    if args.audit:
        return _audit(recording)
    if args.no_screen:
        return _print_cues(recording, shown, at_s)
    need_terminal()
    from pacer.cli.screens import show
    from pacer.clock import BootClock
    from pacer.run.replay import Replay

    film = film_of(recording)
    _within(at_s, film.end_s, film.name)
    desk = Replay(film, BootClock(), speed, at_s)
    tell_damage(recording)
    return 0 if show(desk, shown, settings) else 1


def _moment(text: str | None) -> float | None:
    if text is None:
        return None
    from pacer.screen.moment import moment_s

    try:
        return moment_s(text)
    except UserInputError as error:
        raise UserInputError(f"--at {error}") from None


def film_of(recording: Recording) -> Film:
    """Read and fold a recording, saying on the terminal how far it is: a long one takes seconds."""
    from pacer.run.film import Film

    said = -1

    def progress(share: float) -> None:
        nonlocal said
        if int(100 * share) > said:
            said = int(100 * share)
            print(f"\rreading {recording.name} {said} %", end="", file=sys.stderr, flush=True)

    try:
        return Film(recording, progress if sys.stderr.isatty() else None)
    finally:
        if said >= 0:
            # Erases the line: nothing of it stays above what the screen leaves behind.
            print("\r\x1b[K", end="", file=sys.stderr, flush=True)


def _print_cues(recording: Recording, shown: Shown, at_s: float | None) -> int:
    """Print each cue as it is come by: nothing of a long recording is held."""
    from pacer.run.refold import states
    from pacer.screen.words import cue_line
    from pacer.session.events import Afterwards

    end_s = recording.head.t_s
    for event, _, cues in states(recording.head, recording.events()):
        if event is not None and not isinstance(event, Afterwards):
            end_s = max(end_s, event.known_s)
        for cue in cues:
            if at_s is None or cue.t_s >= at_s:
                print(cue_line(cue, shown))
    _within(at_s, end_s, recording.name)
    tell_damage(recording)
    return 0


def _within(at_s: float | None, end_s: float, name: str) -> None:
    """Raise `UserInputError` for a moment after the end."""
    from pacer.screen.view import session_time

    if at_s is not None and at_s > end_s:
        raise UserInputError(f"--at {session_time(at_s)}: {name} ends at {session_time(end_s)}")


def _audit(recording: Recording) -> int:
    from pacer.run.audit import audit

    found = audit(recording)
    for line in (*found.differences, *found.versions):
        print(line)
    tell_damage(recording)
    print(found.summary)
    return 1 if found.differences or not recording.damage.sound else 0
