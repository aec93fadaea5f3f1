"""The exact formulas against scipy's, on random tables and with ties."""

from __future__ import annotations

import itertools
import math
import random  # noqa: TID251 - seeded

import numpy as np
import pytest
from scipy import stats

from pacer.review.history.statistics import fisher
from pacer.review.history.statistics import rank_sum as ranks
from pacer.review.history.statistics.fisher import p_value
from pacer.review.history.statistics.holm import adjusted
from pacer.review.history.statistics.rank_sum import rank_sum
from pacer.review.history.statistics.share import interval


def test_fishers_p_is_scipys_on_random_tables() -> None:
    chance = random.Random(1)
    for _ in range(400):
        most = chance.choice((2, 6, 15, 60, 400))
        a, b, c, d = (chance.randint(0, most) for _ in range(4))
        theirs = float(stats.fisher_exact([[a, b], [c, d]]).pvalue)
        assert p_value(a, b, c, d) == pytest.approx(theirs, rel=1e-9), (a, b, c, d)


def test_tables_of_equal_likelihood_count_all() -> None:
    """Both margins even: the mirrored table is as likely as the one seen, to the last digit."""
    assert p_value(30, 0, 0, 30) == 2 / math.comb(60, 30)
    assert p_value(0, 0, 3, 4) == 1.0


def test_intervals_are_scipys_from_one_session_to_ten_thousand() -> None:
    chance = random.Random(2)
    pairs = [(k, n) for n in (1, 2, 5, 9) for k in range(n + 1)]
    sizes = [chance.choice((20, 77, 500, 10_000)) for _ in range(60)]
    pairs += [(chance.randint(0, n), n) for n in sizes]
    for k, n in pairs:
        theirs = stats.binomtest(k, n).proportion_ci(confidence_level=0.95, method="exact")
        assert interval(k, n) == pytest.approx((theirs.low, theirs.high), abs=1e-9), (k, n)


def test_nothing_is_known_of_a_share_of_none() -> None:
    assert interval(0, 0) == (0.0, 1.0)


def test_without_ties_the_rank_sum_is_scipys_exact_one() -> None:
    chance = random.Random(3)
    for _ in range(150):
        m, n = chance.randint(1, 15), chance.randint(1, 15)
        values = [float(value) for value in chance.sample(range(1000), m + n)]
        theirs = stats.mannwhitneyu(values[:m], values[m:], method="exact").pvalue
        ours = rank_sum(values[:m], values[m:])
        assert ours.exact
        assert ours.p == pytest.approx(float(theirs), rel=1e-9), values


def _by_permutation(one: list[float], other: list[float]) -> float:
    """Return scipy's p-value from every way to part the values, which asks nothing of ties."""
    return float(
        stats.permutation_test(
            (one, other),
            lambda a, b: stats.rankdata(np.concatenate([a, b]))[: len(a)].sum(),
            n_resamples=np.inf,
            vectorized=False,
        ).pvalue
    )


def test_with_ties_it_is_that_of_every_permutation() -> None:
    chance = random.Random(4)
    for _ in range(25):
        m, n = chance.randint(2, 5), chance.randint(2, 5)
        values = [chance.choice((0.0, 1.0, 1.0, 2.0, 5.0)) for _ in range(m + n)]
        ours = rank_sum(values[:m], values[m:])
        assert ours.exact
        assert ours.p == pytest.approx(_by_permutation(values[:m], values[m:])), values


def test_values_all_alike_tell_nothing() -> None:
    assert rank_sum([1.0] * 6, [1.0] * 5) == (1.0, True)
    assert rank_sum([], [1.0]) == (1.0, True)


def test_the_approximation_is_scipys_and_says_that_it_is_one(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(ranks, "MOST_BITS", 0)
    chance = random.Random(5)
    for _ in range(60):
        m, n = chance.randint(5, 80), chance.randint(5, 300)
        values = [round(chance.gauss(0, 2)) + 0.5 * (i < m) for i in range(m + n)]
        theirs = stats.mannwhitneyu(values[:m], values[m:], method="asymptotic").pvalue
        ours = rank_sum(values[:m], values[m:])
        assert not ours.exact
        assert ours.p == pytest.approx(float(theirs))


def test_groups_of_fifty_are_counted_and_ten_thousand_are_not() -> None:
    """At the border both ways agree to a hundredth."""
    chance = random.Random(6)
    one, other = ([chance.gauss(shift, 1.0) for _ in range(50)] for shift in (0.0, 0.3))
    counted = rank_sum(one, other)
    assert counted.exact
    theirs = stats.mannwhitneyu(one, other, method="asymptotic").pvalue
    assert counted.p == pytest.approx(float(theirs), abs=0.01)
    many = [chance.random() for _ in range(10_000)]
    assert not rank_sum(many[:4000], many[4000:]).exact


def test_the_least_p_of_a_table_is_the_least_of_scipys_over_every_table() -> None:
    for first, second in itertools.product(range(1, 8), repeat=2):
        for hits in range(first + second + 1):
            tables = [
                [[k, first - k], [hits - k, second - hits + k]]
                for k in range(max(0, hits - second), min(first, hits) + 1)
            ]
            theirs = min(float(stats.fisher_exact(table).pvalue) for table in tables)
            least = fisher.least_p(first, second, hits)
            assert least == pytest.approx(theirs), (first, second, hits)


def test_the_least_p_of_ranks_is_scipys_of_groups_wholly_apart() -> None:
    for m, n in itertools.product(range(1, 9), repeat=2):
        apart = stats.mannwhitneyu(range(m), range(10, 10 + n), method="exact").pvalue
        assert ranks.least_p(m, n) == pytest.approx(min(1.0, float(apart))), (m, n)
    assert ranks.least_p(5000, 5000) == 0.0


def test_holms_p_values_are_those_of_the_closed_test() -> None:
    """Of every subset that a comparison is in, the worst Bonferroni p: what Holm's steps shorten."""
    chance = random.Random(7)
    for _ in range(40):
        p = [chance.choice((0.001, 0.01, 0.04, 0.04, chance.random())) for _ in range(5)]
        places = range(len(p))
        subsets = [s for n in places for s in itertools.combinations(places, n + 1)]
        closed = [
            max(min(1.0, len(s) * min(p[j] for j in s)) for s in subsets if i in s) for i in places
        ]
        assert adjusted(p) == pytest.approx(closed), p
    assert adjusted([]) == []
