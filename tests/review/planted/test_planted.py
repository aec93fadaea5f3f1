"""Planted faults are found, near misses are not, and nothing else is told of either."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from kinds import AT, KINDS, NEAR, Kind, job
from planted_repair import Reviewed, review
from scored import score

from pacer.job.job import Job
from pacer.sensor.practice.planted.fault import AMOUNTS

BY_NAME = {kind.name: kind for kind in KINDS}
Names = tuple[tuple[str, int], ...]

TOGETHER: dict[str, Names] = {
    "hands": (
        ("cautions not confirmed", 0),
        ("soak cut short", 1),
        ("bead too long", 2),
        ("crater not filled", 3),
        ("late peen", 4),
        ("bead above the ceiling", 5),
        ("crack reported", 6),
        ("post-heat cut short", 0),
        ("clamps not confirmed loose", 0),
    ),
    "heat": (
        ("above the ceiling", 0),
        ("tack cracked", 0),
        ("bead below the floor", 2),
        ("cooled through", 3),
        ("probe knocked off", 4),
        ("arc lost", 5),
        ("tink heard", 6),
        ("clamps left on", 0),
        ("uncovered early", 0),
    ),
    "eyes": (
        ("uneven at the first bead", 1),
        ("welded without a trusted reading", 2),
        ("nothing read", 3),
        ("turned, probe not fixed anew", 4),
        ("reheat missed", 5),
        ("nobody watched", 6),
    ),
    "press": (("fewer beads than planned", 0), ("peens not confirmed", 0), ("not peened", 2)),
    "rates": (("heated too fast", 0), ("cooled too fast", 0)),
    "cover": (("cooled faster than its cover", 0), ("channels apart", 0)),
}
"""Faults that don't touch each other, and at which bead each is: one repair shows them all."""


def planted(names: Names, size: float) -> Reviewed:
    """Review one repair with several faults, each so far."""
    kinds = [(BY_NAME[name], bead) for name, bead in names]
    faults = [replace(fault, bead=bead) for kind, bead in kinds for fault in kind.fault(size)]
    return review(_job([kind for kind, _ in kinds]), 1, *faults)


def _job(kinds: list[Kind]) -> Job:
    changes: dict[str, Any] = {}
    for kind in kinds:
        changes |= dict(kind.changes)
    return job(*changes.items())


def true_of(names: Names, which: str) -> set[str]:
    """Return what above a note is true of a repair with these faults, or these near misses."""
    entailed: set[str] = set().union(*(getattr(BY_NAME[name], which) for name, _ in names))
    return entailed | dict(names).keys()


def test_every_kind_is_planted_somewhere() -> None:
    """What can be planted is in the matrix and in one of the everyday repairs (no figure)."""
    together = [name for names in TOGETHER.values() for name, _ in names]
    assert sorted(together) == sorted(BY_NAME) == sorted(AMOUNTS)


@pytest.mark.slow
@pytest.mark.parametrize("names", TOGETHER.values(), ids=TOGETHER)
def test_one_repair_shows_its_faults_and_no_others(names: Names) -> None:
    """At 1.3 of its limit each is told once, at its bead (limits: `kinds.py`)."""
    repair = planted(names, AT)
    assert repair.done
    for name, bead in names:
        kind = BY_NAME[name]
        told = [f for f in repair.of(name) if f.weight == kind.weight]
        assert len(told) == 1, (name, told)
        assert kind.bead is None or told[0].bead == bead, name
    assert {f.name for f in repair.above_note} <= true_of(names, "entails")


@pytest.mark.slow
@pytest.mark.parametrize("names", [TOGETHER[name] for name in ("hands", "heat", "eyes")])
def test_near_misses_are_not_told(names: Names) -> None:
    """At 0.85 of its limit none is told, nor where it was simply not done."""
    repair = planted(names, NEAR)
    assert repair.done
    for name, _ in names:
        assert not [f for f in repair.of(name) if f.weight == BY_NAME[name].weight], name
    assert {f.name for f in repair.above_note} <= true_of(names, "near_entails") - dict(
        names
    ).keys()


@pytest.mark.full
@pytest.mark.parametrize("seed", range(1, 21))
@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_each_kind_alone(kind: Kind, seed: int) -> None:
    """Found at its limit, silent short of it, and nothing else is told (guide/findings.md)."""
    assert score(kind, seed).right
