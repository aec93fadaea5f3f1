"""cool, forecast: what was known at a moment of a recording; cool also goes on live."""

from __future__ import annotations

import argparse
import json
import sys
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from pacer.cli.told import need_terminal, tell_damage, times_s
from pacer.errors import UserInputError

if TYPE_CHECKING:
    from pacer.run.asked import CooldownAnswer
    from pacer.units import Shown


def cool(args: argparse.Namespace) -> int:
    """Answer for moments of a cool-down, or go on with it on the screen."""
    from pacer.recording.reader import Recording
    from pacer.units import parse

    until_c = None
    if args.until is not None:
        try:
            until_c = parse(args.until, "temperature")
        except UserInputError as error:
            raise UserInputError(f"--until {error}") from None
    ats_s = times_s(args.at, "--at")
    recording = Recording(Path(args.recording))
    if not (args.json or args.no_screen or args.at) and sys.stdout.isatty():
        need_terminal()
        from pacer.cli.going_on import go_on_cooling

        return go_on_cooling(args, recording)
    if args.away is not None:
        raise UserInputError("--away goes with going on, on a screen; here the recording is asked")
    from pacer.run.asked import cooldown_answers

    answers = cooldown_answers(recording, ats_s, until_c)
    for answer in answers:
        if args.json:
            print(json.dumps(answer.as_json()))
        else:
            from pacer.settings import read_settings
            from pacer.units import Shown

            for line in _lines(answer, Shown(read_settings().units)):
                print(line)
    if answers[-1].covered and not (args.json or args.at):
        print(_since_covered(answers[-1].covered))
    tell_damage(recording)
    return 0


def _since_covered(covered: str) -> str:
    """Return when it was covered and how long ago that is, by the wall clock."""
    from pacer.clock import BootClock, local_time
    from pacer.settings import read_settings
    from pacer.units import Shown

    then = datetime.fromisoformat(covered)
    ago_s = (BootClock().wall() - then).total_seconds()
    if ago_s < 0:
        return f"  covered {local_time(then)}; the wall clock reads earlier than that now"
    ago = Shown(read_settings().units).duration(ago_s)
    return f"  covered {local_time(then)}, {ago} ago by the wall clock"


def _lines(answer: CooldownAnswer, shown: Shown) -> list[str]:
    """Return the forecast, then how it goes and what comes."""
    lines = [_words(answer, shown)]
    from pacer.session.cooling import DEPARTURES
    from pacer.session.cues import CUES

    course = answer.course
    if course is None or answer.reached:
        return lines
    if course.rate_c_h is not None and course.usual_c_h is not None:
        low, _, high = course.usual_c_h
        usual = f"{shown.temp_dc(low)} to {shown.rate_c_h(high)} are usual for this cover here"
        rate = shown.rate_c_h(course.rate_c_h)
        lines.append(f"  mean of the last 30 min {rate}; {usual} (80 %)")
    if answer.departs:
        lines.append(f"  {CUES[DEPARTURES[answer.departs]].words.format(temp_c='as read')}")
    for t_s, temp_c, low_c, high_c in course.curve[6::6]:
        span = f"{shown.temp_number(low_c):.0f} to {shown.temp_c(high_c)}"
        lines.append(f"  {shown.duration(t_s)} after covering {shown.temp_c(temp_c)}, {span}")
    return lines


def _words(answer: CooldownAnswer, shown: Shown) -> str:
    """Return one line: reached, a range, or "not before"; never a bare number."""
    since = "after covering"
    if answer.reached:
        return f"reached {shown.duration(answer.eta_s)} {since}"
    low = shown.duration(answer.eta_low_s)
    if answer.eta_high_s is None:
        return f"forecast {shown.duration(answer.at_s)} {since}: not before {low} {since}"
    return (
        f"forecast {shown.duration(answer.at_s)} {since}: cool enough {low} to "
        f"{shown.duration(answer.eta_high_s)} {since} (80 %), most likely "
        f"{shown.duration(answer.eta_s)}"
    )


def forecast(args: argparse.Namespace) -> int:
    """Answer for moments of a session."""
    from pacer.recording.reader import Recording
    from pacer.run.asked import moment_answers

    ats_s = times_s(args.at, "--at")
    recording = Recording(Path(args.recording))
    for answer in moment_answers(recording, ats_s):
        if args.json:
            print(json.dumps(answer))
        else:
            print("; ".join(f"{name} {_plain(value)}" for name, value in answer.items()))
    tell_damage(recording)
    return 0


def _plain(value: object) -> str:
    if value is None:
        return "not known"
    if isinstance(value, dict):
        if value["high"] is None:
            return f"{value['value']:g} (80 %: {value['low']:g} or more)"
        return f"{value['value']:g} (80 %: {value['low']:g} to {value['high']:g})"
    return f"{value:g}" if isinstance(value, float) else str(value)
