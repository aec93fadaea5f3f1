"""A quantity brought along given points in time, such as the part's temperature."""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple


class Course(NamedTuple):
    """Straight lines from point to point; before the first and after the last there is nothing."""

    points: tuple[tuple[float, float], ...]
    "(session time in s, value), in order of time."

    @property
    def end_s(self) -> float:
        """Session time of the last point, s."""
        return self.points[-1][0]

    def at(self, t_s: float) -> float | None:
        """Return the value at a time, or None outside the course.

        >>> Course(((0.0, 20.0), (10.0, 40.0))).at(5.0)
        30.0
        """
        for (was_s, was), (next_s, then) in pairwise(self.points):
            if was_s <= t_s <= next_s and next_s > was_s:
                return was + (then - was) * (t_s - was_s) / (next_s - was_s)
        return None


def along(t_s: float, value: float, *legs: tuple[float, float]) -> Course:
    """Return a course that starts at `value`; each leg is (value at its end, its time in s)."""
    points = [(t_s, value)]
    for then, lasts_s in legs:
        points.append((points[-1][0] + lasts_s, then))
    return Course(tuple(points))
