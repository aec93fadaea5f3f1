"""What a review's tables come to, counted and summed: the same in a comparison as in a history."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from pacer.review.table import PhaseRow, Table
from pacer.session.excursion import Kind
from pacer.session.work import Bead, Peened, Phase

_TOLD: frozenset[Peened] = frozenset({"ended by press", "begun"})


class Peens(NamedTuple):
    """How many of the peens due somebody told."""

    told: int
    due: int


def laid(out: Table) -> list[Bead]:
    """Return the beads that count and are over, those that lost their arc among them."""
    return [bead for bead in out.beads if bead.counted and bead.ended_s is not None]


def starts_c(beads: Iterable[Bead]) -> list[float]:
    """Return the temperatures at which beads were struck, where one was read."""
    return [bead.start_c for bead in beads if bead.start_c is not None]


def arcs_s(beads: Iterable[Bead]) -> list[float]:
    """Return the arc times of beads that are over."""
    return [bead.arc_s(bead.started_s) for bead in beads]


def peens(beads: Iterable[Bead]) -> Peens:
    """Return the peens of beads: due are those of runs that the job peens."""
    due = [bead for bead in beads if not bead.unpeened]
    return Peens(sum(bead.peened in _TOLD for bead in due), len(due))


def stays(out: Table, phase: Phase) -> list[PhaseRow]:
    """Return the stays in one phase."""
    return [row for row in out.phases if row.phase is phase]


def lasted_s(stays: Iterable[PhaseRow]) -> float:
    """Return how long stays lasted together."""
    return sum(row.to_s - row.from_s for row in stays)


def outside_s(out: Table, kind: Kind) -> float:
    """Return how long it was outside one limit in all."""
    return sum(e.to_s - e.from_s for e in out.excursions if e.kind == kind)
