"""The sheet as one HTML page to print and hang at the table: a bench card, the rest behind.

Self-contained: no script, no web font, no address; black on white. It is well-formed XML
too, so that a parser can vouch for it. Every text passes `html.escape`.
"""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from itertools import groupby

from pacer.job.job import Job
from pacer.job.sheet.forms.card import card
from pacer.job.sheet.forms.footnotes import LEGEND, Cite, Footnotes, remark
from pacer.job.sheet.forms.svg import svg
from pacer.job.sheet.forms.text import SOURCES
from pacer.job.sheet.records import Drawing, Entry, Line, Section, Step
from pacer.job.sheet.shapes.crack_map import legend, map_shape
from pacer.job.sheet.shapes.cross_section import section_shape
from pacer.job.sheet.shapes.strokes import Shape
from pacer.job.sheet.whole import title
from pacer.units import Shown

DOCTYPE = "<!DOCTYPE html>"
"Every page of HTML begins with it."

MARK = '<meta name="generator" content="pacer plan"/>'
"In the head of a page of ours, by which it is known again (HTML standard, 4.2.5.1)."
_STYLE = """
@page { size: portrait; margin: 12mm }
body { font: 10.5pt/1.3 sans-serif; color: black; background: white; max-width: 186mm;
  margin: 0 auto }
h1 { font-size: 20pt; line-height: 1.1; margin: 0 0 1mm; overflow-wrap: anywhere }
h2 { font-size: 12pt; margin: 4mm 0 1mm; border-bottom: 0.4mm solid black; break-after: avoid }
@media print { .rest { font-size: 8pt; line-height: 1.22; columns: 2; column-gap: 6mm } }
.card { break-inside: avoid; break-after: page }
table { border-collapse: collapse; width: 100% }
th, td { text-align: left; vertical-align: top; padding: 0.4mm 1.5mm 0.4mm 0;
  border-bottom: 0.2mm solid #777; overflow-wrap: anywhere }
th { font-weight: normal; width: 27% }
b.value { padding-right: 1mm }
tr, p, figure, pre { break-inside: avoid }
p { margin: 0.8mm 0 } figure { margin: 2mm 0 }
pre { font: 8pt/1.1 monospace }
sup { font-size: 75%; line-height: 0 }
.source { font-size: 90% }
.do { padding-left: 6mm } .do b { display: inline-block; width: 5.4mm; margin-left: -5.4mm }
.decide, .not { border-left: 0.4mm solid black; padding-left: 2mm }
.decide { border-left-width: 1.4mm } .stop { border: 1mm solid black; padding: 2mm;
  font-weight: bold }
.card h1 { max-height: 2.2em; overflow: hidden } .card p { font-size: 9.5pt }
.card .first { border: 1mm solid black; padding: 1mm 2mm; font-size: 14pt; font-weight: bold }
.foot { display: flex; flex-wrap: wrap; column-gap: 6mm; align-items: center }
.foot div { flex: 1 1 70mm }
.band { display: flex; border: 1mm solid black; margin: 2mm 0 }
.band div { flex: 1; text-align: center; padding: 0.5mm 0 1mm }
.band div + div { border-left: 1mm solid black }
.band .word { font-size: 18pt; padding: 0 } .band .unit { font-size: 20pt }
.band .number { font-size: 56pt; font-weight: bold; line-height: 1 }
.card th { font-size: 14pt; width: 19% }
.card td { font-size: 16pt; font-weight: bold; line-height: 1.15; width: 44% }
.card td.source { font-size: 8.5pt; font-weight: normal; width: 37%; vertical-align: middle }
"""
_WORDS = {"stop": "STOP", "decide": "DECIDE", "not paced": "NOT PACED"}


def page(job: Job, shown: Shown, sections: Iterable[Section]) -> str:
    """Return the page of a plan; `sections` are those of `whole.whole`, or some of them.

    The card is there where the section "In short" is.
    """
    name, told = escape(title(job)), tuple(sections)
    notes = Footnotes(told)
    drawn = {
        "section": _figure(section_shape(job, shown)),
        "map": _figure(map_shape(job), legend(job)),
    }
    first = "".join(
        card(job, shown, section, lambda entry: _remark(entry, notes))
        for section in told
        if section.name == "short"
    )
    rest = "\n".join(_section(section, drawn, notes) for section in told if section.name != "short")
    return (
        f'{DOCTYPE}\n<html xmlns="http://www.w3.org/1999/xhtml" lang="en">\n<head>'
        f'<meta charset="utf-8"/>{MARK}<title>{name}</title>'
        f'<meta name="viewport" content="width=device-width"/><style>{_STYLE}</style></head>\n'
        f'<body>\n{first or f"<h1>{name}</h1>"}\n<div class="rest">{rest}\n{_sources(notes)}</div>\n'
        "</body>\n</html>\n"
    )


def _figure(shape: Shape, words: str = "") -> str:
    caption = escape(shape.title + (f"; {words}" if words else ""))
    return f"<figure><figcaption>{caption}</figcaption>{svg(shape)}</figure>"


def _section(section: Section, drawn: dict[str, str], notes: Footnotes) -> str:
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
    return f"<section><h2>{escape(section.heading)}</h2>\n{''.join(parts)}\n</section>"


def _kind(line: Line) -> str:
    if isinstance(line, Entry):
        return "entry"
    return "do" if isinstance(line, Step) and line.mark == "do" else "other"


def _row(line: Line, notes: Footnotes) -> str:
    assert isinstance(line, Entry)
    return (
        f'<tr><th scope="row">{escape(line.label)}</th>'
        f'<td><b class="value">{escape(line.value)}</b> '
        f'<span class="source">{_remark(line, notes)}</span></td></tr>'
    )


def _remark(entry: Entry, notes: Footnotes) -> str:
    return _cited(remark(entry, notes.marks(entry.sources)))


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
        f'<p class="do"><b>{number}.</b>{_said(step, notes)}</p>'
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
        return f"<p>{_said(line, notes)}</p>"
    return f'<p class="{line.mark}"><b>{word}:</b> {_said(line, notes)}</p>'


def _said(step: Step, notes: Footnotes) -> str:
    cites = notes.marks(step.sources)
    source = f' <span class="source">({_cited(cites)})</span>' if cites else ""
    return f"{escape(step.text)}{source}"


def _sources(notes: Footnotes) -> str:
    parts = "".join(
        f"<p>{status[0].upper()}{status[1:]}:</p>"
        + "".join(f'<p class="do"><b>{note.number}</b>{escape(note.text)}</p>' for note in listed)
        for status, listed in notes.listed()
    )
    if not parts:
        return ""
    return f"<section><h2>{SOURCES}</h2>\n{parts}<p>{escape(LEGEND)}</p></section>"
