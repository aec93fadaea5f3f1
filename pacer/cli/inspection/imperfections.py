"""Which imperfection is meant: by its ISO 6520-1 number, its name, or words of it."""

from __future__ import annotations

import difflib
import functools
import re
from typing import NamedTuple

from pacer.cli.repair_answers import bead_number, more_than_nothing
from pacer.errors import UserInputError
from pacer.job.columns import laid_out
from pacer.recording.reader import Recording
from pacer.session.inspection import Imperfection
from pacer.text import clean
from pacer.trade.rows import load
from pacer.units import spellings

_PLACE_CHARS = 60
_SAID_CHARS = 60
_EXPECTED = "expected a number of ISO 6520-1 or words of a name"
_MOST_TOLD = 12
"Of imperfections that words may mean, so many are told."


class Known(NamedTuple):
    """An imperfection of the table."""

    number: int
    name: str
    seen: str
    "How far the table's source was seen, with how sure a memory is."


@functools.cache
def known() -> tuple[Known, ...]:
    """Return those of `trade/imperfections.toml`, in its order."""
    return tuple(Known(int(row.id), row.about, row.seen) for row in load("imperfections"))


def listed() -> list[str]:
    """Return the whole table, a line each, and last how far its numbers and names were seen."""
    usual, *_ = load("imperfections")
    lines = []
    for each in known():
        mark = "" if each.seen == usual.seen else f" ({each.seen})"
        lines.append(f"{each.number:>5}  {each.name}{mark}")
    # At the end, for the table is longer than most screens are high.
    said = f"Where nothing else is said, number and name are from {usual.source}; {usual.seen}."
    return [*lines, *laid_out(said)]


def find(text: str, where: str) -> Known:
    """Return the imperfection that a number or words mean.

    Raises `UserInputError`, one line: what was found and which are near, or that several are
    meant, with their numbers.
    """
    said, table = _folded(text), known()
    for each in table:
        if said == str(each.number):
            return each
    wanted = f'{where} "{clean(text, _SAID_CHARS)}"'
    if said.isdigit():
        numbers = [str(each.number) for each in table]
        near = difflib.get_close_matches(said, numbers, 3, 0.6) or numbers[:3]
        raise UserInputError(
            f"{wanted}: no such number of ISO 6520-1 is known here, near are {', '.join(near)}"
        )
    meant = [each for each in table if said and set(said.split()) <= _words(each.name)]
    if len(meant) == 1:
        return meant[0]
    if meant:
        told = "; ".join(f"{each.number} {each.name}" for each in meant[:_MOST_TOLD])
        more = len(meant) - _MOST_TOLD
        and_more = f"; and {more} more" if more > 0 else ""
        raise UserInputError(f"{wanted}: which of these? {told}{and_more}")
    names = {_folded(each.name): each for each in table}
    near = difflib.get_close_matches(said, names, 3, 0.5)
    told = "; ".join(f"{names[name].number} {names[name].name}" for name in near)
    hint = f"did you mean {told}?" if told else _EXPECTED
    raise UserInputError(f"{wanted}: {hint}")


def _folded(name: str) -> str:
    return " ".join(re.findall(r"[^\W_]+", name.casefold()))


def _words(name: str) -> set[str]:
    # Pores are asked for as they are spoken of.
    words = _folded(name).split()
    return {*words, *(f"{word}s" for word in words), *(word.removesuffix("s") for word in words)}


_BEAD = re.compile(r"\bbead\s+(\S+)", re.IGNORECASE)
_AT = re.compile(r"\bat\s+", re.IGNORECASE)


@functools.cache
def _size() -> re.Pattern[str]:
    units = "|".join(re.escape(unit) for unit in sorted(spellings("length"), key=len, reverse=True))
    return re.compile(rf"(?<![\w.,])([\d.,/-]+\s*(?:{units}))(?!\w)")


def imperfection(text: str, where: str, recording: Recording) -> Imperfection:
    """Return what `1046 bead 3 2 mm` or `stray arc at the left end` says.

    The size and the bead may stand anywhere, the place after `at`. Raises `UserInputError`, one
    line with all that was found, and which part of it is meant.
    """
    all_of_it = f'"{clean(text, _SAID_CHARS)}"'
    try:
        return _parted(text, recording)
    except UserInputError as error:
        said = str(error).strip()
        found = said if said.startswith(f"{all_of_it}:") else f"{all_of_it}: {said}"
        raise UserInputError(f"{where} {found}") from None


def _parted(text: str, recording: Recording) -> Imperfection:
    where, rest, size_m, said_bead = "", text, None, ""
    if found := _size().search(rest):
        size_m = more_than_nothing(found[1], "length", where)
        rest = rest[: found.start()] + rest[found.end() :]
    if found := _BEAD.search(rest):
        said_bead = found[1].strip(",;")
        rest = rest[: found.start()] + rest[found.end() :]
    which, place = _with_place(rest.strip(" ,;"))
    bead = bead_number(said_bead, where, recording) if said_bead else None
    return Imperfection(number=which.number, name=which.name, bead=bead, place=place, size_m=size_m)


def _with_place(text: str) -> tuple[Known, str]:
    """Return the imperfection and the place after `at`, which some names have in them too."""
    if not _AT.split(text)[0].strip():
        raise UserInputError(f"which imperfection is missing; {_EXPECTED}")
    ends = [at.start() for at in _AT.finditer(text)]
    for end in (len(text), *reversed(ends)):
        try:
            place = _AT.sub("", text[end:], count=1)
            return find(text[:end].strip(" ,;"), ""), clean(place.strip(" ,;"), _PLACE_CHARS)
        except UserInputError as error:
            wrong = error
    raise wrong
