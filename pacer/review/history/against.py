"""Crack or no crack against everything that sessions are compared by.

What goes together is told, never why. Sessions of which nobody knows what became of them are left
out; a quantity with fewer than `FEWEST` sessions on either side is not compared.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from statistics import median

from pacer.review.became import REPORTED
from pacer.review.history.quantities import GROUPS, NUMBERS, Number
from pacer.review.history.statistics import fisher, holm, rank_sum
from pacer.review.history.statistics.share import interval
from pacer.review.history.summary import Summary

FEWEST = 5
"""Fewer sessions than this on a side, and nothing is compared: with 4 against 4 no difference
whatever comes below 0.05 once two are tried (rank-sum test: 2/70). Our choice. With as many on a
side as this that is so once seven are tried: `Against.any_could_tell`."""

LEVEL = 0.05
"""Below it a p-value adjusted for all comparisons is worth a look: the usual one."""

NOT_COMPARED = frozenset({REPORTED})
"""Findings that are the crack itself."""


@dataclass(frozen=True, slots=True)
class Count:
    """How many of some sessions cracked."""

    cracked: int
    of: int

    @property
    def share(self) -> tuple[float, float]:
        """The lowest and the highest share that agree with it (95 %)."""
        return interval(self.cracked, self.of)


@dataclass(frozen=True, slots=True)
class Parted:
    """Sessions that have something against those that have it not."""

    name: str
    "A finding, or a group and its word such as `cover: dry sand`."
    having: Count
    lacking: Count
    p: float | None = None
    "Fisher's exact test, two-sided; None: too few to compare."
    p_holm: float | None = None
    "The same, adjusted for all comparisons made."

    @property
    def least_p(self) -> float:
        """The smallest p that so many sessions could have come to."""
        cracked = self.having.cracked + self.lacking.cracked
        return fisher.least_p(self.having.of, self.lacking.of, cracked)


@dataclass(frozen=True, slots=True)
class Side:
    """A number in the sessions with one outcome."""

    n: int
    median: float | None


@dataclass(frozen=True, slots=True)
class Ranked:
    """A number in sessions that cracked against those that did not."""

    number: Number
    cracked: Side
    held: Side
    "Of sessions in which no crack was found."
    p: float | None = None
    "Rank-sum test, two-sided; None: too few, or all alike."
    exact: bool = True
    p_holm: float | None = None

    @property
    def least_p(self) -> float:
        """The smallest p that so many sessions could have come to."""
        return rank_sum.least_p(self.cracked.n, self.held.n)


@dataclass(frozen=True, slots=True)
class Against:
    """All comparisons, the most telling first."""

    all: Count
    "Of sessions with an outcome."
    unknown: int
    "Sessions without one, left out."
    parted: tuple[Parted, ...]
    ranked: tuple[Ranked, ...]

    @property
    def _made(self) -> list[Ranked | Parted]:
        rows: tuple[Ranked | Parted, ...] = (*self.ranked, *self.parted)
        return [row for row in rows if row.p is not None]

    @property
    def compared(self) -> int:
        """How many comparisons were made."""
        return len(self._made)

    @property
    def any_could_tell(self) -> bool:
        """False: too few sessions for any adjusted p below `LEVEL`, however great a difference."""
        made = self._made
        return any(row.least_p * len(made) < LEVEL for row in made)


def against(sessions: Iterable[Summary]) -> Against:
    """Return every comparison that these sessions allow."""
    all_ = list(sessions)
    known = [session for session in all_ if session.became.found is not None]
    parted = list(_parted(known))
    ranked = list(_ranked(known))
    p_values = [
        p for p in (*(row.p for row in parted), *(row.p for row in ranked)) if p is not None
    ]
    raised = iter(holm.adjusted(p_values))
    parted = [row if row.p is None else replace(row, p_holm=next(raised)) for row in parted]
    ranked = [row if row.p is None else replace(row, p_holm=next(raised)) for row in ranked]
    return Against(
        all=_count(known),
        unknown=len(all_) - len(known),
        parted=tuple(sorted(parted, key=_order)),
        ranked=tuple(sorted(ranked, key=_order)),
    )


def _order(row: Parted | Ranked) -> float:
    return 2.0 if row.p is None else row.p


def _count(sessions: Sequence[Summary]) -> Count:
    return Count(sum(session.became.found == "crack" for session in sessions), len(sessions))


def _parted(sessions: list[Summary]) -> Iterator[Parted]:
    whole = _count(sessions)
    names = {name for session in sessions for name in session.found_names}
    for name in sorted(names - NOT_COMPARED):
        yield _two(name, [s for s in sessions if name in s.found_names], whole)
    for group in GROUPS:
        words = Counter(session.groups[group.name] for session in sessions)
        # Of two words the second says nothing that the first doesn't.
        told = sorted(words)[:1] if len(words) == 2 else sorted(words)
        if len(words) > 1:
            for word in told:
                having = [s for s in sessions if s.groups[group.name] == word]
                yield _two(f"{group.name}: {word}", having, whole)


def _two(name: str, having: list[Summary], whole: Count) -> Parted:
    ours = _count(having)
    rest = Count(whole.cracked - ours.cracked, whole.of - ours.of)
    sides = (ours.of, rest.of, whole.cracked, whole.of - whole.cracked)
    p = None
    if min(sides) >= FEWEST:
        p = fisher.p_value(
            *(ours.cracked, ours.of - ours.cracked), *(rest.cracked, rest.of - rest.cracked)
        )
    return Parted(name, ours, rest, p)


def _ranked(sessions: list[Summary]) -> Iterator[Ranked]:
    for number in NUMBERS:
        cracked = [_of(s, number) for s in sessions if s.became.found == "crack"]
        held = [_of(s, number) for s in sessions if s.became.found == "no crack found"]
        one = [value for value in cracked if value is not None]
        other = [value for value in held if value is not None]
        row = Ranked(number, _side(one), _side(other))
        # What is the same in all of them tells nothing and is no comparison.
        if min(len(one), len(other)) >= FEWEST and len({*one, *other}) > 1:
            test = rank_sum.rank_sum(one, other)
            row = replace(row, p=test.p, exact=test.exact)
        yield row


def _of(session: Summary, number: Number) -> float | None:
    return session.numbers.get(number.name)


def _side(values: list[float]) -> Side:
    return Side(len(values), median(values) if values else None)
