"""Which shop test would tell the metals still left apart, and which none can."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations, permutations

from pacer.job.job import Metal
from pacer.job.metal.shop_tests import ShopTest, look_of, shop_tests
from pacer.job.metal.standing import WHITE, Standing, left_of, standings
from pacer.job.metal.white import white_likely

_ABOUT_WHITE = ("fracture", "file", "spark", "chip")
"Tests that white iron answers most plainly, in this order: our choice from the table of looks."


def next_test(answers: Mapping[str, str]) -> str | None:
    """Return the test not yet done that parts most pairs of the metals left, None if none does.

    Of equals the earlier one: looking comes before grinding. Heat comes when no other test
    helps, and not while white iron is likely: then what can clear white iron comes first.
    """
    found = standings(answers)
    left = left_of(found)
    parted = {test: _parted(test, left) for test in _undone(answers, found)}
    if white_likely(found):
        clear_it = {
            test.name for test, pairs in parted.items() if any(other == WHITE for _, other in pairs)
        }
        for name in _ABOUT_WHITE:
            if name in clear_it:
                return name
    helpful = [test for test, pairs in parted.items() if pairs]
    best = min(helpful, key=lambda test: (test.hot, -len(parted[test])), default=None)
    return best.name if best else None


def inseparable(answers: Mapping[str, str]) -> tuple[tuple[Metal, Metal], ...]:
    """Return the pairs of metals left that no test not yet done, and to be done, could part."""
    found = standings(answers)
    left = left_of(found)
    undone = _undone(answers, found)
    parted = {frozenset(pair) for test in undone for pair in _parted(test, left)}
    return tuple(pair for pair in combinations(left, 2) if frozenset(pair) not in parted)


def _undone(answers: Mapping[str, str], found: tuple[Standing, ...]) -> list[ShopTest]:
    """Return the tests still to be done: none with heat while white iron is likely."""
    cold_only = white_likely(found)
    return [
        test for test in shop_tests() if test.name not in answers and not (cold_only and test.hot)
    ]


def _parted(test: ShopTest, metals: tuple[Metal, ...]) -> set[tuple[Metal, Metal]]:
    """Return (one, other) where an answer speaks for the one and can help to rule the other out."""
    return {
        (one, other)
        for one, other in permutations(metals, 2)
        if (look := look_of(other, test.name)) is not None
        and look.weight == "full"
        and any(one in answer.fits and other in answer.against for answer in test.answers)
    }
