"""The sheet as lines for a terminal, 80 columns wide unless said otherwise."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from pacer.job.columns import WIDTH, flowing, laid_out
from pacer.job.sheet.forms.footnotes import LEGEND, Cite, Footnotes, remark
from pacer.job.sheet.records import Drawing, Entry, Line, Mark, Section, Step

_WORDS: dict[Mark, str] = {"stop": "STOP: ", "decide": "DECIDE: ", "not paced": "NOT PACED: "}
"What stands out on paper does so by a word, not by a colour."
_MANY = 3
"Values in a row that were all given stand in one paragraph."
SOURCES = "Sources"
"Heading of the list at the end."


def text_lines(sections: Iterable[Section], width: int = WIDTH) -> list[str]:
    """Return the sections and their sources, a blank line and a heading each, one line each.

    A section's `do` steps are numbered; a drawing keeps its own lines. Sources stand once at
    the end, their numbers in brackets where they are used.
    """
    shown = tuple(sections)
    notes = Footnotes(shown)
    lines: list[str] = []
    for section in shown:
        lines += ["", section.heading]
        done = 0
        for given, group in groupby(section.lines, _given):
            run = list(group)
            if given and len(run) >= _MANY:
                lines += laid_out(f"given - {'; '.join(map(_pair, run))}", width)
                continue
            for line in run:
                done += isinstance(line, Step) and line.mark == "do"
                lines += _line(line, done, notes, width)
    return [*lines, *_sources(notes, width)]


def _given(line: Line) -> bool:
    return isinstance(line, Entry) and line.origin == "given" and not line.why


def _pair(line: Line) -> str:
    assert isinstance(line, Entry)
    return f"{line.label}: {line.value}"


def _line(line: Line, done: int, notes: Footnotes, width: int) -> list[str]:
    if isinstance(line, Drawing):
        return [f"  {line.title}", *(f"  {drawn}".rstrip() for drawn in line.lines)]
    cited = notes.marks(line.sources)
    if isinstance(line, Entry):
        return flowing(line.label, line.value, _cited(remark(line, cited)), width)
    word = f"{done}. " if line.mark == "do" else _WORDS.get(line.mark, "")
    behind = f" ({_cited(cited)})" if cited else ""
    return laid_out(f"{word}{line.text}{behind}", width)


def _cited(cites: tuple[Cite, ...]) -> str:
    return "; ".join(
        f"{cite.word} [{', '.join(map(str, cite.numbers))}]" if cite.numbers else cite.word
        for cite in cites
    )


def _sources(notes: Footnotes, width: int) -> list[str]:
    lines: list[str] = []
    for status, listed in notes.listed():
        told = "; ".join(f"[{note.number}] {note.text}" for note in listed)
        lines += laid_out(f"{status[0].upper()}{status[1:]}: {told}.", width)
    return ["", SOURCES, *lines, *laid_out(LEGEND, width)] if lines else []
