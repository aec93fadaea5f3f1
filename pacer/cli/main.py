"""The `pacer` command: arguments, errors as one line on stderr, exit codes.

Modules behind a command are imported when that command runs: `pacer --help` loads no
pint, numpy or textual. A new command is a function here or in a module beside this one,
and a row in `_parser`.
"""

from __future__ import annotations

import argparse
import errno
import os
import sys
from collections.abc import Sequence
from enum import IntEnum
from typing import NoReturn, get_args

from pacer.errors import PacerError
from pacer.settings import SoundChoice, Theme
from pacer.text import clean


class Exit(IntEnum):
    """What the shell is told."""

    DONE = 0
    "Done."
    NO = 1
    "The answer is no: a check failed."
    WRONG_INPUT = 2
    "A file, an option or a port is wrong; lines on stderr say what."


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        """One line, no usage block."""
        print(f"{self.prog}: {clean(message)}; see {self.prog} --help", file=sys.stderr)
        raise SystemExit(Exit.WRONG_INPUT)


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="pacer",
        description="Paces a welder through the preheated repair of a cracked iron casting.",
        epilog="pacer guide shows the manual. pacer measures and forecasts; "
        "it never says that a repair is sound or a part safe.",
    )
    parser.add_argument("--version", action="store_true", help="print the version and stop")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", parser_class=_Parser)

    def command(name: str, help_: str) -> argparse.ArgumentParser:
        return commands.add_parser(name, help=help_, description=help_)

    practice = command("practice", "the whole job on a simulated part, no hardware")
    practice.add_argument("job", nargs="?", help="job file (default: a practice job of our own)")
    practice.add_argument("--seed", type=int, default=1, help="same seed, same session (default 1)")
    practice.add_argument(
        "--speed",
        help="times real time; 0: as fast as it can; auto: by phase (default auto with a screen)",
    )
    practice.add_argument(
        "--spoil", action="store_true", help="the practice welder takes the cover off too early"
    )
    _writes(practice)
    _tells(practice)

    run = command("run", "a live session")
    run.add_argument("job", help="job file")
    run.add_argument(
        "--sensor", metavar="URL", help="where readings come from (default: the job's)"
    )
    run.add_argument("--resume", action="store_true", help="go on with the recording in --out")
    _writes(run)
    _tells(run)

    cool = command("cool", "go on with the cool-down countdown of a recorded session")
    cool.add_argument("recording")
    cool.add_argument(
        "--sensor", metavar="URL", help="where readings come from (default: the job's)"
    )
    _asks(cool, "time since the cool-down began, such as 20min")
    cool.add_argument("--until", metavar="TEMP", help="temperature to reach (default: the job's)")
    cool.add_argument("--no-screen", action="store_true", help="print the forecast and stop")

    forecast = command("forecast", "what is, or was, forecast at a moment of a recording")
    forecast.add_argument("recording")
    _asks(forecast, "session time, such as 812s")

    replay = command("replay", "the same screen over a recording")
    replay.add_argument("recording")
    replay.add_argument("--no-screen", action="store_true", help="print the cues as lines")
    replay.add_argument("--speed", help="times real time at the start (default 10)")
    replay.add_argument(
        "--audit", action="store_true", help="print cues that today's rules tell otherwise"
    )

    review = command("review", "phases, beads, excursions and findings of recordings")
    review.add_argument("recordings", nargs="+", metavar="RECORDING")
    review.add_argument("--json", action="store_true")

    plan = command("plan", "the plan and forecast before striking an arc")
    plan.add_argument("job", help="job file")
    plan.add_argument("--json", action="store_true")

    import_ = command("import", "make a recording from another logger's readings")
    import_.add_argument("csv", help="columns t_s,temp_c or time,temp")
    import_.add_argument("--job", required=True, help="job file")
    import_.add_argument("--phase", required=True, choices=("cool-down", "prepare"))
    import_.add_argument("--out", required=True, metavar="REC")
    import_.add_argument("--time-unit", default="s", help="of the time column (default s)")
    import_.add_argument("--temp-unit", default="degC", help="of the temp column (default degC)")

    export = command("export", "a recording's readings as CSV")
    export.add_argument("recording")
    export.add_argument("--csv", required=True, metavar="FILE", help="- is standard output")

    recover = command("recover", "a damaged recording's sound records into a new file")
    recover.add_argument("recording", metavar="IN")
    recover.add_argument("out", metavar="OUT")

    sounds = command("sounds", "hear every sound with its meaning, see what works here")
    sounds.add_argument("name", nargs="?", help="one of them (default: all)")
    sounds.add_argument("--quiet", action="store_true", help="list only, play nothing")
    sounds.add_argument("--wav", metavar="FOLDER", help="write them as WAV files instead")

    _senses(command("sensors", "ports found, what they say, check in ice and boiling water"))

    command("sources", "every fact with its source and status")
    guide = command("guide", "the manual, in the terminal")
    guide.add_argument("topic", nargs="?", help="a topic (default: the list)")
    return parser


