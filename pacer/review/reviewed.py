"""`Reviewed`: one recording with all that a page about it shows."""

from __future__ import annotations

from dataclasses import dataclass

from pacer.review.table import Table
from pacer.session.events import Opened
from pacer.session.finding import Finding


@dataclass(frozen=True, slots=True)
class Reviewed:
    """A recording's name, head and tables; `cli` makes it, pages take it."""

    name: str
    "File name, cleaned."
    opened: Opened
    table: Table
    lacking: str = ""
    "What a damaged recording lacks, for the top of its page; empty if it is sound."
    writer: int | None = None
    "Which process writes it now."

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Those above a note, the most telling first."""
        return self.table.of_weight("finding")
