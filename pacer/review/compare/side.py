"""`Side`: one of the recordings that are compared, with its letter."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pacer.review.compare.course import Course
from pacer.review.ranking.crack import cracks, nothing_found
from pacer.review.reviewed import Reviewed

Became = Literal["cracked", "no crack found", "not said"]
"""By the outcomes, looks and cracks on record; none is a verdict on the part."""


@dataclass(frozen=True, slots=True)
class Side:
    """A recording with what was gathered while it was folded."""

    reviewed: Reviewed
    course: Course
    letter: str = "A"

    @property
    def became(self) -> Became:
        """What is on record; a crack stays one whatever a later look found."""
        out = self.reviewed.table
        if cracks(out.outcomes, out.inspections, out.findings, out.beads):
            return "cracked"
        clear = nothing_found(out.outcomes, out.inspections)
        return "no crack found" if clear else "not said"


def lettered(pairs: list[tuple[Reviewed, Course]]) -> tuple[Side, ...]:
    """Return the sides in the order given: A to Z, then A2 and so on."""
    return tuple(Side(reviewed, course, letter(n)) for n, (reviewed, course) in enumerate(pairs))


def letter(number: int) -> str:
    """Return the letter of the recording with this number, counted from 0.

    >>> letter(1), letter(27)
    ('B', 'B2')
    """
    turn, place = divmod(number, 26)
    return chr(ord("A") + place) + (str(turn + 1) if turn else "")
