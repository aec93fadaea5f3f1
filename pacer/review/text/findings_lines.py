"""Findings as text for a terminal: the most telling first, each with its evidence; notes; a list."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.job.columns import laid_out
from pacer.review.became import became
from pacer.review.moments import clock
from pacer.review.noted import noted
from pacer.review.ranking.crack import Crack, cracks
from pacer.review.table import Table
from pacer.review.text.block import block, left_out
from pacer.review.text.hanging import hanging
from pacer.session.finding import Finding
from pacer.text import clean
from pacer.trade import wording
from pacer.trade.rows import row
from pacer.units import Shown

_BY_SIZE = "In order of what could strain the metal, and of how far it went."
_LABEL = 10
_MARGIN = 5
_MANY = 3
"So many findings with their evidence are more than a window of 24 lines."
_MOST_SHORT = 18


def findings_lines(out: Table, shown: Shown) -> Iterator[str]:
    """Yield the findings, numbered, under what their order rests on."""
    telling = out.of_weight("finding")
    yield "FINDINGS: what the record shows, not a verdict on the repair"
    nothing = nothing_recorded(out)
    if nothing:
        yield f"  {nothing}"
    else:
        notes_n = len(out.of_weight("note"))
        yield f"  {_count(len(telling), 'finding')}, {_count(notes_n, 'note')}"
    if not telling:
        return
    for text in basis(out, shown):
        yield from laid_out(text)
    told: dict[str, int] = {}
    for number, finding in enumerate(telling, start=1):
        yield ""
        yield from _finding(number, finding, shown, told.setdefault(finding.name, number))
    yield from left_out(out.findings.more)


def nothing_recorded(out: Table) -> str:
    """Return that there was nothing to judge; empty where there was."""
    if out.readings or out.beads or len(out.findings):
        return ""
    return "nothing was recorded: no readings, no beads"


def short_lines(out: Table, shown: Shown) -> Iterator[str]:
    """Yield the findings once more, a line each, where a terminal doesn't show them together."""
    telling = out.of_weight("finding")
    if len(telling) < _MANY:
        return
    yield ""
    yield "in short"
    for number, finding in enumerate(telling[:_MOST_SHORT], start=1):
        beads = sorted(finding.all_beads)
        which = f", bead {beads[0]}" if len(beads) == 1 else ""
        far = finding.how_far(shown)
        words = f"{finding.name}{which}" + (f": {far}" if far else "")
        yield from hanging(f"{number:>3}. {clock(finding.t_s)}  ", words)
    yield from left_out(len(telling) - len(telling[:_MOST_SHORT]))


def _count(number: int, what: str) -> str:
    return f"{number or 'no'} {what}{'' if number == 1 else 's'}"


def notes_lines(out: Table, shown: Shown) -> Iterator[str]:
    """Yield the notes of the rules, then what the welder wrote down."""
    notes = (
        line
        for finding in out.of_weight("note")
        for line in _at(finding.t_s, f"{finding.name}: {clean(finding.said(shown))}")
    )
    yield from block("notes", notes, raw=True)
    words = (line for t_s, text in noted(out, shown) for line in _at(t_s, text))
    yield from block("written down in the session", words, out.notes.more, raw=True)


def basis(out: Table, shown: Shown) -> Iterator[str]:
    """Yield what the order rests on, and what it can't know."""
    known = cracks(out.outcomes, out.inspections, out.findings, out.beads)
    if known:
        yield from _of_cracks(known)
    elif became(out.outcomes, out.inspections, out.findings).found == "no crack found":
        yield (
            "No crack is recorded by any look; what departed from a limit stands here all the "
            f"same. {_BY_SIZE}"
        )
    else:
        yield f"No crack is recorded yet. {_BY_SIZE}"
    for outcome in out.outcomes:
        if outcome.found == "crack" and outcome.when == "in service":
            after = (
                "" if outcome.service_s is None else f", after {shown.duration(outcome.service_s)}"
            )
            yield (
                f"A crack was found in service{after}: the loads of that time are not in this "
                "record."
            )
            return


def _of_cracks(known: tuple[Crack, ...]) -> Iterator[str]:
    if len(known) > 1:
        yield (
            f"{len(known)} cracks are recorded: each finding stands by the one it fits best "
            "(pacer guide review)."
        )
        return
    (crack,) = known
    if crack.words:
        yield (
            f"In order of how much they could have to do with the crack {crack.words} "
            "(pacer guide review). Which of them had, if any, the record can't say."
        )
    if crack.where is None and crack.at is None and crack.bead is None:
        yield (
            "A crack is recorded, but not where: pacer outcome RECORDING takes its place and its "
            "bead, and the order follows."
        )


def _finding(number: int, finding: Finding, shown: Shown, first: int) -> Iterator[str]:
    """Yield a finding; `first` is the number of the first one of its name, which says the usual."""
    record = "" if finding.record is None else f", record {finding.record}"
    yield f"{number:>3}. {clock(finding.t_s)}  {finding.name}{record}"
    yield from _row("", clean(finding.said(shown)))
    if finding.limit is not None:
        yield from _row("limit", clean(finding.said_limit(shown)))
    far = "; ".join(_how_far(finding, shown))
    if far:
        yield from _row("how far", far)
    usual = wording.told(row("findings", finding.name), shown)
    yield from _row("usually", usual if first == number else f"as for {first}")
    for at, words in enumerate(finding.said_against(shown)):
        yield from _row("" if at else "against", clean(words))


def _how_far(finding: Finding, shown: Shown) -> Iterator[str]:
    far = finding.how_far(shown)
    if far:
        yield far
    if finding.to_s is not None and finding.to_s > finding.t_s:
        lasted = shown.duration(finding.to_s - finding.t_s)
        yield f"{lasted}, until {clock(finding.to_s)}"


def _row(label: str, text: str) -> Iterator[str]:
    head = f"{'':<{_MARGIN}}{label:<{_LABEL}}"
    return hanging(head, text)


def _at(t_s: float, text: str) -> Iterator[str]:
    return hanging(f"  {clock(t_s):<9}", text)
