"""Findings in the order in which they could explain the outcome, with what speaks against each."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

import msgspec

from pacer.review.ranking.against import against
from pacer.review.ranking.crack import Crack, cracks
from pacer.review.ranking.points import FAR, after, counted, lasted_s
from pacer.session.events import Inspection, Outcome
from pacer.session.finding import Finding
from pacer.session.state import State


def ranked(
    findings: Iterable[Finding],
    outcomes: Iterable[Outcome],
    inspections: Iterable[Inspection],
    state: State,
) -> list[Finding]:
    """Return the findings, those first that could explain the most of what was found.

    Findings come before notes, which stand in order of time, and what began after the crack was heard comes after what began
    before; then the points decide, then whether it is of the crack's bead, how far past the
    limit, how long, and time.
    """
    found = tuple(findings)
    known = cracks(outcomes, inspections, found, state.work.beads)
    alike: defaultdict[str, list[Finding]] = defaultdict(list)
    for finding in found:
        alike[finding.name].append(finding)
    fitting = [(finding, _fitting(finding, known)) for finding in found]
    fitting.sort(key=lambda pair: _rank(*pair))
    return [
        finding
        if finding.weight == "note"
        else _with(finding, against(finding, crack, known, alike[finding.name]))
        for finding, crack in fitting
    ]


def _fitting(finding: Finding, known: tuple[Crack, ...]) -> Crack | None:
    """Return the crack that a finding fits best; None where there is none."""
    return min(
        known, key=lambda crack: (after(finding, crack), -_points(finding, crack)), default=None
    )


def _points(finding: Finding, crack: Crack | None) -> int:
    return sum(counted(finding, crack).values())


def _rank(finding: Finding, crack: Crack | None) -> tuple[object, ...]:
    # Encoded too, so that the order is the same whichever rule came first.
    same = (finding.t_s, msgspec.json.encode(finding))
    if finding.weight == "note":
        return (True, *same)
    return (
        False,
        crack is not None and after(finding, crack),
        -_points(finding, crack),
        crack is None or crack.bead not in finding.all_beads,
        -min(finding.times or 0.0, FAR),
        -(lasted_s(finding) or 0.0),
        *same,
    )


def _with(finding: Finding, words: Iterable[str]) -> Finding:
    return msgspec.structs.replace(finding, against=(*finding.against, *words))
