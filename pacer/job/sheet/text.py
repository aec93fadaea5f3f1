"""The sheet as lines for a terminal, 80 columns wide unless said otherwise."""

from __future__ import annotations

from collections.abc import Iterable

from pacer.job.columns import WIDTH, laid_out, row_of
from pacer.job.sheet.records import Drawing, Entry, Line, Mark, Section, Step

_WORDS: dict[Mark, str] = {"stop": "STOP: ", "decide": "DECIDE: ", "not paced": "NOT PACED: "}
"What stands out on paper does so by a word, not by a colour."


def text_lines(sections: Iterable[Section], width: int = WIDTH) -> list[str]:
    """Return the sections, a blank line and a heading each, ready to print one a line.

    A section's `do` steps are numbered; a drawing keeps its own lines.
    """
    lines: list[str] = []
    for section in sections:
        lines += ["", section.heading]
        done = 0
        for line in section.lines:
            done += isinstance(line, Step) and line.mark == "do"
            lines += _line(line, done, width)
    return lines


def _line(line: Line, done: int, width: int) -> list[str]:
    if isinstance(line, Drawing):
        return [f"  {line.title}", *(f"  {drawn}".rstrip() for drawn in line.lines)]
    if isinstance(line, Entry):
        return laid_out(row_of(line.label, line.value, remark(line)), width)
    word = f"{done}. " if line.mark == "do" else _WORDS.get(line.mark, "")
    return laid_out(f"{word}{said(line)}", width)


def remark(entry: Entry) -> str:
    """Return where an entry's value comes from, in words."""
    return f"{entry.origin}: {entry.why}" if entry.why else entry.origin


def said(step: Step) -> str:
    """Return a step with who says so behind it."""
    return f"{step.text} ({step.source})" if step.source else step.text
