"""Short questions on a terminal, one after the other; Enter: not known, Ctrl+D or Ctrl+C: leave."""

from __future__ import annotations

import os
import shlex
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TypeVar

from pacer.errors import PacerError
from pacer.job.columns import WIDTH, laid_out
from pacer.text import clean

_COMMAND_CHARS = 20_000
"Of one that is printed: more than the longest answers make."

T = TypeVar("T")


def line_typed(prompt: str) -> str:
    """Return a line from the terminal.

    Raises EOFError for Ctrl+D, and for Ctrl+C too: whoever leaves by either is told what
    becomes of what he answered.
    """
    try:
        return input(prompt).strip()
    except KeyboardInterrupt:
        raise EOFError from None


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
        answer = line_typed("> ")
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


def noted(option: str, options: list[str], take: Callable[[str], T]) -> Callable[[str], T]:
    """Return `take` that adds each accepted answer to `options`, as a command line has it."""

    def taken(answer: str) -> T:
        made = take(answer)
        options.append(f"--{option.replace('_', '-')}={answer}")
        return made

    return taken


def tell_commands(command: str, path: Path, answered: Sequence[Sequence[str]]) -> None:
    """Print the commands that would write what was answered, and say that it wasn't."""
    if answered:
        print("Not written. What was answered, as commands for later:")
    for options in answered:
        line = shlex.join(["pacer", command, str(path), *options])
        print(clean(line, _COMMAND_CHARS))


@contextmanager
def as_commands(command: str, path: Path, answered: Sequence[Sequence[str]]) -> Iterator[None]:
    """Where what was answered can't be written, print the commands that would: it isn't lost."""
    try:
        yield
    except (PacerError, OSError):
        tell_commands(command, path, answered)
        raise


def ask_photo(text: str, take: Callable[[str], T]) -> T | None:
    """Ask for a file; one dragged into the terminal comes in quotes."""
    return ask(text, lambda answer: take(os.path.expanduser(answer.strip("'\""))))


def agreed(question: str) -> bool:
    """Ask for a yes; everything else, Enter too, is no. Raises EOFError at the end of input."""
    return line_typed(f"{question} [y/N] ").casefold() in {"y", "yes"}


def may_write(name: str) -> bool:
    """Ask the one question before a record is written.

    Enter is no answer: it passes over the questions before, so one too many comes easily.
    Raises EOFError at the end of input.
    """
    while True:
        said = line_typed(f"Write this into {name}? It can't be changed later. [y/n] ").casefold()
        if said in {"y", "yes"}:
            return True
        if said in {"n", "no"}:
            return False
        print("  y writes it; n leaves it out, and shows how to write it later")


def _rows(cells: Sequence[str]) -> list[str]:
    """Return choices side by side, as many as a line holds."""
    rows: list[str] = []
    for cell in cells:
        if rows and len(rows[-1]) + 3 + len(cell) <= WIDTH:
            rows[-1] += f"   {cell}"
        else:
            rows.append(f"  {cell}")
    return rows
