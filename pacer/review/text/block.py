"""A heading with its lines, as the text of a review has them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from pacer.job.columns import laid_out


def block(
    heading: str, content: Iterable[str], more: int = 0, *, raw: bool = False
) -> Iterator[str]:
    """Yield a blank line, the heading and its lines; nothing where there are none.

    `more` is how many were left out; `raw`: the lines are laid out already.
    """
    lines = list(content) if raw else [out for line in content for out in laid_out(line)]
    if lines:
        yield ""
        yield heading
        yield from lines
        yield from left_out(more)


def left_out(more: int) -> Iterator[str]:
    """Yield how many rows were left out, where any were."""
    if more:
        yield f"  and {more} more, not shown"
