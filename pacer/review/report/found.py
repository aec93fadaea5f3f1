"""The findings on the page: numbered as on the charts, each with its evidence and its limit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from pacer.job.sheet.forms.footnotes import Footnotes
from pacer.job.sheet.forms.parts import said
from pacer.job.sheet.making import sentence, some, told
from pacer.job.sheet.records import Section, Step
from pacer.review.moments import clock
from pacer.review.report.markup import facts, paragraph, safe
from pacer.review.reviewed import Reviewed
from pacer.review.table import Table
from pacer.review.text.findings_lines import basis, nothing_recorded
from pacer.session.filled import filled
from pacer.session.finding import Finding, origin_words
from pacer.trade.rows import row
from pacer.units import Shown

NO_VERDICT = (
    "Each says what was measured or done and which limit that broke. None says why a repair "
    "cracked, nor that one is sound."
)


def leads_to(finding: Finding, shown: Shown) -> Step:
    """Return what a finding usually leads to, by the trade's table of them."""
    return told(row("findings", finding.name), shown=shown)


def cited(reviewed: Reviewed, shown: Shown) -> Section:
    """Return a section of all that the findings cite, for the numbers of its sources."""
    return Section(
        "findings", "Findings", tuple(leads_to(found, shown) for found in reviewed.findings)
    )


def findings_html(reviewed: Reviewed, shown: Shown, notes: Footnotes) -> str:
    """Return the findings under their count, or that there was nothing to judge."""
    out = reviewed.table
    nothing = nothing_recorded(out)
    if nothing:
        return paragraph(sentence(nothing))
    found = reviewed.findings
    parts = [paragraph(counted(out))]
    if found:
        parts.append(paragraph(NO_VERDICT, "quiet"))
        parts += [paragraph(text, "quiet") for text in basis(out, shown)]
    else:
        parts.append(
            paragraph("Nothing on record is outside of the limits that were looked at.", "quiet")
        )
    first: dict[str, int] = {}
    for number, finding in enumerate(found, 1):
        said_at = first.setdefault(finding.name, number)
        parts.append(_finding(number, finding, said_at, shown, notes))
    if out.findings.more:
        parts.append(paragraph(f"and {out.findings.more} more, not shown", "quiet"))
    return "\n".join(parts)


def counted(out: Table) -> str:
    """Return how many findings there are, and how many notes of the rules."""
    count = len(out.of_weight("finding"))
    return f"{some(count, 'finding') if count else 'No findings'}, {notes_of(out)}."


def notes_of(out: Table) -> str:
    """Return how many notes of the rules there are."""
    count = len(out.of_weight("note"))
    return some(count, "note") if count else "no notes"


def limits_html(findings: Iterable[Finding], shown: Shown) -> str:
    """Return the limits that findings and notes were judged by, each with its origin."""
    rows = {
        (found.limit.name, _value(found, shown)): origin_words(found.limit.origin)
        for found in findings
        if found.limit is not None
    }
    return facts(
        "Limits they were judged by, and where each is from",
        ((f"{name} {value}", origin) for (name, value), origin in rows.items()),
    )


def _finding(number: int, finding: Finding, first: int, shown: Shown, notes: Footnotes) -> str:
    """Return a finding; `first` is the number of the first one of its name, which says the usual."""
    rows = [(term, safe(words)) for term, words in _evidence(finding, shown)]
    usual = f'as for <a href="#finding-{first}">{first}</a>'
    if first == number:
        usual = said(leads_to(finding, shown), notes)
    rows.append(("usually", usual))
    rows += [("against it", safe(words)) for words in finding.said_against(shown)]
    terms = "".join(f"<div><dt>{term}</dt><dd>{words}</dd></div>" for term, words in rows)
    return (
        f'<article class="finding" id="finding-{number}"><h3><span class="n">{number}</span>'
        f"{safe(finding.name)} <small>at {clock(finding.t_s)}</small></h3>"
        f'<p class="words">{safe(finding.said(shown))}</p><dl>{terms}</dl></article>'
    )


def _evidence(finding: Finding, shown: Shown) -> Iterator[tuple[str, str]]:
    if finding.limit is not None:
        yield "limit", finding.said_limit(shown)
    far = [words for words in [finding.how_far(shown)] if words]
    if finding.to_s is not None and finding.to_s > finding.t_s:
        far.append(
            f"{shown.duration(finding.to_s - finding.t_s)}, from {clock(finding.t_s)} "
            f"to {clock(finding.to_s)}"
        )
    if far:
        yield "how far", "; ".join(far)
    where = "; ".join(_where(finding))
    if where:
        yield "where", where


def _where(finding: Finding) -> Iterator[str]:
    beads = sorted(finding.all_beads)
    if beads:
        yield f"bead{'s' if len(beads) > 1 else ''} {', '.join(map(str, beads))}"
    if finding.place is not None:
        yield f"place {finding.place + 1}"
    if finding.record is not None:
        yield f"record {finding.record}, to which a replay can jump"


def _value(finding: Finding, shown: Shown) -> str:
    assert finding.limit is not None
    return filled(f"{{{finding.limit.value}}}", finding.values, shown)
