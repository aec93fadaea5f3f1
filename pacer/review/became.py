"""`became`: what is on record of what became of a repair. Ranking, compare and history all ask it.

A crack, whoever found it and whenever, outweighs every look that found none. A look that found
none says so of that look only, and says nothing unless a crack can be seen by it. A crack that
was reported in the session (key K) counts as a crack until a later look found none: it may have
been ground out and laid again. A tink, or a tack that cracked while it was still a tack, says
nothing of the finished repair.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Literal, NamedTuple

from pacer.review.ranking.numbers import crack_of
from pacer.session.events import Found, FoundAt, FoundWhen, FoundWhere, Inspection, Outcome
from pacer.session.finding import Finding
from pacer.session.inspection import Look

SEES_CRACKS: frozenset[Look] = frozenset({"visual", "penetrant", "grinding", "back side"})
"""Looks of which "nothing found" says that no crack was found; a ring, a leak or a proof load
says less. Our choice, no source."""

REPORTED = "crack reported"
"""The finding that key K leaves in the session."""

OUTCOME = "outcome"
"""What `Became.by` says where words of `pacer outcome` tell it."""


class Became(NamedTuple):
    """What became of a repair by its record; no verdict on the part."""

    found: Found | None = None
    "None: nobody said, or nothing that could see a crack looked."
    by: str = ""
    "What tells so: `outcome`, the look such as `penetrant`, or `crack reported`."
    when: FoundWhen | None = None
    where: FoundWhere | None = None
    at: FoundAt | None = None

    @property
    def word(self) -> Literal["crack", "no crack found", "unknown"]:
        """It in a word."""
        return self.found or "unknown"


def became(
    outcomes: Iterable[Outcome], inspections: Iterable[Inspection], findings: Iterable[Finding]
) -> Became:
    """Return what became of it; of several that found the same an outcome comes before a look.

    `findings` are all of the review's: of them only what was reported counts.
    """
    told = [*_by_outcomes(outcomes), *_by_looks(inspections)]
    cracks = [end for _, end in told if end.found == "crack"]
    if cracks:
        return cracks[0]
    clear = [(t_s, end) for t_s, end in told if end.found]
    reported_s = max((f.t_s for f in findings if f.name == REPORTED), default=None)
    if reported_s is not None and all(t_s < reported_s for t_s, _ in clear):
        return Became("crack", REPORTED)
    return clear[0][1] if clear else Became()


def _by_outcomes(outcomes: Iterable[Outcome]) -> Iterator[tuple[float, Became]]:
    for said in outcomes:
        yield said.t_s, Became(said.found, OUTCOME, said.when, said.where, said.at)


def _by_looks(looks: Iterable[Inspection]) -> Iterator[tuple[float, Became]]:
    for look in looks:
        listed = [crack_of(found.number) for found in look.imperfections]
        crack = next((known for known in listed if known is not None), None)
        if crack is not None:
            yield look.t_s, Became("crack", look.look, None, crack.where, crack.at)
        elif look.look in SEES_CRACKS and (look.result == "nothing found" or listed):
            yield look.t_s, Became("no crack found", look.look)
