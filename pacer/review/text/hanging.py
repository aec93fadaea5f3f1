"""A sentence behind a start, such as a time, its further lines below its first word."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.job.columns import WIDTH, laid_out

_INDENT = 2
"What `laid_out` puts before the first line."


def hanging(start: str, words: str) -> Iterator[str]:
    """Yield lines of at most 80 columns.

    >>> list(hanging("0:20:49  ", "bead 1 was long"))
    ['0:20:49  bead 1 was long']
    """
    margin = " " * len(start)
    for number, line in enumerate(laid_out(words, WIDTH + _INDENT - len(start))):
        yield (margin if number else start) + line[_INDENT:]
