"""The sheet as one HTML page to print and hang at the table: a bench card, the rest behind.

Self-contained: no script, no web font, no address; black on white. It is well-formed XML
too, so that a parser can vouch for it. Every text passes `html.escape`.
"""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from itertools import groupby

from pacer.job.job import Job
from pacer.job.plan import Plan
from pacer.job.sheet.card import card
from pacer.job.sheet.crack_map import map_shape
from pacer.job.sheet.drawings import svg
from pacer.job.sheet.records import Drawing, Entry, Line, Section, Step
from pacer.job.sheet.section import section_shape
from pacer.job.sheet.shapes import Shape
from pacer.job.sheet.text import remark
from pacer.job.sheet.whole import title
from pacer.units import Shown

DOCTYPE = "<!DOCTYPE html>"
"A page of ours begins with it."
_STYLE = """
@page { size: portrait; margin: 13mm }
body { font: 10.5pt/1.3 sans-serif; color: black; background: white; max-width: 184mm;
  margin: 0 auto }
h1 { font-size: 21pt; line-height: 1.1; margin: 0 0 1mm; overflow-wrap: anywhere }
h2 { font-size: 14pt; margin: 6mm 0 1.5mm; border-bottom: 0.5mm solid black; break-after: avoid }
.short, .card { break-inside: avoid }
table { border-collapse: collapse; width: 100% }
th, td { text-align: left; vertical-align: top; padding: 0.7mm 2mm 0.7mm 0;
  border-bottom: 0.2mm solid #777; overflow-wrap: anywhere }
th { font-weight: normal; width: 20% }
td.value { font-weight: bold; width: 26% }
tr, p, figure, pre { break-inside: avoid }
p { margin: 1.2mm 0 } figure { margin: 3mm 0 }
pre { font: 9.5pt/1.1 monospace }
.source { font-size: 8.5pt }
.do { padding-left: 9mm } .do b { display: inline-block; width: 8mm; margin-left: -8mm }
.decide, .not { border-left: 0.4mm solid black; padding-left: 2.6mm }
.decide { border-left-width: 1.6mm } .stop { border: 1.2mm solid black; padding: 2mm;
  font-weight: bold }
.card { break-after: page } .card h1 { max-height: 2.2em; overflow: hidden } .card p { font-size: 12pt }
.band { display: flex; border: 1mm solid black; margin: 3mm 0 }
.band div { flex: 1; text-align: center; padding: 1mm 0 2mm }
.band div + div { border-left: 1mm solid black }
.band .word { font-size: 20pt; padding: 0 } .band .unit { font-size: 20pt }
.band .number { font-size: 64pt; font-weight: bold; line-height: 1 }
.card th { font-size: 20pt; width: 23% } .card td { font-size: 24pt; font-weight: bold }
.card td small { font-size: 13pt; font-weight: normal; display: block }
"""
_CARD_MAP_MM = 50.0
"What a Letter sheet has left under the card's lines."
_SHORT = 16
_WORDS = {"stop": "STOP", "decide": "DECIDE", "not paced": "NOT PACED"}


def page(made: Plan, job: Job, shown: Shown, sections: Iterable[Section]) -> str:
    """Return the page of a plan; `sections` are those of `whole.whole`."""
    name = escape(title(job))
    order = map_shape(job)
    drawn = {"section": _figure(section_shape(job, shown)), "map": _figure(order)}
    body = "\n".join(_section(section, drawn) for section in sections)
    return (
        f'{DOCTYPE}\n<html xmlns="http://www.w3.org/1999/xhtml" lang="en">\n<head>'
        f'<meta charset="utf-8"/><title>{name}</title>'
        f'<meta name="viewport" content="width=device-width"/><style>{_STYLE}</style></head>\n'
        f"<body>\n{card(made, job, shown, svg(order, _CARD_MAP_MM))}\n{body}\n</body>\n</html>\n"
    )


def _figure(shape: Shape) -> str:
    return f"<figure><figcaption>{escape(shape.title)}</figcaption>{svg(shape)}</figure>"


def _section(section: Section, drawn: dict[str, str]) -> str:
    parts, done = [], 0
    for kind, group in groupby(section.lines, _kind):
        lines = list(group)
        if kind == "do":
            parts.append(_numbered(lines, done + 1))
            done += len(lines)
        elif kind == "entry":
            parts.append(f"<table>{''.join(_row(line) for line in lines)}</table>")
        else:
            parts += [_other(line, drawn) for line in lines]
    # A long section may go on over the page: kept whole it would leave half a sheet empty.
    short = ' class="short"' if len(section.lines) <= _SHORT else ""
    return f"<section{short}><h2>{escape(section.heading)}</h2>\n{''.join(parts)}\n</section>"


def _kind(line: Line) -> str:
    if isinstance(line, Entry):
        return "entry"
    return "do" if isinstance(line, Step) and line.mark == "do" else "other"


def _row(line: Line) -> str:
    assert isinstance(line, Entry)
    return (
        f'<tr><th scope="row">{escape(line.label)}</th><td class="value">{escape(line.value)}</td>'
        f'<td class="source">{escape(remark(line))}</td></tr>'
    )


def _numbered(lines: list[Line], first: int) -> str:
    # Written out, not left to a list's counter: text between two steps must not begin it anew.
    steps = [line for line in lines if isinstance(line, Step)]
    return "".join(
        f'<p class="do"><b>{number}.</b>{_said(step)}</p>'
        for number, step in enumerate(steps, first)
    )


def _other(line: Line, drawn: dict[str, str]) -> str:
    if isinstance(line, Drawing):
        text = escape("\n".join(line.lines))
        as_is = f"<figure><figcaption>{escape(line.title)}</figcaption><pre>{text}</pre></figure>"
        return drawn.get(line.name, as_is)
    assert isinstance(line, Step)
    word = _WORDS.get(line.mark)
    if word is None:
        return f"<p>{_said(line)}</p>"
    return f'<p class="{line.mark}"><b>{word}:</b> {_said(line)}</p>'


def _said(step: Step) -> str:
    source = f' <span class="source">({escape(step.source)})</span>' if step.source else ""
    return f"{escape(step.text)}{source}"
