"""outcome: what became of the repair, written into its recording at any later date."""

from __future__ import annotations

import argparse
import difflib
import hashlib
import json
import sys
from pathlib import Path
from typing import Any, cast, get_args

from pacer.cli.told import tell_damage
from pacer.clock import BootClock
from pacer.errors import UserInputError
from pacer.job.columns import laid_out
from pacer.recording.reader import Recording, open_regular
from pacer.review.outcomes import outcome_json, outcome_words, recorded
from pacer.run.outcome import append_outcome, beads_in
from pacer.session.events import Found, FoundAt, FoundWhen, FoundWhere, Outcome
from pacer.settings import read_settings
from pacer.text import clean
from pacer.units import Shown, parse

WORDS: dict[str, tuple[str, ...]] = {
    "found": get_args(Found),
    "when": get_args(FoundWhen),
    "where": get_args(FoundWhere),
    "runs": ("along", "across"),
    "at": get_args(FoundAt),
}
"""Options whose answer is one of a few words."""

_OF_A_CRACK = ("where", "runs", "at", "bead")
_NAME_CHARS = 200
_TEXT_CHARS = 1000


def outcome(args: argparse.Namespace) -> int:
    """Write an outcome from the options, or from what is answered on a terminal."""
    recording = Recording(Path(args.recording))
    given = {
        name: value
        for name in (*WORDS, "service", "bead", "photo", "text")
        if (value := getattr(args, name)) is not None
    }
    shown = Shown(read_settings().units)
    if given:
        made = from_options(given, recording)
    elif sys.stdin.isatty() and sys.stdout.isatty():
        from pacer.cli.outcome_asked import asked

        answered = asked(recording, shown)
        if answered is None:
            print("nothing written")
            return 1
        made = answered
    else:
        raise UserInputError(
            f'{recording.name}: no terminal to ask on; write --found "no crack found" or '
            "--found crack, and what is known of it (pacer outcome --help)"
        )
    wall = BootClock().wall().isoformat(timespec="milliseconds")
    written = append_outcome(recording, Outcome(t_ms=0, wall=wall, **made))
    tell_damage(recording)
    if written.path != recording.path:
        print(
            f"pacer: {recording.name}: could not be written; all of it and the outcome "
            f"are in {clean(str(written.path))}",
            file=sys.stderr,
        )
    if args.json:
        print(json.dumps(outcome_json(written.outcome)))
        return 0
    print(f"{recorded(written.outcome)}, in {clean(str(written.path))}")
    for line in laid_out(outcome_words(written.outcome, shown)):
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


def member(name: str, text: str, where: str, recording: Recording) -> dict[str, Any]:
    """Return what one answer makes of an `Outcome`; `where` begins its complaint."""
    match name:
        case "service":
            return {"service_s": _service_s(text, where)}
        case "bead":
            return {"bead": _bead(text, where, recording)}
        case "photo":
            path = Path(text)
            return {"photo": clean(path.name, _NAME_CHARS), "photo_sha": sha256_of(path)}
        case "text":
            return {"text": clean(text, _TEXT_CHARS)}
    return {name: _word(text, WORDS[name], where)}


def _word(text: str, known: tuple[str, ...], where: str) -> str:
    said = " ".join(text.casefold().replace("_", " ").split())
    if said in known:
        return said
    folded = said.replace("-", " ")
    exact = [word for word in known if word.replace("-", " ") == folded]
    if exact:
        return exact[0]
    near = difflib.get_close_matches(said, known, 1, 0.5)
    meant = f'did you mean "{near[0]}"?' if near else f"expected one of {', '.join(known)}"
    raise UserInputError(f'{where} "{clean(text, 40)}": {meant}')


def _service_s(text: str, where: str) -> float:
    try:
        service_s = parse(text, "time")
    except UserInputError as error:
        raise UserInputError(f"{where} {error}") from None
    if service_s <= 0:
        raise UserInputError(f'{where} "{clean(text, 40)}": expected a time such as "400 h"')
    return service_s


def _bead(text: str, where: str, recording: Recording) -> int:
    last = beads_in(recording)
    if last == 0:
        raise UserInputError(f'{where} "{clean(text, 40)}": {recording.name} has no beads')
    number = int(text) if text.isascii() and text.isdigit() and len(text) < 9 else 0
    if not 1 <= number <= last:
        raise UserInputError(
            f'{where} "{clean(text, 40)}": expected the number of a bead, 1 to {last} '
            f"in {recording.name}"
        )
    return number


def sha256_of(path: Path) -> str:
    """Return the SHA-256 of a file, hex, read in pieces.

    Raises `RecordingError` where it is no regular file, and `UserInputError` where it is empty
    or can't be read.
    """
    name = clean(str(path))
    with open_regular(path, "a photo") as file:
        try:
            digest = hashlib.file_digest(cast("Any", file), "sha256").hexdigest()
            size = file.tell()
        except OSError as error:
            raise UserInputError(f"{name}: can't be read: {clean(str(error.strerror))}") from None
    if not size:
        raise UserInputError(f"{name}: an empty file, expected a photo")
    return digest
