"""What if: the same record judged by other limits, and what that changes of its findings.

It says what those limits would call a finding in what was done. It does not say what would
have happened by them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, NamedTuple

from pacer.job.file.keys import Key
from pacer.review.job_keys import apart, in_a_file
from pacer.review.json_page import finding_json
from pacer.review.reviewed import Reviewed
from pacer.session.finding import Finding
from pacer.session.work import Bead
from pacer.text import clean

SAYS = (
    "The same record judged by other limits. It doesn't say what would have happened: "
    "with them the program would have called at other times, and other things would have been done."
)
_NEAR_S = 60.0
"""Findings of a kind that begin so close are taken for the same one (our choice, no source)."""
_SAME_ARC_S = 4.0
"""So far another beat of the cadence may move a bead's start; no bead is shorter than 5 s."""


class Kept(NamedTuple):
    """A finding by both, with its figures by each.

    One of several beads stands against each one of theirs, as often as there are.
    """

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

    def limits(self) -> Iterator[tuple[Key, tuple[Any, ...]]]:
        """Return each key in which the jobs differ, with what it was then and is now."""
        return apart([self.then.opened.job, self.now.opened.job])

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
    arcs = _Arcs(then.table.beads, now.table.beads)
    pairs: dict[int, list[Finding]] = {}
    for fits in (arcs.one, _near, _only_one(gone, new)):
        for place, finding in enumerate(new):
            if place not in pairs:
                same = [old for old in gone if old.name == finding.name and fits(old, finding)]
                if same:
                    nearest = min(same, key=lambda old: abs(old.t_s - finding.t_s))
                    pairs[place] = [nearest]
                    gone = [old for old in gone if old is not nearest]
    for place, finding in enumerate(new):
        if place not in pairs:
            pairs[place] = [
                old
                for old in then.table.findings
                if old.name == finding.name and arcs.several(old, finding)
            ]
            gone = [old for old in gone if not any(old is other for other in pairs[place])]
    return WhatIf(
        then=then,
        now=now,
        goes=tuple(gone),
        stays=tuple(Kept(old, finding) for at, finding in enumerate(new) for old in pairs[at]),
        comes=tuple(finding for at, finding in enumerate(new) if not pairs[at]),
    )


_Fits = Callable[[Finding, Finding], bool]


class _Arcs:
    """Tells findings of the same arc, whatever number its bead has in each."""

    def __init__(self, then: Iterable[Bead], now: Iterable[Bead]) -> None:
        self._then, self._now = (
            {bead.number: bead.started_s for bead in beads if bead.counted} for beads in (then, now)
        )

    def one(self, old: Finding, new: Finding) -> bool:
        """True where each is of one bead and both of the same arc."""
        if old.bead is None or new.bead is None:
            return False
        return self._meet(old, new)

    def several(self, old: Finding, new: Finding) -> bool:
        """True where one tells of several beads and an arc of them is the other's too."""
        return bool(old.beads or new.beads) and self._meet(old, new)

    def _meet(self, old: Finding, new: Finding) -> bool:
        old_s = [self._then[bead] for bead in old.all_beads if bead in self._then]
        new_s = [self._now[bead] for bead in new.all_beads if bead in self._now]
        return any(abs(one_s - other_s) <= _SAME_ARC_S for one_s in old_s for other_s in new_s)


def _near(old: Finding, new: Finding) -> bool:
    """Tell findings of no bead that lasted through the same time, or began close together."""
    if old.all_beads or new.all_beads:
        return False
    begun, ended = max(old.t_s, new.t_s), min(old.to_s or old.t_s, new.to_s or new.t_s)
    return begun <= ended + _NEAR_S


def _only_one(then: Iterable[Finding], now: Iterable[Finding]) -> _Fits:
    """Return what tells findings of which either has one only, such as a count of peens."""
    names = [[finding.name for finding in findings] for findings in (then, now)]

    def fits(old: Finding, new: Finding) -> bool:
        alone = not old.all_beads and not new.all_beads
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
                "key": key.name,
                "then": in_a_file(key, then),
                "now": in_a_file(key, now),
                "now_from": clean(what.now.opened.job.origin.get(key.name, "")),
            }
            for key, (then, now) in what.limits()
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
