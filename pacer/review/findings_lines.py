"""Findings as text for a terminal: the most telling first, each with its evidence; then notes."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.job.columns import laid_out
from pacer.review.became import became
from pacer.review.hanging import hanging
from pacer.review.moments import clock
from pacer.review.ranking.crack import Crack, cracks
from pacer.review.table import Table
from pacer.session.filled import filled
from pacer.session.finding import Finding
from pacer.text import clean
from pacer.trade import wording
from pacer.trade.rows import row
from pacer.units import Shown

_BY_SIZE = "In order of what could strain the metal, and of how far it went."
_LABEL = 10
_MARGIN = 5


def findings_lines(out: Table, shown: Shown) -> Iterator[str]:
    """Yield the findings, numbered, under what their order rests on."""
    telling = [finding for finding in out.findings if finding.weight == "finding"]
    yield "FINDINGS: what the record shows, not a verdict on the repair"
    notes_n = len(out.findings) - len(telling) + len(out.notes) + out.notes.more
    yield f"  {_count(len(telling), 'finding')}, {_count(notes_n, 'note')}"
    if not telling:
        return
    for text in basis(out, shown):
        yield from laid_out(text)
    told: dict[str, int] = {}
    for number, finding in enumerate(telling, start=1):
        yield ""
        yield from _finding(number, finding, shown, told.setdefault(finding.name, number))


def _count(number: int, what: str) -> str:
    return f"{number or 'no'} {what}{'' if number == 1 else 's'}"


def notes_lines(out: Table, shown: Shown) -> Iterator[str]:
    """Yield the notes: those of the rules, then those the welder made."""
    for finding in out.findings:
        if finding.weight == "note":
            yield from _at(finding.t_s, f"{finding.name}: {clean(finding.said(shown))}")
    for t_s, text in out.notes:
        yield from _at(t_s, f"note: {clean(text)}")


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
        value = filled(f"{{{finding.limit.value}}}", finding.values, shown)
        yield from _row("limit", f"{finding.limit.name} {value} ({clean(finding.limit.origin)})")
    far = "; ".join(_how_far(finding, shown))
    if far:
        yield from _row("how far", far)
    usual = wording.told(row("findings", finding.name), shown)
    yield from _row("usually", usual if first == number else f"as for {first}")
    for at, words in enumerate(finding.said_against(shown)):
        yield from _row("" if at else "against", clean(words))


def _how_far(finding: Finding, shown: Shown) -> Iterator[str]:
    if finding.times is not None:
        yield f"{finding.times:g} times what is allowed"
    if finding.to_s is not None and finding.to_s > finding.t_s:
        lasted = shown.duration(finding.to_s - finding.t_s)
        yield f"{lasted}, until {clock(finding.to_s)}"


def _row(label: str, text: str) -> Iterator[str]:
    head = f"{'':<{_MARGIN}}{label:<{_LABEL}}"
    return hanging(head, text)


def _at(t_s: float, text: str) -> Iterator[str]:
    return hanging(f"  {clock(t_s):<9}", text)
