"""`Capped`: a list that stays short however long the recording is, and says how much it lacks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Generic, TypeVar

MOST = 2000
"""Rows of one kind on a review. A session of 1000 beads has some phases more; a log made to
fill the memory has millions."""

T = TypeVar("T")


class Capped(Generic[T]):
    """The first `MOST` of what is added, in order; the rest is counted."""

    def __init__(self) -> None:
        self._rows: list[T] = []
        self.more = 0
        "How many were left out."

    def __iter__(self) -> Iterator[T]:
        return iter(self._rows)

    def __len__(self) -> int:
        return len(self._rows)

    def add(self, row: T) -> None:
        """Keep one more, or count it."""
        if len(self._rows) < MOST:
            self._rows.append(row)
        else:
            self.more += 1

    def take(self, other: Capped[T]) -> None:
        """Keep another list's rows, and count what that one has left out."""
        self.extend(other)
        self.more += other.more

    def extend(self, rows: Iterable[T]) -> None:
        """Keep several more."""
        for row in rows:
            self.add(row)
