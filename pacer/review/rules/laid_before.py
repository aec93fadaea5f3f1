"""The beads before a moment, in words: what stood in the joint when something happened."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise

from pacer.session.work import Bead


def laid_before(beads: Sequence[Bead], t_s: float) -> Sequence[Bead]:
    """Return the beads struck at or before `t_s`, in order."""
    return beads[: bisect_right(beads, t_s, key=lambda bead: bead.started_s)]


def numbered(numbers: Sequence[int]) -> str:
    """Return numbers in words; a run of them as its ends.

    >>> numbered([4]), numbered([4, 5]), numbered([2, 3, 4, 5]), numbered([1, 3, 4])
    ('4', '4 and 5', '2 to 5', '1, 3 and 4')
    """
    if len(numbers) > 2 and all(b == a + 1 for a, b in pairwise(numbers)):
        return f"{numbers[0]} to {numbers[-1]}"
    *first, last = (str(number) for number in numbers)
    return f"{', '.join(first)} and {last}" if first else last
