"""The `pacer` command: what it runs, errors as one line on stderr, exit codes.

Modules behind a command are imported when that command runs: `pacer --help` loads no
pint, numpy or textual. A new command is a function here or in a module beside this one,
and a row in `parser.py`.
"""

from __future__ import annotations

import argparse
import errno
import io
import os
import sys
from collections.abc import Sequence

from pacer.cli.exits import Exit
from pacer.cli.parser import command_line, read
from pacer.errors import PacerError


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; return its exit code."""
    _print_all()
    parser = command_line()
    args = read(parser, argv)
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


def _print_all() -> None:
    """Let no sign stop a line on a terminal that isn't UTF-8: it is written as its code.

    Not as a question mark: a minus before a temperature is such a sign.
    """
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def _dispatch(args: argparse.Namespace) -> int:
    match args.command:
        case "practice" | "run":
            from pacer.cli import sessions

            return getattr(sessions, args.command)(args)  # type: ignore[no-any-return]
        case "cool" | "forecast":
            from pacer.cli import moments

            return getattr(moments, args.command)(args)  # type: ignore[no-any-return]
        case "replay" if args.other is not None:
            from pacer.cli import pairs

            return pairs.pair(args)
        case "replay":
            from pacer.cli import replays

            return replays.replay(args)
        case "history":
            from pacer.cli.history import history

            return history(args)
        case "inspect":
            from pacer.cli.inspection.command import inspect

            return inspect(args)
        case "outcome":
            from pacer.cli.outcome import outcome

            return outcome(args)
        case "sounds":
            from pacer.cli.sounds import sounds

            return sounds(args)
        case "sensors":
            from pacer.cli.sensors.command import sensors

            return sensors(args)
        case "new":
            from pacer.cli.new import new

            return new(args)
        case "identify":
            from pacer.cli.identify import identify

            return identify(args)
        case "plan":
            from pacer.cli.plan import plan

            return plan(args)
        case "sources":
            from pacer.cli.sources import sources

            return sources(args)
        case "review":
            from pacer.cli.reviewing.command import review

            return review(args)
        case "guide":
            from pacer.cli.pages import guide

            return guide(args)
        case _:
            from pacer.cli import exchange

            return exchange.COMMANDS[args.command](args)
