"""A what-if as text for a terminal: the limits first, then what goes, stays and comes."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from pacer.job.file.changed import was_given
from pacer.review.grid import Grid, grid_lines
from pacer.review.job_keys import in_units
from pacer.review.moments import clock
from pacer.review.text.hanging import hanging
from pacer.review.what_if import SAYS, WhatIf
from pacer.session.finding import Finding
from pacer.text import clean
from pacer.units import Shown


def what_if_lines(what: WhatIf, shown: Shown) -> Iterator[str]:
    """Yield the page, line by line."""
    reviewed = what.then
    yield f"{reviewed.name}: {clean(reviewed.opened.job.title)}"
    yield "WHAT IF"
    yield from hanging("", SAYS)
    if reviewed.lacking:
        yield from hanging(
            "", f"FROM A DAMAGED RECORDING: {reviewed.lacking}; figures may lack them"
        )
    yield ""
    yield from _limits(what, shown)
    yield from _listed("go", what.goes, shown)
    yield from _kept(what, shown)
    yield from _listed("come", what.comes, shown)
    if what.beads_differ:
        yield from hanging(
            "",
            "Beads are counted or placed otherwise by these limits: bead numbers above are those "
            "of each folding, then for what goes, now for what stays and comes.",
        )
    if what.phases_differ:
        yield from hanging(
            "",
            "Phases begin and end otherwise by these limits, so a press can mean another thing than "
            "it did.",
        )
    if what.not_compared:
        yield from hanging("", f"{what.not_compared} more findings, not compared")


def _limits(what: WhatIf, shown: Shown) -> Iterator[str]:
    origin = what.now.opened.job.origin
    rows = []
    for key, values in what.limits():
        then, now = in_units(key, values, shown)
        follows = "" if was_given(origin, key.name) else " (follows)"
        rows.append((key.name, (then, f"{now}{follows}")))
    planned = [of.opened.job.plan.beads for of in (what.then, what.now)]
    if planned[0] != planned[1]:
        rows.append(("beads planned", (str(planned[0]), f"{planned[1]} (follows)")))
    if not rows:
        yield "no limit differs"
        yield ""
        return
    yield from grid_lines(Grid("limit", ("then", "now"), tuple(rows)))


def _listed(verb: str, findings: tuple[Finding, ...], shown: Shown) -> Iterator[str]:
    yield f"findings that {verb}: {len(findings)}"
    for finding in findings:
        yield from _told(finding, shown)
    yield ""


def _kept(what: WhatIf, shown: Shown) -> Iterator[str]:
    groups = [list(group) for _, group in groupby(what.stays, key=lambda kept: id(kept.now))]
    yield f"findings that stay: {len(groups)}"
    for group in groups:
        now = group[0].now
        yield from _told(now, shown)
        for kept in group:
            before = kept.then.said(shown)
            if before != now.said(shown):
                yield from hanging(f"{'then':>9}: ", clean(before))
    yield ""


def _told(finding: Finding, shown: Shown) -> Iterator[str]:
    note = "note: " if finding.weight == "note" else ""
    words = f"{note}{finding.name}: {clean(finding.said(shown))}"
    yield from hanging(f"{clock(finding.t_s):<9}", words)
