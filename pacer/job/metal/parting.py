"""Which shop test would tell the metals still left apart, and which none can."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations, permutations

from pacer.job.job import Metal
from pacer.job.metal.standing import left_of, standings
from pacer.job.metal.tests import ShopTest, shop_tests


def next_test(answers: Mapping[str, str]) -> str | None:
    """Return the test not yet done that parts most pairs of the metals left, None if none does.

    Of equals the earlier one: looking comes before grinding, heat last.
    """
    left = left_of(standings(answers))
    best, most = None, 0
    for test in shop_tests():
        parts = 0 if test.name in answers else len(_parted(test, left))
        if parts > most:
            best, most = test.name, parts
    return best


def inseparable(answers: Mapping[str, str]) -> tuple[tuple[Metal, Metal], ...]:
    """Return the pairs of metals left that no test not yet done could part."""
    left = left_of(standings(answers))
    undone = [test for test in shop_tests() if test.name not in answers]
    parted = {frozenset(pair) for test in undone for pair in _parted(test, left)}
    return tuple(pair for pair in combinations(left, 2) if frozenset(pair) not in parted)


def _parted(test: ShopTest, metals: tuple[Metal, ...]) -> set[tuple[Metal, Metal]]:
    """Return (one, other) where an answer speaks for the one and against the other."""
    return {
        (one, other)
        for one, other in permutations(metals, 2)
        if any(one in answer.fits and other in answer.against for answer in test.answers)
    }
