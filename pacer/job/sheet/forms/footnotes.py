"""Numbers for the sources of a sheet: a word and a mark at the value, the source once at the end.

The status stays at the value in a word; how far exactly a source was seen stands over its
part of the list.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from pacer.job.sheet.records import Drawing, Entry, Section, Source, Sources
from pacer.trade.rows import STATUSES

_WORDS = {
    "seen in the primary text": "published",
    "seen in a secondary page": "published",
    "calculated": "computed",
}
"What a status is called at a value; the others are called what they are."


LEGEND = "Where no number stands behind the word, nobody is known who says it."


class Cite(NamedTuple):
    """What stands at a value: a word of how far its sources were seen, and their numbers."""

    word: str
    numbers: tuple[int, ...] = ()
    "None where nobody is known to say it."


class Footnote(NamedTuple):
    """One source of the list."""

    number: int
    text: str


class Footnotes:
    """The sources of some sections, numbered in the order of their list."""

    def __init__(self, sections: Iterable[Section]) -> None:
        self._rows: dict[tuple[str, str], list[str]] = {}
        for source in _all(sections):
            if source.text:
                rows = self._rows.setdefault(_key(source), [])
                # Those of the cautions are words, and say nothing that the text doesn't.
                names = re.findall(r"[A-Z]\d+[a-z]?", source.row)
                rows += [name for name in names if name not in rows]
        order = sorted(self._rows, key=lambda key: STATUSES.index(_status(key[0])))
        self._numbers = {key: number for number, key in enumerate(order, 1)}

    def marks(self, sources: Sources) -> tuple[Cite, ...]:
        """Return what stands at a value that has these sources, one for each word."""
        found: dict[str, list[int]] = {}
        for source in sources:
            word = _WORDS.get(source.status, source.status.partition(", ")[0])
            numbers = found.setdefault(word, [])
            if source.text and self._numbers[_key(source)] not in numbers:
                numbers.append(self._numbers[_key(source)])
        return tuple(Cite(word, tuple(sorted(numbers))) for word, numbers in found.items())

    def listed(self) -> Iterator[tuple[str, list[Footnote]]]:
        """Yield each status that occurs with its sources."""
        for status in STATUSES:
            notes = [
                Footnote(number, _told(key, self._rows[key]))
                for key, number in self._numbers.items()
                if _status(key[0]) == status
            ]
            if notes:
                yield status, notes


def _all(sections: Iterable[Section]) -> Iterator[Source]:
    for section in sections:
        for line in section.lines:
            if not isinstance(line, Drawing):
                yield from line.sources


def _key(source: Source) -> tuple[str, str]:
    return source.status, source.text


def _status(seen: str) -> str:
    return seen.partition(", ")[0]


def _told(key: tuple[str, str], rows: list[str]) -> str:
    """A source with what its status has more to say, and the rows of `pacer sources`."""
    seen, text = key
    sure = seen.partition(", ")[2]
    more = [*([sure] if sure else []), *([", ".join(rows)] if rows else [])]
    return f"{text} ({'; '.join(more)})" if more else text


def remark(entry: Entry, marks: tuple[Cite, ...]) -> tuple[Cite, ...]:
    """Return where a value comes from, in words with the numbers of its sources behind them.

    >>> remark(Entry("a", "1 s", "computed", "by hand"), (Cite("computed", (3,)),))
    (Cite(word='computed: by hand', numbers=(3,)),)
    """
    own = f"{entry.origin}: {entry.note}" if entry.note else entry.origin
    if not marks:
        return (Cite(own, ()),)
    first, *more = marks
    if not entry.note:
        # Its own word once is enough.
        word = first.word if first.word.startswith(entry.origin) else f"{own}: {first.word}"
        return (Cite(word, first.numbers), *more)
    if first.word == entry.origin:
        return (Cite(own, first.numbers), *more)
    return (Cite(own, ()), *marks)
