"""Pieces of a page: tables, lists, sections. Every text passes `clean` and `html.escape`."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from html import escape

from pacer.text import clean
from pacer.units import Shown

LONGEST = 4000
"A paragraph of ours with foreign words in it; those were cut when they were recorded."

_BEFORE_UNIT = re.compile(r"(?<=\d) (?=[°%]|(?:h|min|s|K|mm)\b)")
"A number stays with its unit."

Row = Sequence[str]

_SHORT = 24
"A table of so many rows is not cut by the end of a sheet."


def safe(text: str) -> str:
    """Return text that a page can hold.

    >>> safe("<b>\\x1b[2J & co")
    '&lt;b&gt;�[2J &amp; co'
    """
    return _BEFORE_UNIT.sub("\N{NO-BREAK SPACE}", escape(clean(text, LONGEST)))


def span(low_c: float, high_c: float, shown: Shown) -> str:
    """Return two temperatures as a range, or as one where they read the same.

    >>> span(185.2, 294.0, Shown()), span(262.0, 262.3, Shown())
    ('185 to 294 °C', '262 °C')
    """
    low, high = f"{shown.temp_number(low_c):.0f}", shown.temp_c(high_c)
    return high if high.split()[0] == low else f"{low} to {high}"


def section(name: str, heading: str, *parts: str) -> str:
    """Return a section under its heading; nothing where it has no parts. `name` is its address."""
    inner = "\n".join(part for part in parts if part)
    if not inner:
        return ""
    return f'<section id="{name}"><h2>{safe(heading)}</h2>\n{inner}\n</section>'


def paragraph(text: str, kind: str = "") -> str:
    """Return a paragraph; nothing of an empty text."""
    looks = f' class="{kind}"' if kind else ""
    return f"<p{looks}>{safe(text)}</p>" if text else ""


def table(
    caption: str, head: Row, rows: Iterable[Row], right: Iterable[int] = (), more: int = 0
) -> str:
    """Return a table with a heading a column, each row headed by its first cell.

    `right` are the columns of numbers; `more` is how many rows were left out. Nothing where
    there are no rows. A table wider than a narrow screen is moved by itself, not the page.
    """
    numbers = frozenset(right)

    def cell(tag: str, column: int, text: str) -> str:
        scope = {"th": ' scope="row"', "td": "", "col": ' scope="col"'}[tag]
        looks = ' class="r"' if column in numbers else ""
        name = "th" if tag == "col" else tag
        return f"<{name}{scope}{looks}>{safe(text)}</{name}>"

    body = [
        "<tr>"
        + "".join(cell("td" if column else "th", column, text) for column, text in enumerate(row))
        + "</tr>"
        for row in rows
    ]
    if not body:
        return ""
    heads = "".join(cell("col", column, text) for column, text in enumerate(head))
    left_out = paragraph(f"and {more} more, not shown", "quiet") if more else ""
    looks = "scroll short" if len(body) <= _SHORT else "scroll"
    return (
        f'<div class="{looks}" role="region" aria-label="{safe(caption)}" tabindex="0"><table>'
        f"<caption>{safe(caption)}</caption><thead><tr>{heads}</tr></thead>"
        f"<tbody>{''.join(body)}</tbody></table></div>{left_out}"
    )


def facts(caption: str, rows: Iterable[tuple[str, str]]) -> str:
    """Return a table of names and values; nothing where there are none."""
    body = "".join(
        f'<tr><th scope="row">{safe(label)}</th><td>{safe(value)}</td></tr>'
        for label, value in rows
    )
    if not body:
        return ""
    return f'<table class="facts"><caption>{safe(caption)}</caption><tbody>{body}</tbody></table>'


def listed(lines: Iterable[str], more: int = 0) -> str:
    """Return a list of lines; nothing where there are none."""
    items = "".join(f"<li>{safe(line)}</li>" for line in lines)
    if more:
        items += f"<li>and {more} more, not shown</li>"
    return f'<ul class="told">{items}</ul>' if items else ""


def timed(rows: Iterable[tuple[str, str]], more: int = 0) -> str:
    """Return a list of lines with their times before them; nothing where there are none."""
    items = "".join(
        f'<li><span class="times">{safe(at)}</span> {safe(words)}</li>' for at, words in rows
    )
    if more:
        items += f"<li>and {more} more, not shown</li>"
    return f'<ul class="told">{items}</ul>' if items else ""
