"""What if: the same record judged by other limits, and what that changes of its findings.

It says what those limits would call a finding in what was done. It does not say what would
have happened by them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from pacer.job.file.typed import Given
from pacer.review.job_keys import apart
from pacer.review.json_page import finding_json
from pacer.review.reviewed import Reviewed
from pacer.session.finding import Finding
from pacer.session.work import Bead
from pacer.text import clean
from pacer.units import System

SAYS = (
    "The same record judged by other limits. It doesn't say what would have happened: "
    "with them the program would have called at other times, and other things would have been done."
)
_NEAR_S = 60.0
"""Findings of a kind that begin so close are taken for the same one (our choice, no source)."""
_SAME_ARC_S = 4.0
"""So far another beat of the cadence may move a bead's start; no bead is shorter than 5 s."""


class Kept(NamedTuple):
    """A finding by both, with its figures by each."""

    then: Finding
    now: Finding


@dataclass(frozen=True, slots=True)
class WhatIf:
    """What other limits change; each list in the order of its review."""

    then: Reviewed
    now: Reviewed
    goes: tuple[Finding, ...]
    stays: tuple[Kept, ...]
    comes: tuple[Finding, ...]

    def limits(self, system: System = "metric") -> Iterator[tuple[str, Given | None, Given | None]]:
        """Yield each key in which the jobs differ, what it was then and is now."""
        for key, (then, now) in apart([self.then.opened.job, self.now.opened.job], system):
            yield key, then, now

    @property
    def beads_differ(self) -> bool:
        """Whether beads are counted or placed otherwise now."""
        return _numbering(self.then) != _numbering(self.now)

    @property
    def phases_differ(self) -> bool:
        """Whether the phases follow each other otherwise now."""
        return _stays(self.then) != _stays(self.now)

    @property
    def not_compared(self) -> int:
        """How many findings are left out, since a review keeps only so many."""
        return self.then.table.findings.more + self.now.table.findings.more


def what_if(then: Reviewed, now: Reviewed) -> WhatIf:
    """Return what the findings of one record, folded with two jobs, have in common and not."""
    gone = list(then.table.findings)
    new = list(now.table.findings)
    pairs: dict[int, Finding] = {}
    for fits in (_same_bead(then.table.beads, now.table.beads), _near, _only_one(gone, new)):
        for place, finding in enumerate(new):
            if place not in pairs:
                same = [old for old in gone if old.name == finding.name and fits(old, finding)]
                if same:
                    pairs[place] = nearest = min(same, key=lambda old: abs(old.t_s - finding.t_s))
                    gone = [old for old in gone if old is not nearest]
    return WhatIf(
        then=then,
        now=now,
        goes=tuple(gone),
        stays=tuple(Kept(pairs[at], finding) for at, finding in enumerate(new) if at in pairs),
        comes=tuple(finding for at, finding in enumerate(new) if at not in pairs),
    )


_Fits = Callable[[Finding, Finding], bool]


def _same_bead(then: Iterable[Bead], now: Iterable[Bead]) -> _Fits:
    """Return what tells findings of the same arc, whatever number its bead has in each."""
    struck = [
        {bead.number: bead.started_s for bead in beads if bead.counted} for beads in (then, now)
    ]

    def fits(old: Finding, new: Finding) -> bool:
        if old.bead is None or new.bead is None:
            return False
        old_s, new_s = struck[0].get(old.bead), struck[1].get(new.bead)
        return old_s is not None and new_s is not None and abs(old_s - new_s) <= _SAME_ARC_S

    return fits


def _near(old: Finding, new: Finding) -> bool:
    """Tell findings of no bead that lasted through the same time, or began close together."""
    if old.bead is not None or new.bead is not None:
        return False
    begun, ended = max(old.t_s, new.t_s), min(old.to_s or old.t_s, new.to_s or new.t_s)
    return begun <= ended + _NEAR_S


def _only_one(then: Iterable[Finding], now: Iterable[Finding]) -> _Fits:
    """Return what tells findings of which either has one only, such as a count of peens."""
    names = [[finding.name for finding in findings] for findings in (then, now)]

    def fits(old: Finding, new: Finding) -> bool:
        alone = old.bead is None and new.bead is None
        return alone and all(of.count(old.name) == 1 for of in names)

    return fits


def _numbering(reviewed: Reviewed) -> list[tuple[float, int, int]]:
    return [(bead.started_s, bead.number, bead.place) for bead in reviewed.table.beads]


def _stays(reviewed: Reviewed) -> list[str]:
    return [str(row.phase) for row in reviewed.table.phases]


def what_if_json(what: WhatIf) -> dict[str, object]:
    """Return it as a member of the recording's review (guide/compare.md)."""
    return {
        "says": SAYS,
        "limits": [
            {
                "key": key,
                "then": then,
                "now": now,
                "now_from": clean(what.now.opened.job.origin.get(key, "")),
            }
            for key, then, now in what.limits()
        ],
        "beads_planned": {
            "then": what.then.opened.job.plan.beads,
            "now": what.now.opened.job.plan.beads,
        },
        "goes": [finding_json(finding) for finding in what.goes],
        "stays": [
            {"then": finding_json(then), "now": finding_json(now)} for then, now in what.stays
        ],
        "comes": [finding_json(finding) for finding in what.comes],
        "beads_differ": what.beads_differ,
        "phases_differ": what.phases_differ,
        "not_compared": what.not_compared,
    }
