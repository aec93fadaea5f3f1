"""inspect: the looks at a finished repair, written into its recording at any later date."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import msgspec

from pacer.cli.asking import agreed, as_commands
from pacer.cli.inspection.asked import Asked, asked
from pacer.cli.inspection.imperfections import imperfection
from pacer.cli.inspection.looks import GOES_WITH, LOOKS
from pacer.cli.inspection.members import (
    RESULTS,
    contradiction,
    in_usual_unit,
    inspection,
    member,
)
from pacer.cli.repair_answers import one_of
from pacer.cli.told import tell_written
from pacer.clock import BootClock, stamp
from pacer.errors import PacerError, UserInputError
from pacer.job.columns import laid_out
from pacer.recording.limits import MOST_IMPERFECTIONS
from pacer.recording.reader import Recording
from pacer.review.inspections import inspection_json, inspection_lines
from pacer.run.afterwards import append_afterwards, check_writable
from pacer.session.events import Inspection
from pacer.session.inspection import Imperfection
from pacer.settings import read_settings
from pacer.text import clean
from pacer.units import Shown

OPTIONS = (*GOES_WITH, "text", "by", "photo")
"""Options that are one member's answer each."""


def inspect(args: argparse.Namespace) -> int:
    """Write one look from the options, or several from what is answered on a terminal."""
    recording = Recording(Path(args.recording))
    shown = Shown(read_settings().units)
    names = ("look", "result", *OPTIONS)
    given = {name: value for name in names if (value := getattr(args, name)) is not None}
    by_option = bool(given or args.imperfection)
    if by_option:
        told: Asked | None = Asked(
            [from_options(given, args.imperfection, recording, shown)], options=[]
        )
    elif sys.stdin.isatty() and sys.stdout.isatty():
        check_writable(recording)
        told = asked(recording, shown)
    else:
        raise UserInputError(
            f'{recording.name}: no terminal to ask on; write --look visual --result "nothing '
            'found", and what is known of it (pacer inspect --help)'
        )
    if told is None:
        return 1
    for look in _write(recording, told, said=not args.json):
        if args.json:
            print(json.dumps(inspection_json(look)))
        elif by_option:
            # What was asked about was shown before it was written.
            for line in inspection_lines(look, recording.head.job, shown):
                print("\n".join(laid_out(line)))
    return 0


def offer(path: Path, shown: Shown) -> None:
    """Offer to write the looks down, where a session ended on a terminal with its part cold.

    What fails is told in a line: the session itself is recorded and over.
    """
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        return
    try:
        if not agreed("Write down the inspection now?"):
            return
        recording = Recording(path)
        check_writable(recording)
        told = asked(recording, shown)
        if told is not None:
            _write(recording, told, said=True)
    except EOFError:
        print()
    except PacerError as error:
        print(f"pacer: {error}", file=sys.stderr)


def _write(recording: Recording, told: Asked, *, said: bool) -> tuple[Inspection, ...]:
    """Write the looks down, and say where if that is to be `said`; return them as recorded."""
    wall = stamp(BootClock().wall())
    stamped = [msgspec.structs.replace(look, wall=wall) for look in told.looks]
    with as_commands("inspect", recording.path, told.options):
        written = append_afterwards(recording, stamped)
    tell_written(recording, written.path, "the inspection")
    if said:
        print(f"recorded, in {clean(str(written.path))}")
    return written.records


def from_options(
    given: dict[str, str], imperfections: Sequence[str], recording: Recording, shown: Shown
) -> Inspection:
    """Return the look that the options tell of.

    Raises `UserInputError`, one line that names the option, what was found and what is expected.
    """
    if "look" not in given:
        raise UserInputError(f"inspect: which look is missing, expected --look {_or(LOOKS)}")
    look = one_of(given["look"], tuple(LOOKS), "--look")
    for name in given:
        if GOES_WITH.get(name, look) != look:
            raise UserInputError(
                f'{_option(name)}: goes with --look "{GOES_WITH[name]}", found --look "{look}"'
            )
    result = one_of(given["result"], RESULTS, "--result") if "result" in given else None
    if imperfections and result not in (None, "imperfections found"):
        raise UserInputError(
            f'--imperfection: goes with --result "imperfections found", found --result "{result}"'
        )
    if len(imperfections) > MOST_IMPERFECTIONS:
        raise UserInputError(
            f"--imperfection: {len(imperfections)} of them, expected at most {MOST_IMPERFECTIONS}"
        )
    if not imperfections and result is None:
        raise UserInputError(
            f"inspect: what was found is missing, expected --result {_or(RESULTS)}"
        )
    made: dict[str, Any] = {}
    for name in OPTIONS:
        if name in given:
            made.update(member(name, _with_unit(name, given[name], shown), _option(name), shown))
    found = _each_once(imperfections, recording)
    whole = inspection(look, result or "imperfections found", {**made, "imperfections": found})
    if (wrong := contradiction(whole)) is not None:
        raise UserInputError(f"{_option(wrong[0])}: {wrong[1]}")
    return whole


def _with_unit(name: str, text: str, shown: Shown) -> str:
    """Return an answer whose bare number has the shop's unit, and say what it was taken as."""
    with_unit = in_usual_unit(name, text.strip(), shown.system)
    if with_unit != text.strip():
        print(f"{_option(name)}: taken as {with_unit}", file=sys.stderr)
    return with_unit


def _each_once(texts: Sequence[str], recording: Recording) -> tuple[Imperfection, ...]:
    """Return the imperfections told of; the same one told twice is one, and that is said."""
    made: dict[Imperfection, None] = {}
    for text in texts:
        found = imperfection(text, "--imperfection", recording)
        if found in made:
            print(f'--imperfection "{clean(text, 60)}": told twice, kept once', file=sys.stderr)
        made[found] = None
    return tuple(made)


def _option(name: str) -> str:
    return "--" + name.replace("_", "-")


def _or(words: Sequence[str] | dict[Any, Any]) -> str:
    return " or ".join(f'"{word}"' for word in words)
