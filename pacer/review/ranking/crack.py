"""`Crack`: what outcomes and inspections say of where and when a crack was, as the ranking needs it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from pacer.review.became import REPORTED, became
from pacer.review.moments import clock
from pacer.review.outcomes import outcome_words
from pacer.review.ranking.numbers import Runs, crack_of
from pacer.session.events import FoundAt, FoundWhere, Inspection, Outcome
from pacer.session.finding import Finding
from pacer.session.work import Bead
from pacer.units import Shown

_MOST_CRACKS = 50
"""So many different cracks are weighed; each finding is held against every one of them."""


class Crack(NamedTuple):
    """A crack on record; None is what was not said."""

    where: FoundWhere | None = None
    at: FoundAt | None = None
    runs: Runs | None = None
    bead: int | None = None
    place: int | None = None
    "0-based place along the joint, by its bead."
    heard_s: float | None = None
    "Session time by which it was there, where it was reported in the session."

    @property
    def shows(self) -> frozenset[str]:
        """Where it is, in the words of a row's `fits`; a crater is weld, whether or not that was said."""
        weld = "weld" if self.at == "crater" else None
        return frozenset(said for said in (self.where, self.at, weld) if said)

    @property
    def words(self) -> str:
        """Where it is and when it was heard: `at the boundary, at bead 7`; empty: nothing said."""
        said = place_words(self.where, self.at, self.bead, self.runs)
        heard = f"heard or seen by {clock(self.heard_s)}" if self.heard_s is not None else ""
        return ", ".join(part for part in (said, heard) if part)


def place_words(
    where: FoundWhere | None,
    at: FoundAt | None = None,
    bead: int | None = None,
    runs: Runs | None = None,
) -> str:
    """Return a place as outcomes tell it: `at the boundary, at bead 7`; empty: nothing said.

    >>> place_words("weld", "crater")
    'in the weld, in a crater'
    """
    told = Outcome(t_ms=0, found="crack", where=where, at=at, bead=bead, runs=runs)
    return outcome_words(told, Shown()).removeprefix("crack").removeprefix("; ")


def cracks(
    outcomes: Iterable[Outcome],
    inspections: Iterable[Inspection],
    findings: Iterable[Finding],
    beads: Iterable[Bead],
) -> tuple[Crack, ...]:
    """Return the cracks on record, each once.

    Where no look is recorded, a crack that was reported in the session stands for one (`became`).
    """
    outcomes, inspections, findings = tuple(outcomes), tuple(inspections), tuple(findings)
    reported_s = max((f.t_s for f in findings if f.name == REPORTED), default=None)
    if became(outcomes, inspections, findings).by == REPORTED:
        return (Crack(heard_s=reported_s),)
    places = {bead.number: bead.place for bead in beads}
    found = [*_of_outcomes(outcomes, reported_s), *_of_inspections(inspections)]
    placed = (
        crack if crack.bead is None else crack._replace(place=places.get(crack.bead))
        for crack in found
    )
    told = tuple(dict.fromkeys(placed))[:_MOST_CRACKS]
    return tuple(crack for crack in told if not any(_told_by(crack, other) for other in told))


def _told_by(crack: Crack, other: Crack) -> bool:
    """Return whether another says the same of a crack and more: which way it runs, or when."""
    runs = crack.runs or other.runs
    heard_s = other.heard_s if crack.heard_s is None else crack.heard_s
    return other != crack and other == crack._replace(runs=runs, heard_s=heard_s)


def _of_outcomes(outcomes: Iterable[Outcome], reported_s: float | None) -> Iterator[Crack]:
    for said in outcomes:
        if said.found == "crack":
            heard_s = reported_s if said.when == "heard" else None
            yield Crack(said.where, said.at, said.runs, said.bead, heard_s=heard_s)


def _of_inspections(inspections: Iterable[Inspection]) -> Iterator[Crack]:
    for look in inspections:
        for found in look.imperfections:
            known = crack_of(found.number)
            if known is not None:
                yield Crack(*known, bead=found.bead)