def _writes(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--out", metavar="REC", help="recording to write (default: a new name)")
    parser.add_argument("--no-screen", action="store_true", help="print cues as lines")


def _tells(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--lamp", metavar="URL", help="line of a lamp (pacer guide hands)")
    parser.add_argument("--pedal", metavar="URL", help="line of a contact (pacer guide hands)")
    parser.add_argument("--theme", choices=get_args(Theme), help="looks (default: the settings')")
    parser.add_argument("--sound", choices=get_args(SoundChoice), help="tones (default auto)")


def _senses(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "url",
        nargs="?",
        help="a sensor's URL: its values; a port's name: what it says (default: all serial ports)",
    )
    parser.add_argument("--url", dest="url_option", metavar="URL", help="the same, by name")
    parser.add_argument("--seconds", metavar="S", help="how long to listen (default 4 a rate)")
    parser.add_argument("--json", action="store_true", help="JSON (pacer guide checking)")
    parser.add_argument("--check", action="store_true", help="check URL in ice and boiling water")
    parser.add_argument("--pressure", metavar="P", help="air pressure at your place: 987hPa")
    parser.add_argument("--altitude", metavar="H", help="height above sea level: 430m")
    parser.add_argument("--yes", action="store_true", help="ask nothing, store what was found")
    parser.add_argument("--forget", action="store_true", help="forget the corrections of URL")


def _asks(parser: argparse.ArgumentParser, what: str) -> None:
    parser.add_argument("--at", action="append", default=[], metavar="TIME", help=what)
    parser.add_argument("--json", action="store_true", help="one JSON object a line")


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; return its exit code."""
    parser = _parser()
    args = parser.parse_args(argv)
    if args.version:
        from pacer import __version__

        print(f"pacer {__version__}")
        return Exit.DONE
    if args.command is None:
        parser.print_help()
        return Exit.DONE
    try:
        code = _dispatch(args)
        print(end="", flush=True)
        return code
    except PacerError as error:
        for line in str(error).splitlines():
            print(f"pacer: {line}", file=sys.stderr)
        return Exit.WRONG_INPUT
    except OSError as error:
        if error.errno not in {errno.EPIPE, errno.ENOSPC}:
            raise
        # What is still buffered must not fail again when the interpreter ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        if error.errno == errno.EPIPE:
            # Whoever read us has gone; there is nobody left to tell.
            return Exit.DONE
        print("pacer: standard output: no space left there", file=sys.stderr)
        return Exit.WRONG_INPUT
    except KeyboardInterrupt:
        return 130


def _dispatch(args: argparse.Namespace) -> int:
    match args.command:
        case "practice" | "run":
            from pacer.cli import sessions

            return getattr(sessions, args.command)(args)  # type: ignore[no-any-return]
        case "cool" | "forecast":
            from pacer.cli import moments

            return getattr(moments, args.command)(args)  # type: ignore[no-any-return]
        case "replay":
            from pacer.cli import replays

            return replays.replay(args)
        case "sounds":
            from pacer.cli.sounds import sounds

            return sounds(args)
        case "sensors":
            from pacer.cli.sensors.command import sensors

            return sensors(args)
        case "review" | "plan" | "sources" | "guide":
            from pacer.cli import pages

            return getattr(pages, args.command)(args)  # type: ignore[no-any-return]
        case _:
            from pacer.cli import exchange

            return exchange.COMMANDS[args.command](args)
