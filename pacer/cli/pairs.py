"""replay with two recordings: side by side on the screen, or their cues as one list of lines."""

from __future__ import annotations

import argparse
from pathlib import Path

import msgspec

from pacer.cli.replays import film_of
from pacer.cli.told import need_terminal, tell_damage, times_real
from pacer.errors import UserInputError
from pacer.recording.reader import Recording


def pair(args: argparse.Namespace) -> int:
    """Show or print two recordings on one time axis."""
    from pacer.run.pair import Pair, alignment, told
    from pacer.screen.words import cue_line
    from pacer.settings import read_settings
    from pacer.units import Shown

    for option, given in (("--audit", args.audit), ("--at", args.at)):
        if given:
            raise UserInputError(f"{option}: found two recordings, expected one")
    speed = times_real(args.speed, 0.1, 1000.0) if args.speed else 10.0
    recordings = (Recording(Path(args.recording)), Recording(Path(args.other)))
    if not args.no_screen:
        need_terminal()
    settings = read_settings()
    shown = Shown(settings.units)
    films = (film_of(recordings[0]), film_of(recordings[1]))
    align = alignment(films, args.align)
    if args.no_screen:
        for at_s, letter, cue in told(films, align):
            print(f"{letter}\t{cue_line(msgspec.structs.replace(cue, t_s=at_s), shown)}")
    for recording in recordings:
        tell_damage(recording)
    if args.no_screen:
        return 0
    from pacer.cli.screens import show_pair
    from pacer.clock import BootClock

    return (
        0 if show_pair(Pair(films, BootClock(), align=align, speed=speed), shown, settings) else 1
    )
