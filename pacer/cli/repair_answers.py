"""What one answer about a finished repair means: from an option or a question, alike.

`where` begins each complaint: the option's name, or what a question calls it.
"""

from __future__ import annotations

import difflib
import functools
import hashlib
from collections.abc import Sequence
from pathlib import Path
from typing import Any, TypeVar, cast

from pacer.errors import UserInputError
from pacer.recording.reader import Recording, open_regular
from pacer.run.afterwards import beads_in
from pacer.text import clean
from pacer.units import Kind, example, parse

TEXT_CHARS = 1000
_NAME_CHARS = 200

_RANGES: dict[Kind, tuple[str, str]] = {
    "force": ("0.1 N", "100000 kN"),
    "length": ("0.001 mm", "100 m"),
    "time": ("0.1 s", "10000 day"),
}
"Least and greatest that is taken of a kind, as typed: within what a recording can hold."

Word = TypeVar("Word", bound=str)


def one_of(text: str, known: Sequence[Word], where: str) -> Word:
    """Return the word of `known` that is meant; case, `_` and `-` make no difference.

    Raises `UserInputError` that names the nearest, or all of them.
    """
    said = _folded(text)
    for word in known:
        if _folded(word) == said:
            return word
    near = difflib.get_close_matches(said, known, 1, 0.5)
    meant = f'did you mean "{near[0]}"?' if near else f"expected one of {', '.join(known)}"
    raise UserInputError(f'{where} "{clean(text, 40)}": {meant}')


def _folded(text: str) -> str:
    return " ".join(text.casefold().replace("_", " ").replace("-", " ").split())


def yes_or_no(text: str, where: str) -> bool:
    """Return True for yes; raises `UserInputError` for anything but yes and no."""
    said = text.strip().casefold()
    return one_of({"y": "yes", "n": "no"}.get(said, said), ("yes", "no"), where) == "yes"


def more_than_nothing(text: str, kind: Kind, where: str) -> float:
    """Return a quantity above 0 that a recording can hold, SI; raises `UserInputError`."""
    value, found = quantity(text, kind, where), f'{where} "{clean(text, 40)}"'
    if value <= 0:
        words, right = example(kind)
        raise UserInputError(f'{found}: expected {words} such as "{right}"')
    if kind in _RANGES:
        least, most = _RANGES[kind]
        if not parse(least, kind) <= value <= parse(most, kind):
            raise UserInputError(f"{found}: out of range; write {least} to {most}")
    return value


def quantity(text: str, kind: Kind, where: str) -> float:
    """Return a quantity, SI or °C; raises `UserInputError`."""
    try:
        return parse(text, kind)
    except UserInputError as error:
        raise UserInputError(f"{where} {error}") from None


@functools.lru_cache(maxsize=1)
def _last_bead(recording: Recording) -> int:
    # It folds the recording: seconds for a long one, and several answers may name a bead.
    return beads_in(recording)


def bead_number(text: str, where: str, recording: Recording) -> int:
    """Return the number of one of a recording's beads; raises `UserInputError`."""
    last = _last_bead(recording)
    if last == 0:
        raise UserInputError(f'{where} "{clean(text, 40)}": {recording.name} has no beads')
    number = int(text) if text.isascii() and text.isdigit() and len(text) < 9 else 0
    if not 1 <= number <= last:
        raise UserInputError(
            f'{where} "{clean(text, 40)}": expected the number of a bead, 1 to {last} '
            f"in {recording.name}"
        )
    return number


def photo(text: str) -> dict[str, str]:
    """Return the name and the SHA-256 of a photo, as the members that hold them."""
    path = Path(text)
    return {"photo": clean(path.name, _NAME_CHARS), "photo_sha": sha256_of(path)}


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
