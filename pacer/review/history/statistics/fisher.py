"""Fisher's exact test of a table of two by two: does a share differ between two groups?"""

from __future__ import annotations

import math


def p_value(with_hit: int, with_miss: int, without_hit: int, without_miss: int) -> float:
    """Return the two-sided p-value, both margins of the table held.

    The sum over every table with these margins that is no more likely than this one. Counted in
    whole numbers, so that tables of equal likelihood are equal. 1 where a margin is empty.

    >>> round(p_value(3, 1, 1, 3), 4)
    0.4857
    """
    first, second = with_hit + with_miss, without_hit + without_miss
    hits = with_hit + without_hit
    least, most = max(0, hits - second), min(first, hits)
    ways = math.comb(first, least) * math.comb(second, hits - least)
    counted: list[int] = []
    for k in range(least, most + 1):
        counted.append(ways)
        # From one table to the next; the product is a whole multiple of the divisor.
        ways = ways * (first - k) * (hits - k) // ((k + 1) * (second - hits + k + 1))
    here = counted[with_hit - least]
    return sum(each for each in counted if each <= here) / math.comb(first + second, hits)


def least_p(first: int, second: int, hits: int) -> float:
    """Return the smallest p-value that groups of these sizes with so many hits in all can have.

    >>> least_p(3, 3, 3)
    0.1
    """
    least, most = max(0, hits - second), min(first, hits)
    # The likelihoods rise to one peak: the least likely table is at an end, or at both.
    ends = [math.comb(first, k) * math.comb(second, hits - k) for k in {least, most}]
    ways = sum(each for each in ends if each == min(ends))
    return ways / math.comb(first + second, hits)
