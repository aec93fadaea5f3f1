"""The beads before a moment, in words: what stood in the joint when something happened."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from pacer.session.work import Bead

_MOST_RUNS = 8
"So many numbers, or runs of them, are named."


def laid_before(beads: Sequence[Bead], t_s: float) -> Sequence[Bead]:
    """Return the beads struck at or before `t_s`, in order."""
    return beads[: bisect_right(beads, t_s, key=lambda bead: bead.started_s)]


def numbered(numbers: Sequence[int]) -> str:
    """Return rising numbers in words, a run of three and more as its ends; of many the first.

    >>> numbered([4]), numbered([4, 5]), numbered([1, 3, 4]), numbered([1, 3, 4, 5, 9])
    ('4', '4 and 5', '1, 3 and 4', '1, 3 to 5 and 9')
    >>> numbered([*range(1, 20, 2), 20, 21])
    '1, 3, 5, 7, 9, 11, 13, 15 and 4 more'
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    words: list[str] = []
    told = 0
    for run in runs[:_MOST_RUNS]:
        words += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else map(str, run)
        told += len(run)
    if told < len(numbers):
        words.append(f"{len(numbers) - told} more")
    *first, last = words
    return f"{', '.join(first)} and {last}" if first else last
