"""`Crack`: what outcomes and inspections say of where and when a crack was, as the ranking needs it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from pacer.review.moments import clock
from pacer.review.outcomes import outcome_words
from pacer.session.events import FoundAt, FoundWhere, Inspection, Outcome
from pacer.session.finding import Finding
from pacer.session.work import Bead
from pacer.units import Shown

_REPORTED = ("crack reported", "tink heard")
"""Findings that say when a crack was heard or seen; where there is one of the first, it counts."""

_MOST_CRACKS = 50
"""So many different cracks are weighed; each finding is held against every one of them."""

_WHERE: dict[str, FoundWhere] = {
    "1": "weld",
    "2": "boundary",
    "3": "heat-affected zone",
    "4": "iron away from the weld",
}
_PLACED = ("101", "102", "103", "105", "106")
"""Families of cracks in ISO 6520-1 of which a fourth digit says the place (of the last two: from
memory)."""

_CRATER = ("104", "1045", "1046", "1047", "2024", "2025")
"""Crater cracks and crater pipes."""


class Crack(NamedTuple):
    """A crack on record; None is what was not said."""

    where: FoundWhere | None = None
    at: FoundAt | None = None
    bead: int | None = None
    place: int | None = None
    "0-based place along the joint, by its bead."
    heard_s: float | None = None
    "Session time by which it was there, where it was heard or seen in the session."

    @property
    def words(self) -> str:
        """Where it is and when it was heard: `at the boundary, at bead 7`; empty: nothing said."""
        said = place_words(self.where, self.at, self.bead)
        heard = f"heard or seen by {clock(self.heard_s)}" if self.heard_s is not None else ""
        return ", ".join(part for part in (said, heard) if part)


def place_words(
    where: FoundWhere | None, at: FoundAt | None = None, bead: int | None = None
) -> str:
    """Return a place as outcomes tell it: `at the boundary, at bead 7`; empty: nothing said.

    >>> place_words("weld", "crater")
    'in the weld, in a crater'
    """
    said = outcome_words(Outcome(t_ms=0, found="crack", where=where, at=at, bead=bead), Shown())
    return said.removeprefix("crack").removeprefix("; ")


def cracks(
    outcomes: Iterable[Outcome],
    inspections: Iterable[Inspection],
    findings: Iterable[Finding],
    beads: Iterable[Bead],
) -> tuple[Crack, ...]:
    """Return the cracks on record, each once.

    Where no look is recorded, a crack that was reported in the session stands for one.
    """
    outcomes, inspections = tuple(outcomes), tuple(inspections)
    heard_s = _heard_s(findings)
    places = {bead.number: bead.place for bead in beads}
    found = [*_of_outcomes(outcomes, heard_s[1]), *_of_inspections(inspections)]
    if not found and heard_s[0] is not None and not nothing_found(outcomes, inspections):
        found = [Crack(heard_s=heard_s[0])]
    placed = (
        crack if crack.bead is None else crack._replace(place=places.get(crack.bead))
        for crack in found
    )
    return tuple(dict.fromkeys(placed))[:_MOST_CRACKS]


def nothing_found(outcomes: Iterable[Outcome], inspections: Iterable[Inspection]) -> bool:
    """Return whether a look is recorded that found no crack, or nothing at all."""
    return any(outcome.found == "no crack found" for outcome in outcomes) or any(
        look.result == "nothing found" for look in inspections
    )


def _heard_s(findings: Iterable[Finding]) -> tuple[float | None, float | None]:
    """Return when a crack was last reported, and when one was last heard, a tink if need be, s."""
    last: dict[str, float] = {}
    for finding in findings:
        if finding.name in _REPORTED:
            last[finding.name] = max(finding.t_s, last.get(finding.name, finding.t_s))
    reported_s, tink_s = (last.get(name) for name in _REPORTED)
    return reported_s, reported_s if reported_s is not None else tink_s


def _of_outcomes(outcomes: Iterable[Outcome], heard_s: float | None) -> Iterator[Crack]:
    for outcome in outcomes:
        if outcome.found == "crack":
            heard = heard_s if outcome.when == "heard" else None
            yield Crack(outcome.where, outcome.at, outcome.bead, heard_s=heard)


def _of_inspections(inspections: Iterable[Inspection]) -> Iterator[Crack]:
    for look in inspections:
        for found in look.imperfections:
            crack = of_number(found.number)
            if crack is not None:
                yield crack._replace(bead=found.bead)


def of_number(number: int) -> Crack | None:
    """Return what an ISO 6520-1 number says of a crack's place; None: it names no crack.

    >>> of_number(1012)
    Crack(where='boundary', at=None, bead=None, place=None, heard_s=None)
    """
    digits = str(number)
    if digits in _CRATER:
        return Crack("weld", "crater")
    if len(digits) == 4 and digits[:3] in _PLACED:
        return Crack(_WHERE.get(digits[3]))
    if digits in {"100", "1001", *_PLACED}:
        return Crack()
    return None
