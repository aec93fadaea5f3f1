"""What is wrong with a job file, as one error with a line for each mistake."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from pacer.errors import UserInputError

_MOST_LINES = 40


class Mistake(NamedTuple):
    """One of them."""

    line: int
    "Of the file, counted from 1; 0: nowhere in it."
    keys: tuple[str, ...]
    "What it rests on, the key it is told at first; any of them may be what is to be changed."
    said: str
    'In the form `table.key = "found": what is wrong; write …`.'
    missing: bool = False
    "The first key should be in the file and isn't."
    stop: bool = False
    "It stops a plan by what the part is, not by how the file is written."


class JobFileError(UserInputError):
    """A job file that can't be used; what stops a plan first, then in the order of its lines."""

    def __init__(self, name: str, mistakes: Iterable[Mistake]) -> None:
        """Make the message: file and line before each mistake, at most forty of them."""
        self.mistakes = tuple(sorted(mistakes, key=lambda each: (not each.stop, each.line)))
        lines = [
            f"{name}:{mistake.line}: {mistake.said}" if mistake.line else f"{name}: {mistake.said}"
            for mistake in self.mistakes
        ]
        if (rest := len(lines) - _MOST_LINES) > 0:
            lines[_MOST_LINES:] = [f"{name}: and {rest} more"]
        super().__init__("\n".join(lines))
