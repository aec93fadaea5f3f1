"""`Side`: one of the recordings that are compared, with its letter."""

from __future__ import annotations

from dataclasses import dataclass

from pacer.review.became import OUTCOME, REPORTED, Became, became
from pacer.review.compare.course import Course
from pacer.review.reviewed import Reviewed


@dataclass(frozen=True, slots=True)
class Side:
    """A recording with what was gathered while it was folded."""

    reviewed: Reviewed
    course: Course
    letter: str = "A"

    @property
    def became(self) -> Became:
        """What is on record of what became of it."""
        out = self.reviewed.table
        return became(out.outcomes, out.inspections, out.findings)

    @property
    def became_words(self) -> str:
        """The same in words, with the look that tells so."""
        end = self.became
        if end.by in {OUTCOME, REPORTED}:
            return REPORTED if end.by == REPORTED else str(end.found)
        return f"{end.found} (look: {end.by})" if end.found else "not known"

    @property
    def cracked(self) -> bool:
        """Whether a crack is on record."""
        return self.became.found == "crack"


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
