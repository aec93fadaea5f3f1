"""Repairs without a fault: no finding above a note."""

from __future__ import annotations

from itertools import product

import pytest
from clean_repairs import COVERS, SHAPES, buried
from kinds import job
from planted_repair import review

SEEDS = range(2, 22)


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, *(pytest.param(s, marks=pytest.mark.full) for s in SEEDS)])
def test_a_clean_repair_has_notes_at_most(seed: int) -> None:
    """No mishap, no finding."""
    repair = review(job(), seed)
    assert repair.done
    assert repair.above_note == ()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("cover", "shape", "seed"),
    [
        ("dry sand", "thin", 1),
        ("vermiculite", "compact", 1),
        *(pytest.param(*one, marks=pytest.mark.full) for one in product(COVERS, SHAPES, SEEDS)),
    ],
)
def test_a_good_burial_is_silent(cover: str, shape: str, seed: int) -> None:
    """A normal burial in any cover makes no finding (procedure.md section 9)."""
    repair = review(buried(cover, shape), seed)
    assert repair.done
    assert repair.above_note == ()
