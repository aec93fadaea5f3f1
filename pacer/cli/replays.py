"""replay: the recorded session on the screen, as lines, or audited."""

from __future__ import annotations

import argparse
from pathlib import Path

from pacer.cli.told import need_terminal, tell_damage, times_real
from pacer.recording.reader import Recording


def replay(args: argparse.Namespace) -> int:
    """Show, print or audit a recording."""
    from pacer.settings import read_settings
    from pacer.units import Shown

    recording = Recording(Path(args.recording))
    settings = read_settings()
    shown = Shown(settings.units)
    if args.audit:
        return _audit(recording)
    if args.no_screen:
        from pacer.run.refold import refold
        from pacer.screen.words import cue_line

        for cue in refold(recording.head, recording.events()).cues:
            print(cue_line(cue, shown))
        tell_damage(recording)
        return 0
    speed = times_real(args.speed, 0.1, 1000.0) if args.speed else 10.0
    need_terminal()
    from pacer.cli.screens import show
    from pacer.clock import BootClock
    from pacer.run.replay import Replay

    desk = Replay(recording, BootClock(), speed)
    tell_damage(recording)
    return 0 if show(desk, shown, settings) else 1


def _audit(recording: Recording) -> int:
    from pacer.run.refold import differences, refold

    folded = refold(recording.head, recording.events())
    lines = differences(folded.cues, folded.recorded)
    for line in lines:
        print(line)
    tell_damage(recording)
    if not lines:
        print(f"{len(folded.cues)} cues, all as recorded")
    return 1 if lines or not recording.damage.sound else 0
