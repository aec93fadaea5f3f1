"""`Compared`: two or more recordings, phase by phase, figure by figure, bead by bead."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

import msgspec

from pacer.review.became import REPORTED
from pacer.review.compare.course import Course
from pacer.review.compare.figures import Figures, figures
from pacer.review.compare.side import Side, lettered
from pacer.review.ranking.crack import cracks
from pacer.review.ranking.points import after
from pacer.review.reviewed import Reviewed
from pacer.session.finding import Finding
from pacer.session.work import Bead, Phase

NO_CAUSE = (
    "A difference between two recordings proves no cause: they differ in more than one thing, "
    "and in what nobody measured."
)


class Stays(msgspec.Struct, frozen=True):
    """All stays of one recording in one phase."""

    stays: int
    after_s: float
    "From the moment the recordings are aligned at until the first stay; negative before it."
    lasted_s: float
    "All of them together."
    least_c: float | None
    most_c: float | None


class Counted(NamedTuple):
    """How often each has findings of a name."""

    name: str
    note: bool
    "All of them are notes."
    times: tuple[int, ...]


class Single(NamedTuple):
    """A finding and the recording that it is of."""

    side: Side
    finding: Finding


class BeadRow(NamedTuple):
    """Beads of one number in each."""

    number: int
    again: int
    "0: the first of that number; 1: the one that finished it after its arc was lost, and so on."
    beads: tuple[Bead | None, ...]


@dataclass(frozen=True, slots=True)
class Compared:
    """Rows have one cell a side, in the order of `sides`; None where a side has none of it."""

    sides: tuple[Side, ...]
    aligned: str
    "What they are aligned at: preheat, or the start where one has none."
    zeros_s: tuple[float, ...]
    "Session time of that moment."
    phases: tuple[tuple[Phase, tuple[Stays | None, ...]], ...]
    figures: tuple[Figures, ...]
    findings: tuple[Counted, ...]
    "Those of one side only come first."
    only_cracked: tuple[Single, ...]
    """What a cracked one has and none of the others has anything of by that name; not the crack
    itself, nor what began after it was heard or seen."""
    after_crack: int
    "How many are left out of `only_cracked` for that they began after the crack."
    only_one: tuple[Single, ...]
    "What one alone has anything of by that name, but for `only_cracked`."
    beads: tuple[BeadRow, ...]

    @property
    def cracked(self) -> tuple[Side, ...]:
        """The sides of which a crack is on record."""
        return tuple(side for side in self.sides if side.cracked)

    @property
    def others(self) -> tuple[Side, ...]:
        """The sides of which none is."""
        return tuple(side for side in self.sides if not side.cracked)

    @property
    def good_against_failed(self) -> bool:
        """Whether one is known to have cracked and another isn't."""
        return bool(self.cracked and self.others)


def compare(pairs: list[tuple[Reviewed, Course]]) -> Compared:
    """Return recordings side by side, in the order given."""
    sides = lettered(pairs)
    aligned, zeros_s = _aligned(sides)
    of_cracked = [single for single in _of_cracked(sides) if single.finding.name != REPORTED]
    only_cracked = tuple(single for single in of_cracked if not _after_crack(single))
    return Compared(
        sides=sides,
        aligned=aligned,
        zeros_s=zeros_s,
        phases=tuple(_phases(sides, zeros_s)),
        figures=tuple(figures(side) for side in sides),
        findings=_findings(sides),
        only_cracked=only_cracked,
        after_crack=len(of_cracked) - len(only_cracked),
        only_one=tuple(single for single in _only_one(sides) if single not in only_cracked),
        beads=tuple(_beads(sides)),
    )


def _aligned(sides: tuple[Side, ...]) -> tuple[str, tuple[float, ...]]:
    """Return the first preheat of each, as the replay of two has it; else each one's start."""
    heats = [
        [row.from_s for row in side.reviewed.table.phases if row.phase is Phase.PREHEAT][:1]
        for side in sides
    ]
    if all(heats):
        return str(Phase.PREHEAT), tuple(from_s for (from_s,) in heats)
    return "the start", tuple(side.reviewed.opened.t_s for side in sides)


def _phases(
    sides: tuple[Side, ...], zeros_s: tuple[float, ...]
) -> Iterator[tuple[Phase, tuple[Stays | None, ...]]]:
    """Yield the phases that any of them was in, in the order of a repair."""
    for phase in Phase:
        cells = tuple(
            _stays(side, phase, zero_s) for side, zero_s in zip(sides, zeros_s, strict=True)
        )
        if any(cells):
            yield phase, cells


def _stays(side: Side, phase: Phase, zero_s: float) -> Stays | None:
    rows = [row for row in side.reviewed.table.phases if row.phase is phase]
    if not rows:
        return None
    lows = [row.least_c for row in rows if row.least_c is not None]
    highs = [row.most_c for row in rows if row.most_c is not None]
    return Stays(
        stays=len(rows),
        after_s=round(rows[0].from_s - zero_s, 3),
        lasted_s=round(sum(row.to_s - row.from_s for row in rows), 3),
        least_c=min(lows, default=None),
        most_c=max(highs, default=None),
    )


def _findings(sides: tuple[Side, ...]) -> tuple[Counted, ...]:
    notes: dict[str, bool] = {}
    times = [Counter(finding.name for finding in side.reviewed.table.findings) for side in sides]
    for side in sides:
        for finding in side.reviewed.table.findings:
            notes[finding.name] = notes.get(finding.name, True) and finding.weight == "note"
    rows = [Counted(name, note, tuple(of[name] for of in times)) for name, note in notes.items()]
    return tuple(sorted(rows, key=lambda row: sum(map(bool, row.times)) != 1))


def _of_cracked(sides: tuple[Side, ...]) -> Iterator[Single]:
    others = tuple(side for side in sides if not side.cracked)
    if others:
        for side in sides:
            if side not in others:
                yield from _beside(side, others)


def _after_crack(single: Single) -> bool:
    """True where it began when every crack on record was there already."""
    out = single.side.reviewed.table
    known = cracks(out.outcomes, out.inspections, out.findings, out.beads)
    return bool(known) and all(after(single.finding, crack) for crack in known)


def _only_one(sides: tuple[Side, ...]) -> Iterator[Single]:
    for side in sides:
        yield from _beside(side, tuple(other for other in sides if other is not side))


def _beside(side: Side, others: tuple[Side, ...]) -> Iterator[Single]:
    """Yield the findings of a side by whose name none of the others has one."""
    shared = {finding.name for other in others for finding in other.reviewed.table.findings}
    for finding in side.reviewed.table.findings:
        if finding.name not in shared:
            yield Single(side, finding)


def _beads(sides: tuple[Side, ...]) -> Iterator[BeadRow]:
    """Yield beads by number; an arc too short to be a bead is none."""
    of: dict[tuple[int, int], list[Bead | None]] = {}
    for place, side in enumerate(sides):
        seen: Counter[int] = Counter()
        for bead in side.reviewed.table.beads:
            if bead.counted:
                row = of.setdefault((bead.number, seen[bead.number]), [None] * len(sides))
                row[place] = bead
                seen[bead.number] += 1
    for number, again in sorted(of):
        yield BeadRow(number, again, tuple(of[number, again]))
