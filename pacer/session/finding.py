"""`Finding`: something a record shows that deserves a look. Review makes it, the screen shows it.

A finding says what was measured or done, which limit that broke and where the limit is from.
It never says why a repair cracked.
"""

from __future__ import annotations

import re
from typing import Literal

import msgspec

from pacer.session.filled import filled
from pacer.session.how_far import how_far
from pacer.units import Shown

Weight = Literal["note", "finding"]
"""`note`: for the record, such as a peen that nobody confirmed; a normal repair has notes only."""

_GIVEN = re.compile(r"\bgiven$|\bgiven(?=;)")
"How `Job.origin` calls a value that stands in the job file."


class Limit(msgspec.Struct, frozen=True):
    """What a finding was judged by."""

    name: str
    "The job file's key, such as `band.ceiling`, or in words what a rule of the program's own is."
    value: str
    "Name of the limit's figure in the finding's `values`, such as `ceiling_c`."
    origin: str
    "For a key what `Job.origin` says of it; else the source or status of the program's rule."


def origin_words(origin: str) -> str:
    """Return where a limit is from as a reader is told it.

    >>> origin_words("given"), origin_words("bead.length given; the time to stop: our choice")
    ('from the job file', 'bead.length from the job file; the time to stop: our choice')
    """
    return _GIVEN.sub("from the job file", origin) or "origin not said"


class Finding(msgspec.Struct, frozen=True):
    """One finding, with its evidence; never a verdict on the repair."""

    name: str
    "A statement in the trade's words, such as `uncovered early`: the id of a row in trade/findings."
    t_s: float
    "When it began, session time in s."
    words: str
    "One line of evidence; {name} is filled from `values`, in the user's units (`said`)."
    values: dict[str, float] = {}
    "SI and °C numbers, named with their units."
    weight: Weight = "finding"
    to_s: float | None = None
    "When it ended, where it lasted."
    record: int | None = None
    "Number of the recording's record at which it shows; replay can jump to its time."
    limit: Limit | None = None
    times: float | None = None
    "How far: what was measured as multiple of what is allowed; 1 is at the limit. None: no figure."
    bead: int | None = None
    "Number of the bead it is of."
    beads: tuple[int, ...] = ()
    "Numbers of the beads it is of where it tells of several at once; `bead` is None then."
    place: int | None = None
    "0-based place along the joint it is of."
    against: tuple[str, ...] = ()
    "What speaks against it as an explanation of the outcome, filled in as `words` is."

    @property
    def all_beads(self) -> frozenset[int]:
        """Numbers of the beads it is of; empty: it is of the whole part."""
        return frozenset(self.beads if self.bead is None else (self.bead, *self.beads))

    def said(self, shown: Shown) -> str:
        """Return the evidence in the user's units."""
        return filled(self.words, self.values, shown)

    def how_far(self, shown: Shown) -> str:
        """Return how far past its limit it went, such as `9 K below`; empty: no figure says."""
        if self.limit is not None and not (self.limit.value == "max_rate_c_h" and not self.times):
            # A rate over too short a time is told, and not held against the limit.
            far = how_far(self.limit.value, self.values, shown)
            if far:
                return far
        return "" if self.times is None else f"{self.times:g} times what is allowed"

    def said_limit(self, shown: Shown) -> str:
        """Return the limit in one line: its name and figure, and where it is from."""
        if self.limit is None:
            return ""
        figure = filled(f"{{{self.limit.value}}}", self.values, shown)
        return f"{self.limit.name} {figure} ({origin_words(self.limit.origin)})"

    def said_against(self, shown: Shown) -> tuple[str, ...]:
        """Return what speaks against it in the user's units."""
        return tuple(filled(text, self.values, shown) for text in self.against)
