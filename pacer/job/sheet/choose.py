"""Some sections of a sheet, by name or the nearest word."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.errors import UserInputError
from pacer.job.file.values import closest
from pacer.job.sheet.records import Section
from pacer.job.sheet.whole import headings
from pacer.text import clean

_ON_REQUEST = frozenset({"specification", "record"})
"They say again, for the papers, what other sections say; JSON and the page have them."


def chosen(words: Sequence[str]) -> frozenset[str]:
    """Return the names of the sections that the words mean; none means all.

    A word is a section's name, a word of its name or heading, or what is nearest in spelling.
    Raises UserInputError, naming the sections, for a word that is none of these.

    >>> sorted(chosen(["joint", "Bead", "hand"]))
    ['at hand', 'beads', 'joint']
    """
    names = headings()
    return frozenset(_name(word, names) for word in words) if words else frozenset(names)


def printed(words: Sequence[str]) -> frozenset[str]:
    """Return the names of the sections that a terminal shows: some of them only when asked for.

    >>> sorted(chosen([]) - printed([])), sorted(printed(["record"]))
    (['record', 'specification'], ['record'])
    """
    return chosen(words) if words else chosen(words) - _ON_REQUEST


def those(sections: Sequence[Section], names: frozenset[str]) -> tuple[Section, ...]:
    """Return the sections of these names, in the sheet's order."""
    return tuple(section for section in sections if section.name in names)


def empty(sections: Sequence[Section], words: Sequence[str]) -> list[str]:
    """Return a line for each section that was asked for by name and has nothing to say."""
    said = {section.name for section in sections}
    missing = chosen(words) - said if words else frozenset()
    return [f"{headings()[name]}: nothing." for name in sorted(missing)]


def named() -> str:
    """Return the line below a printed plan that names the sections."""
    asked = " and ".join(name for name in headings() if name in _ON_REQUEST)
    return f"Only some of it: pacer plan JOB SECTION …: {_listed()}; {asked} are printed only so."


def _name(word: str, names: dict[str, str]) -> str:
    folded = " ".join(word.replace("-", " ").replace("_", " ").casefold().split())
    if folded in names:
        return folded
    by_word = {part: name for name in names for part in name.split() if len(part) > 2}
    by_heading: dict[str, str] = {}
    for name, heading in names.items():
        for part in heading.casefold().replace(",", " ").replace("?", " ").split():
            by_heading.setdefault(part, name)
    known = {**by_heading, **by_word} if len(folded) > 2 else {}
    near = known.get(folded) or known.get(closest(folded, list(by_word)) or "")
    if near is None:
        raise UserInputError(
            f'plan: section "{clean(word, 40)}": unknown; write one of: {_listed()}'
        )
    return near


def _listed() -> str:
    return ", ".join(f'"{name}"' if " " in name else name for name in headings())
