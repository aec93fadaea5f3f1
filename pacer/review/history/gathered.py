"""`Gathered`: the sessions of a folder, and what of it is not among them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import NamedTuple

from pacer.review.history.summary import Summary
from pacer.review.history.where import Where


class Row(NamedTuple):
    """One session and its file."""

    path: str
    "From the folder on, cleaned."
    session: Summary


@dataclass(frozen=True, slots=True)
class Gathered:
    """What a folder holds."""

    rows: tuple[Row, ...]
    "In the order in which they were opened."
    others: int = 0
    "Files called .jsonl that are no recordings."
    unreadable: tuple[str, ...] = ()
    "Files and folders that could not be read, a finished line each."
    same: int = 0
    "Files that hold a part of a session of which a longer one is here."
    invented: int = 0
    "Simulated sessions, left out."
    not_meant: int = 0
    "Sessions left out by the conditions."

    @property
    def sessions(self) -> tuple[Summary, ...]:
        """The sessions alone."""
        return tuple(row.session for row in self.rows)

    def without_invented(self) -> Gathered:
        """Return the same without simulated sessions, which are counted."""
        kept = tuple(row for row in self.rows if not row.session.invented)
        return replace(self, rows=kept, invented=len(self.rows) - len(kept))

    def only(self, where: Where) -> Gathered:
        """Return the same with those sessions only that are meant."""
        kept = tuple(row for row in self.rows if where.means(row.session))
        return replace(self, rows=kept, not_meant=len(self.rows) - len(kept))
