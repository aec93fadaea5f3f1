"""Every command's arguments and options; a new command is a row in its group here."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from typing import NoReturn, get_args

from pacer.cli import options_afterwards as options
from pacer.cli.exits import Exit
from pacer.settings import SoundChoice, Theme
from pacer.text import clean

_Command = Callable[[str, str], argparse.ArgumentParser]
"Adds a command of that name and help."


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        """One line, no usage block."""
        print(f"{self.prog}: {clean(message)}; see {self.prog} --help", file=sys.stderr)
        raise SystemExit(Exit.WRONG_INPUT)


def read(parser: argparse.ArgumentParser, argv: Sequence[str] | None) -> argparse.Namespace:
    """Return the arguments; a plan's sections may stand behind its options too.

    argparse takes a `*` argument as empty as soon as an option comes before it.
    """
    args, rest = parser.parse_known_args(argv)
    if args.command == "plan" and not any(word.startswith("-") for word in rest):
        args.sections += rest
    elif rest:
        parser.error(f"unrecognized arguments: {' '.join(rest)}")
    return args


def command_line() -> argparse.ArgumentParser:
    """Return the parser of every command."""
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

    for group in (_at_the_bench, _afterwards, _beforehand, _exchanged, _equipment, _to_read):
        group(command)
    return parser


def _at_the_bench(command: _Command) -> None:
    """The job itself, and its cool-down."""
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
    run.add_argument("job", nargs="?", help="job file; with --resume the recording")
    run.add_argument(
        "--sensor", metavar="URL", help="where readings come from (default: the job's)"
    )
    run.add_argument(
        "--resume", action="store_true", help="go on with a recording: run --resume REC"
    )
    _away(run)
    _writes(run)
    _tells(run)

    cool = command("cool", "go on with the cool-down countdown of a recorded session")
    cool.add_argument("recording")
    cool.add_argument(
        "--sensor", metavar="URL", help="where readings come from (default: the job's)"
    )
    _away(cool)
    _asks(cool, "time since the cool-down began, such as 20min")
    cool.add_argument("--until", metavar="TEMP", help="temperature to reach (default: the job's)")
    cool.add_argument("--no-screen", action="store_true", help="print the forecast and stop")
    _tells(cool)

    forecast = command("forecast", "what is, or was, forecast at a moment of a recording")
    forecast.add_argument("recording")
    _asks(forecast, "session time, such as 812s")


def _afterwards(command: _Command) -> None:
    """What a recording tells, and what is added to it later."""
    replay = command("replay", "the same screen over a recording")
    replay.add_argument("recording")
    replay.add_argument(
        "other", nargs="?", metavar="recording", help="a second one: both on one time axis"
    )
    replay.add_argument(
        "--align", metavar="PHASE", help="of two: the phase they are aligned at (default preheat)"
    )
    replay.add_argument("--no-screen", action="store_true", help="print the cues as lines")
    replay.add_argument("--speed", help="times real time at the start (default 10)")
    replay.add_argument("--at", metavar="TIME", help="session time to begin at, such as 1h20min")
    replay.add_argument(
        "--audit", action="store_true", help="print cues that today's rules tell otherwise"
    )

    options.reviews(command("review", "what a recording shows; two or more are compared"))

    options.tells_history(
        command("history", "every session in a folder, and what goes with a crack")
    )
    options.looks(
        command("inspect", "write down the looks at a finished repair, at any later date")
    )
    options.found(command("outcome", "write down what became of a repair, at any later date"))


def _beforehand(command: _Command) -> None:
    """What is made before anything is heated."""
    new = command("new", "a job file by questions, or by --set; one that exists is completed")
    new.epilog = "Without --set it asks, on a terminal. pacer guide new tells more."
    new.add_argument("job", nargs="?", help="job file (default: a name made from the title)")
    new.add_argument(
        "--set",
        action="append",
        default=[],
        metavar="KEY=VALUE",
        help='a key of the job file, such as --set part.mass="3.2 kg"',
    )

    _identifies(command("identify", "shop tests, and which metal a part can still be"))

    plan = command("plan", "the plan and forecast before striking an arc")
    plan.add_argument("job", help="job file")
    plan.add_argument("sections", nargs="*", metavar="SECTION", help="only these, such as beads")
    form = plan.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true")
    form.add_argument(
        "--html", metavar="FILE", help="a page to print and hang up; - is standard output"
    )


def _exchanged(command: _Command) -> None:
    """Recordings from and for other programs."""
    import_ = command("import", "make a recording from another logger's readings")
    import_.add_argument(
        "readings", help="CSV or Parquet: columns t_s,temp_c or time,temp (pacer guide exchange)"
    )
    import_.add_argument("--job", required=True, help="job file")
    import_.add_argument("--phase", required=True, choices=("cool-down", "prepare"))
    import_.add_argument("--out", required=True, metavar="REC")
    import_.add_argument("--time-unit", default="s", help="of the time column (default s)")
    import_.add_argument("--temp-unit", default="degC", help="of the temp column (default degC)")

    export = command("export", "a recording's readings as CSV, or tables of several as Parquet")
    export.add_argument("recordings", nargs="+", metavar="RECORDING")
    to = export.add_mutually_exclusive_group(required=True)
    to.add_argument("--csv", metavar="FILE", help="one recording's readings; - is standard output")
    to.add_argument("--parquet", metavar="FOLDER", help="tables (pacer guide exchange)")

    recover = command("recover", "a damaged recording's sound records into a new file")
    recover.add_argument("recording", metavar="IN")
    recover.add_argument("out", metavar="OUT")


def _equipment(command: _Command) -> None:
    """What hangs at the table."""
    sounds = command("sounds", "hear every sound with its meaning, see what works here")
    sounds.add_argument("name", nargs="?", help="one of them (default: all)")
    sounds.add_argument("--quiet", action="store_true", help="list only, play nothing")
    sounds.add_argument("--wav", metavar="FOLDER", help="write them as WAV files instead")

    _senses(command("sensors", "ports found, what they say, check in ice and boiling water"))


def _to_read(command: _Command) -> None:
    """What the program knows."""
    sources = command("sources", "every fact with its source and status")
    sources.add_argument("word", nargs="?", help="a word or table, such as preheat (default: all)")
    sources.add_argument("--json", action="store_true", help="a list of objects, one a fact")
    guide = command("guide", "the manual, in the terminal")
    guide.add_argument("topic", nargs="?", help="a topic (default: the list)")


def _identifies(parser: argparse.ArgumentParser) -> None:
    parser.epilog = "On a terminal the tests are on a full screen. pacer guide identify tells more."
    parser.add_argument("job", nargs="?", help="job file that the answers are in, or go into")
    parser.add_argument("--answers", metavar="FILE", help="answers as TOML, instead of the screen")
    parser.add_argument(
        "--set",
        action="append",
        default=[],
        metavar="TEST=ANSWER",
        help='one answer, such as --set ring="dull thud"; again for another one',
    )
    parser.add_argument("--metal", metavar="NAME", help="the metal to write, whatever is left")
    parser.add_argument("--yes", action="store_true", help="write into the job file, ask nothing")
    parser.add_argument("--json", action="store_true", help="JSON (pacer guide identify)")


def _writes(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--out", metavar="REC", help="recording to write (default: a new name)")
    parser.add_argument("--no-screen", action="store_true", help="print cues as lines")


def _away(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--away", metavar="TIME", help="how long it stood since its last record (default: by clock)"
    )


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
