"""The bench card: the printed page's first sheet, large enough to be read at a metre.

It is the section "In short" in large letters, the band in figures and the order of the beads;
it decides nothing.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from html import escape, unescape

from pacer.job.job import Job
from pacer.job.sheet.forms.room import Row, left_mm, map_mm
from pacer.job.sheet.forms.svg import svg
from pacer.job.sheet.records import Entry, Line, Section, Step
from pacer.job.sheet.sections.short import ON_TOP
from pacer.job.sheet.shapes.crack_map import legend, map_shape
from pacer.job.sheet.turning import mirrored, turning
from pacer.job.sheet.whole import title
from pacer.units import Shown

_FOOT = (
    "Numbers in small type are those of the sources at the end. The card says what was given, "
    "computed or forecast; nothing on it says that a repair is sound or a part safe."
)


def card(job: Job, shown: Shown, short: Section, said: Callable[[Entry], str]) -> str:
    """Return the card as HTML; `said` gives an entry's origin as HTML."""
    name, _, what = title(job).rpartition(": ")
    band = [line for line in short.lines if isinstance(line, Entry) and line.label == "band"]
    below = [line for line in short.lines if _below(line)]
    first = " ".join(decisions(short))
    turned = f"{turning(job)} {mirrored(job)}" if turning(job) else ""
    foot = [text for text in (f"In a run: {legend(job)}.", turned, _FOOT) if text]
    texts = [what, *(f"{line.label}: {line.value} ({_plain(said(line))})" for line in band)]
    room_mm = left_mm(name, texts, first, (_texts(line, said) for line in below))
    order = map_shape(job)
    high_mm = map_mm(room_mm, foot, order.wide_to_high)
    framed = f'<p class="first">{escape(first)}</p>' if first else ""
    return (
        f'<section class="card"><h1>{escape(name)}</h1><p>{escape(what)}</p>'
        f'<div class="band">{"".join(_number(*one, shown) for one in _band(job))}</div>'
        f"{''.join(_told(line, said) for line in band)}"
        f"{framed}<table>{''.join(_row(line, said) for line in below)}</table>"
        f'<div class="foot"><figure>{svg(order, high_mm)}</figure><div>'
        f"{''.join(f'<p>{escape(text)}</p>' for text in foot)}</div></div></section>"
    )


def _plain(html: str) -> str:
    return unescape(re.sub(r"<[^>]*>", "", html))


def _texts(line: Line, said: Callable[[Entry], str]) -> Row:
    """Return a line's texts, to tell how high it comes out."""
    if isinstance(line, Entry):
        return Row(line.label, line.value, _plain(said(line)))
    assert isinstance(line, Step)
    return Row("", "", line.text)


def decisions(short: Section) -> tuple[str, ...]:
    """Return what is to be decided first, a sentence each; the card has them in one frame."""
    return tuple(
        line.text for line in short.lines if isinstance(line, Step) and line.mark == "decide"
    )


def _band(job: Job) -> list[tuple[str, float]]:
    band = job.band
    if band.floor_c is None or band.preheat_c is None:
        return [("ceiling, no preheat", band.ceiling_c)]
    return [("floor", band.floor_c), ("preheat", band.preheat_c), ("ceiling", band.ceiling_c)]


def _number(word: str, temp_c: float, shown: Shown) -> str:
    number, unit = shown.temp_c(temp_c).split()
    return (
        f'<div><div class="word">{word}</div><span class="number">{number}</span>'
        f'<span class="unit"> {unit}</span></div>'
    )


def _told(band: Entry, said: Callable[[Entry], str]) -> str:
    return f"<p>{escape(band.label)}: {escape(band.value)} ({said(band)})</p>"


def _below(line: Line) -> bool:
    if isinstance(line, Entry):
        return line.label not in ON_TOP
    return not (isinstance(line, Step) and line.mark == "decide")


def _row(line: Line, said: Callable[[Entry], str]) -> str:
    if isinstance(line, Entry):
        return (
            f'<tr><th scope="row">{escape(line.label)}</th>'
            f'<td>{escape(line.value)}</td><td class="source">{said(line)}</td></tr>'
        )
    assert isinstance(line, Step)
    return f'<tr><td colspan="3" class="source">{escape(line.text)}</td></tr>'
