"""`Finding`: something a record shows that deserves a look. Review makes it, the screen shows it.

A finding says what was measured or done, which limit that broke and where the limit is from.
It never says why a repair cracked.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from pacer.session.filled import filled
from pacer.units import Shown

Weight = Literal["note", "finding"]
"""`note`: for the record, such as a peen that nobody confirmed; a normal repair has notes only."""


class Limit(msgspec.Struct, frozen=True):
    """What a finding was judged by."""

    name: str
    "The job file's key, such as `band.ceiling`, or in words what a rule of the program's own is."
    value: str
    "Name of the limit's figure in the finding's `values`, such as `ceiling_c`."
    origin: str
    "For a key what `Job.origin` says of it; else the source or status of the program's rule."


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
    place: int | None = None
    "0-based place along the joint it is of."
    against: tuple[str, ...] = ()
    "What speaks against it as an explanation of the outcome, filled in as `words` is."

    def said(self, shown: Shown) -> str:
        """Return the evidence in the user's units."""
        return filled(self.words, self.values, shown)

    def said_against(self, shown: Shown) -> tuple[str, ...]:
        """Return what speaks against it in the user's units."""
        return tuple(filled(text, self.values, shown) for text in self.against)
