"""`Summary`: what one session comes to, small enough to hold ten thousand of."""

from __future__ import annotations

import msgspec

from pacer.review.became import Became
from pacer.session.finding import Finding


class Summary(msgspec.Struct, frozen=True, omit_defaults=True):
    """One session; what the job planned, what was measured, found and became of it."""

    sid: str
    opened: str
    "UTC wall time, as the head has it."
    day: str
    "Date at the place where it was opened, ISO 8601; empty: not known."
    title: str
    invented: str
    "Not empty: simulated, and how."
    groups: dict[str, str]
    "Name of a row of `quantities.GROUPS` -> the word that this session has for it."
    numbers: dict[str, float]
    "Name of a row of `quantities.NUMBERS` -> its value; what is not known has no entry."
    phase: str
    closed: bool
    sound: bool
    "False: something of the record is damaged or missing."
    findings: tuple[Finding, ...] = ()
    "Notes among them."
    not_kept: int = 0
    "How many findings more there were than a review keeps."
    became: Became = Became()
    service_s: float | None = None
    "Time in service until that crack was found, or the longest after which none was found."

    @property
    def found_names(self) -> tuple[str, ...]:
        """Names of what was found above a note, each once, in the order of the review."""
        return tuple(dict.fromkeys(f.name for f in self.findings if f.weight == "finding"))

    @property
    def all_names(self) -> tuple[str, ...]:
        """The same with the notes."""
        return tuple(dict.fromkeys(f.name for f in self.findings))
