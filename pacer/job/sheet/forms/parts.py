"""Sections of a sheet as HTML, and the list of their sources; whichever page they stand on."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from itertools import groupby

from pacer.job.job import Job
from pacer.job.sheet.forms.footnotes import LEGEND, Cite, Footnotes, remark
from pacer.job.sheet.forms.svg import svg
from pacer.job.sheet.forms.text import SOURCES
from pacer.job.sheet.records import Drawing, Entry, Line, Section, Step
from pacer.job.sheet.shapes.crack_map import legend, map_shape
from pacer.job.sheet.shapes.cross_section import section_shape
from pacer.job.sheet.shapes.strokes import Shape
from pacer.units import Shown

_WORDS = {"stop": "STOP", "decide": "DECIDE", "not paced": "NOT PACED"}


def sections_html(
    job: Job, shown: Shown, sections: Iterable[Section], notes: Footnotes, level: int = 2
) -> str:
    """Return sections with their headings at a level; sources are marked by their numbers."""
    drawn = {
        "section": _figure(section_shape(job, shown)),
        "map": _figure(map_shape(job), legend(job)),
    }
    return "\n".join(_section(section, drawn, notes, level) for section in sections)


def entry_remark(entry: Entry, notes: Footnotes) -> str:
    """Return where an entry's value comes from, with the numbers of its sources."""
    return _cited(remark(entry, notes.marks(entry.sources)))


def said(step: Step, notes: Footnotes) -> str:
    """Return a step's words, with the numbers of its sources behind them."""
    cites = notes.marks(step.sources)
    source = f' <span class="source">({_cited(cites)})</span>' if cites else ""
    return f"{escape(step.text)}{source}"


def sources_html(notes: Footnotes) -> str:
    """Return the numbered list of all sources, those of one status together; or nothing."""
    parts = "".join(
        f"<p>{status[0].upper()}{status[1:]}:</p>"
        + "".join(f'<p class="do"><b>{note.number}</b>{escape(note.text)}</p>' for note in listed)
        for status, listed in notes.listed()
    )
    if not parts:
        return ""
    return f"<section><h2>{SOURCES}</h2>\n{parts}<p>{escape(LEGEND)}</p></section>"


def _figure(shape: Shape, words: str = "") -> str:
    caption = escape(shape.title + (f"; {words}" if words else ""))
    return f"<figure><figcaption>{caption}</figcaption>{svg(shape)}</figure>"


def _section(section: Section, drawn: dict[str, str], notes: Footnotes, level: int) -> str:
    parts, done = [], 0
    for kind, group in groupby(section.lines, _kind):
        lines = list(group)
        if kind == "do":
            parts.append(_numbered(lines, done + 1, notes))
            done += len(lines)
        elif kind == "entry":
            parts.append(f"<table>{''.join(_row(line, notes) for line in lines)}</table>")
        else:
            parts += [_other(line, drawn, notes) for line in lines]
    heading = f"<h{level}>{escape(section.heading)}</h{level}>"
    return f"<section>{heading}\n{''.join(parts)}\n</section>"


def _kind(line: Line) -> str:
    if isinstance(line, Entry):
        return "entry"
    return "do" if isinstance(line, Step) and line.mark == "do" else "other"


def _row(line: Line, notes: Footnotes) -> str:
    assert isinstance(line, Entry)
    return (
        f'<tr><th scope="row">{escape(line.label)}</th>'
        f'<td><b class="value">{escape(line.value)}</b> '
        f'<span class="source">{entry_remark(line, notes)}</span></td></tr>'
    )


def _cited(cites: tuple[Cite, ...]) -> str:
    return "; ".join(
        f"{escape(cite.word)}<sup>{', '.join(map(str, cite.numbers))}</sup>"
        if cite.numbers
        else escape(cite.word)
        for cite in cites
    )


def _numbered(lines: list[Line], first: int, notes: Footnotes) -> str:
    # Written out, not left to a list's counter: text between two steps must not begin it anew.
    steps = [line for line in lines if isinstance(line, Step)]
    return "".join(
        f'<p class="do"><b>{number}.</b>{said(step, notes)}</p>'
        for number, step in enumerate(steps, first)
    )


def _other(line: Line, drawn: dict[str, str], notes: Footnotes) -> str:
    if isinstance(line, Drawing):
        text = escape("\n".join(line.lines))
        as_is = f"<figure><figcaption>{escape(line.title)}</figcaption><pre>{text}</pre></figure>"
        return drawn.get(line.name, as_is)
    assert isinstance(line, Step)
    word = _WORDS.get(line.mark)
    if word is None:
        return f"<p>{said(line, notes)}</p>"
    return f'<p class="{line.mark}"><b>{word}:</b> {said(line, notes)}</p>'
