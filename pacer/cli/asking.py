"""Short questions on a terminal, one after the other; Enter: not known, Ctrl+D: leave."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from typing import TypeVar

from pacer.errors import PacerError
from pacer.job.columns import WIDTH, laid_out

T = TypeVar("T")


def ask(
    text: str,
    take: Callable[[str], T],
    *,
    means: str = "",
    choices: Sequence[str] = (),
    needed: str = "",
    listed: Callable[[], Sequence[str]] | None = None,
) -> T | None:
    """Ask until `take` accepts the answer, which it is given as one of `choices` where it is
    the number of one; a complaint is printed and it is asked again. `?` shows `listed`.

    Return None for Enter, unless `needed` says why that is no answer. Raises EOFError at the
    end of input.
    """
    print(text)
    for line in laid_out(f"({means})") if means else ():
        print(line)
    if choices:
        print("\n".join(_rows([f"{n} {word}" for n, word in enumerate(choices, start=1)])))
    while True:
        answer = input("> ").strip()
        if answer == "?" and listed is not None:
            print("\n".join(listed()))
            continue
        if not answer and needed:
            print(f"  {needed}")
            continue
        if not answer:
            return None
        if (
            choices
            and answer.isascii()
            and answer.isdigit()
            and 1 <= int(answer[:9]) <= len(choices)
        ):
            answer = choices[int(answer) - 1]
        try:
            return take(answer)
        except PacerError as error:
            print("\n".join(laid_out(str(error))))


def ask_photo(text: str, take: Callable[[str], T]) -> T | None:
    """Ask for a file; one dragged into the terminal comes in quotes."""
    return ask(text, lambda answer: take(os.path.expanduser(answer.strip("'\""))))


def agreed(question: str) -> bool:
    """Ask for a yes; everything else, Enter too, is no. Raises EOFError at the end of input."""
    return input(f"{question} [y/N] ").strip().casefold() in {"y", "yes"}


def may_write(name: str) -> bool:
    """Ask the one question before a record is written."""
    return agreed(f"Write this into {name}? It can't be changed later.")


def _rows(cells: Sequence[str]) -> list[str]:
    """Return choices side by side, as many as a line holds."""
    rows: list[str] = []
    for cell in cells:
        if rows and len(rows[-1]) + 3 + len(cell) <= WIDTH:
            rows[-1] += f"   {cell}"
        else:
            rows.append(f"  {cell}")
    return rows
