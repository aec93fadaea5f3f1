"""outcome: what became of the repair, written into its recording at any later date."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import Any

from pacer.cli.asking import as_commands
from pacer.cli.outcome_answers import WORDS, member
from pacer.cli.outcome_asked import asked
from pacer.cli.told import tell_written
from pacer.clock import BootClock, stamp
from pacer.errors import UserInputError
from pacer.job.columns import laid_out
from pacer.recording.reader import Recording
from pacer.review.outcomes import outcome_json, outcome_words, recorded
from pacer.run.afterwards import append_afterwards, check_writable
from pacer.session.events import Outcome
from pacer.settings import read_settings
from pacer.text import clean
from pacer.units import Shown

_OF_A_CRACK = ("where", "runs", "at", "bead")


def outcome(args: argparse.Namespace) -> int:
    """Write an outcome from the options, or from what is answered on a terminal."""
    recording = Recording(Path(args.recording))
    given = {
        name: value
        for name in (*WORDS, "service", "bead", "photo", "text")
        if (value := getattr(args, name)) is not None
    }
    shown = Shown(read_settings().units)
    answered: list[list[str]] = []
    if given:
        made = from_options(given, recording)
    elif sys.stdin.isatty() and sys.stdout.isatty():
        check_writable(recording)
        told = asked(recording, shown)
        if told is None:
            return 1
        made, answered = told.made, [told.options]
    else:
        raise UserInputError(
            f'{recording.name}: no terminal to ask on; write --found "no crack found" or '
            "--found crack, and what is known of it (pacer outcome --help)"
        )
    wall = stamp(BootClock().wall())
    with as_commands("outcome", recording.path, answered):
        written = append_afterwards(recording, [Outcome(t_ms=0, wall=wall, **made)])
    tell_written(recording, written.path, "the outcome")
    (found,) = written.records
    if args.json:
        print(json.dumps(outcome_json(found)))
        return 0
    print(f"{recorded(found)}, in {clean(str(written.path))}")
    for line in laid_out(outcome_words(found, shown)):
        print(line)
    return 0


def from_options(given: dict[str, str], recording: Recording) -> dict[str, Any]:
    """Return the members of an `Outcome` as the options give them.

    Raises `UserInputError`, one line that names the option, what was found and what is expected.
    """
    made: dict[str, Any] = {}
    for name, text in given.items():
        made.update(member(name, text, f"--{name}", recording))
    if "found" not in made:
        known = " or ".join(f'--found "{word}"' for word in WORDS["found"])
        raise UserInputError(f"outcome: what was found is missing, expected {known}")
    if "service_s" in made and made.setdefault("when", "in service") != "in service":
        raise UserInputError(
            f'--service "{clean(given["service"], 40)}": goes with --when "in service", '
            f'found --when "{made["when"]}"'
        )
    if made["found"] != "crack":
        for name in _OF_A_CRACK:
            if name in made:
                raise UserInputError(
                    f'--{name}: goes with --found crack, found --found "{made["found"]}"'
                )
    return made
