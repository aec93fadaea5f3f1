"""Lines for a terminal of 80 columns: rows of name, value and remark, and sentences."""

from __future__ import annotations

import re
import textwrap

WIDTH = 80
_NAME, _VALUE = 20, 16
_REMARK_AT = 2 + _NAME + 1 + _VALUE + 1
_GLUE = "\x1f"


def row_of(name: str, value: str, remark: str) -> str:
    """Return a row as one text, its cells parted by tabs; more remark may be added to it."""
    return f"{name}\t{value}\t{remark}"


def laid_out(line: str, width: int = WIDTH) -> list[str]:
    """Return a row or a sentence as lines of at most `width`, the first indented by two.

    A word longer than a line stays whole. A value too long for its column is broken into
    lines of its own and pushes its remark below them.

    >>> print("\\n".join(laid_out(row_of("wall", "12 mm", "given"))))
      wall                 12 mm            given
    """
    if "\t" not in line:
        return _filled(line, width, "  ", "    ")
    name, value, remark = line.split("\t", 2)
    head = f"  {name:<{_NAME}} {value:<{_VALUE}} "
    margin = " " * _REMARK_AT
    if len(head) > _REMARK_AT:
        values = _filled(value, width, f"  {name:<{_NAME}} ", " " * (_NAME + 3))
        return [*values, *_filled(remark, width, margin, margin)]
    first, *more = _filled(remark, width, margin, margin) or [head]
    return [(head + first[_REMARK_AT:]).rstrip(), *more]


def flowing(name: str, value: str, remark: str, width: int = WIDTH) -> list[str]:
    """Return a row whose remark goes on below its value, as lines of at most `width`.

    It takes fewer lines than `laid_out` where remarks are long.

    >>> print("\\n".join(flowing("box", "30 l", "computed: the room that the cover leaves all round")))
      box                  30 l             computed: the room that the cover leaves
                             all round
    """
    first = f"  {name:<{_NAME}} "
    gap = 1 if len(value) <= _VALUE else 2
    text = f"{value:<{_VALUE}}{' ' * gap}{remark}".rstrip()
    return _filled(text, width, first, " " * (_NAME + 5))


def _filled(text: str, width: int, first: str, then: str) -> list[str]:
    # A sign no text has keeps a temperature on one line.
    lines = textwrap.wrap(
        re.sub(r"(?<=\d) (?=°)", _GLUE, text),
        width,
        initial_indent=first,
        subsequent_indent=then,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [line.replace(_GLUE, " ") for line in lines]
