"""What one answer about a repair's outcome makes of an `Outcome`: from an option or a question."""

from __future__ import annotations

import difflib
import hashlib
from pathlib import Path
from typing import Any, cast, get_args

from pacer.errors import UserInputError
from pacer.recording.reader import Recording, open_regular
from pacer.run.outcome import beads_in
from pacer.session.events import Found, FoundAt, FoundWhen, FoundWhere
from pacer.text import clean
from pacer.units import parse

WORDS: dict[str, tuple[str, ...]] = {
    "found": get_args(Found),
    "when": get_args(FoundWhen),
    "where": get_args(FoundWhere),
    "runs": ("along", "across"),
    "at": get_args(FoundAt),
}
"""Options whose answer is one of a few words."""

_NAME_CHARS = 200
_TEXT_CHARS = 1000


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
