"""The bench card: the printed page's first sheet, large enough to be read at a metre.

It is the section "In short" in large letters, the band in figures and the order of the beads;
it decides nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from html import escape

from pacer.job.job import Job
from pacer.job.sheet.records import Entry, Line, Section, Step
from pacer.job.sheet.sections.short import ON_TOP
from pacer.job.sheet.whole import title
from pacer.units import Shown


def card(job: Job, shown: Shown, short: Section, said: Callable[[Entry], str], map_svg: str) -> str:
    """Return the card as HTML; `said` gives an entry's origin as HTML, `map_svg` is a drawing."""
    name, _, what = title(job).rpartition(": ")
    band = [line for line in short.lines if isinstance(line, Entry) and line.label == "band"]
    rows = "".join(_row(line, said) for line in short.lines if _below(line))
    first = "".join(_first(line) for line in short.lines if _is_first(line))
    return (
        f'<section class="card"><h1>{escape(name)}</h1><p>{escape(what)}</p>'
        f'<div class="band">{"".join(_number(*one, shown) for one in _band(job))}</div>'
        f"{''.join(_told(line, said) for line in band)}"
        f'{first}<table>{rows}</table><div class="foot"><figure>{map_svg}</figure>'
        "<p>Numbers in small type are those of the sources at the end. The card says what was "
        "given, computed or forecast; nothing on it says that a repair is sound or a part safe."
        "</p></div></section>"
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


def _is_first(line: Line) -> bool:
    return isinstance(line, Step) and line.mark == "decide"


def _first(line: Line) -> str:
    assert isinstance(line, Step)
    return f'<p class="first">{escape(line.text)}</p>'


def _below(line: Line) -> bool:
    return not (_is_first(line) or (isinstance(line, Entry) and line.label in ON_TOP))


def _row(line: Line, said: Callable[[Entry], str]) -> str:
    if isinstance(line, Entry):
        return (
            f'<tr><th scope="row">{escape(line.label)}</th>'
            f'<td>{escape(line.value)}</td><td class="source">{said(line)}</td></tr>'
        )
    assert isinstance(line, Step)
    return f'<tr><td colspan="3" class="source">{escape(line.text)}</td></tr>'
