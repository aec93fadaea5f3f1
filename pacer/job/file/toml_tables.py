"""Where new lines of a table go: before what belongs to the table that follows it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

LEFT_OUT = re.compile(r"\s*#\s*(\w+)\s*=")
"A key behind a #: it belongs to the table that it stands in."


@contextmanager
def before_next_table(document: Any, section: str) -> Iterator[Any]:
    """Give a table of a tomlkit document to add to; its end is put back behind what was added.

    Its end: blank lines, and comments that stand directly above the next table's heading.
    """
    from tomlkit.items import Table

    table = document[section]
    body = table.value.body if isinstance(table, Table) else []
    last = not document.body or document.body[-1][1] is table
    end = [] if last else _end(body)
    if end:
        del body[len(body) - len(end) :]
    yield table
    for _, item in end:
        table.add(item)


def _end(body: list[tuple[Any, Any]]) -> list[tuple[Any, Any]]:
    """Return what stands at the end of a table and belongs to the next one."""
    from tomlkit.items import Comment, Whitespace

    start = len(body)
    if body and not isinstance(body[-1][1], Whitespace):
        # With a blank line below it, a comment is the table's own.
        while start and isinstance(body[start - 1][1], Comment) and _above(body[start - 1][1]):
            start -= 1
    while start and isinstance(body[start - 1][1], Whitespace):
        start -= 1
    return body[start:]


def _above(comment: Any) -> bool:
    """Return whether a comment is of the heading below it: no rest of one, no key behind a #."""
    return not comment.trivia.indent and not LEFT_OUT.match(comment.as_string())
