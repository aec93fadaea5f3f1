"""The list of the preparation: what is to be done and to be at hand before any heat.

One press confirms all of it, another leaves it all open; what is missing can be marked
before. It belongs to one stay in PREPARE: an undo comes back to the same list, another day
brings a new one. No terminal here.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from pacer.job.job import Job
from pacer.job.sheet.sections.at_hand import items, prepared
from pacer.session.events import SKIPPED
from pacer.text import clean
from pacer.units import Shown

BETWEEN = " / "
"Between the lines that are named in the record: some have commas and semicolons of their own."

MOST = 900
"Letters of what is named; a record's words may have 1000."


@dataclass(frozen=True, slots=True)
class Preparation:
    """The list at one moment."""

    since_s: float
    "Session time at which its stay in PREPARE began."
    parts: tuple[tuple[str, tuple[str, ...]], ...]
    "Heading, lines."
    at: int | None = None
    "The chosen line, counted through all parts; None: no list key was pressed yet."
    page: int = 0
    "The page shown, from 0; where it has fewer, counted round."
    missing: frozenset[int] = frozenset()
    said: str | None = None
    "What the record has as not confirmed, empty: all of it was; None: the record has nothing yet."

    @property
    def lines(self) -> tuple[str, ...]:
        """All lines, the parts one after the other."""
        return tuple(line for _, lines in self.parts for line in lines)

    @property
    def unconfirmed(self) -> str:
        """What a press would name as not confirmed, as the record has it; nothing: all is."""
        names = [line for at, line in enumerate(self.lines) if at in self.missing]
        if names and len(names) == len(self.lines):
            return SKIPPED
        for kept in range(len(names), 0, -1):
            more = f"{BETWEEN}and {len(names) - kept} more" if kept < len(names) else ""
            text = BETWEEN.join(names[:kept]) + more
            if len(text) <= MOST:
                return text
        return ""


def begin(job: Job, shown: Shown, since_s: float) -> Preparation:
    """Return the list of a job, nothing marked and nothing said."""
    parts = (("To be done", prepared(job)), ("To be at hand", items(job, shown)))
    return Preparation(
        since_s,
        tuple((heading, tuple(clean(line, 60) for line in lines)) for heading, lines in parts),
    )


def moved(here: Preparation, by: int, first: int) -> Preparation:
    """Return it with the choice moved on; the first move goes to line `first`, the page's own."""
    if here.at is None:
        return replace(here, at=first)
    return replace(here, at=min(max(here.at + by, 0), len(here.lines) - 1))


def marked(here: Preparation) -> Preparation:
    """Return it with the chosen line marked as missing, or no longer; without a choice as it is."""
    return here if here.at is None else replace(here, missing=here.missing ^ {here.at})


def asked(here: Preparation) -> str:
    """Return the one line that says what a press does."""
    count = len(here.missing)
    lines = "1 line" if count == 1 else f"{count} lines"
    if here.said is None:
        if count:
            return f"Space goes on, with {lines} marked as missing"
        return "Done and at hand? Space confirms all of it, M marks what is missing"
    if here.said == here.unconfirmed:
        return f"{_kept(here.said)}: Space goes on"
    now = f"{lines} marked as missing" if count else "all of it confirmed"
    return f"{_kept(here.said)}. Now Space goes on with {now}"


def _kept(said: str) -> str:
    """Return what the record has, in a word."""
    if not said:
        return "All of it is confirmed"
    return "It was skipped" if said == SKIPPED else "Confirmed in part"
