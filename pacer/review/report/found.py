"""The findings on the page: numbered as on the charts, each with its evidence and its limit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from pacer.job.sheet.forms.footnotes import Footnotes
from pacer.job.sheet.forms.parts import said
from pacer.job.sheet.making import told
from pacer.job.sheet.records import Section, Step
from pacer.review.findings_lines import basis
from pacer.review.moments import clock
from pacer.review.report.markup import facts, paragraph, safe
from pacer.review.reviewed import Reviewed
from pacer.session.filled import filled
from pacer.session.finding import Finding
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
    """Return the findings, or that there are none."""
    parts = [
        _finding(number, finding, shown, notes)
        for number, finding in enumerate(reviewed.findings, 1)
    ]
    if not parts:
        parts = [paragraph("None. Nothing on record is outside of the limits that were looked at.")]
    else:
        resting = (paragraph(text, "quiet") for text in basis(reviewed.table, shown))
        parts[:0] = [paragraph(NO_VERDICT, "quiet"), *resting]
    if reviewed.table.findings.more:
        parts.append(paragraph(f"and {reviewed.table.findings.more} more, not shown", "quiet"))
    return "\n".join(parts)


def limits_html(findings: Iterable[Finding], shown: Shown) -> str:
    """Return the limits that findings and notes were judged by, each with its origin."""
    rows = {
        (found.limit.name, _value(found, shown)): safe(found.limit.origin) or "not said"
        for found in findings
        if found.limit is not None
    }
    return facts(
        "Limits they were judged by, and where each is from",
        ((f"{name} {value}", origin) for (name, value), origin in rows.items()),
    )


def _finding(number: int, finding: Finding, shown: Shown, notes: Footnotes) -> str:
    rows = [(term, safe(words)) for term, words in _evidence(finding, shown)]
    rows.append(("usually", said(leads_to(finding, shown), notes)))
    rows += [("against it", safe(words)) for words in finding.said_against(shown)]
    terms = "".join(f"<div><dt>{term}</dt><dd>{words}</dd></div>" for term, words in rows)
    return (
        f'<article class="finding" id="finding-{number}"><h3><span class="n">{number}</span>'
        f"{safe(finding.name)} <small>at {clock(finding.t_s)}</small></h3>"
        f'<p class="words">{safe(finding.said(shown))}</p><dl>{terms}</dl></article>'
    )


def _evidence(finding: Finding, shown: Shown) -> Iterator[tuple[str, str]]:
    limit = finding.limit
    if limit is not None:
        yield (
            "limit",
            f"{limit.name} {_value(finding, shown)} ({limit.origin or 'origin not said'})",
        )
    far = [] if finding.times is None else [f"{finding.times:g} times what is allowed"]
    if finding.to_s is not None and finding.to_s > finding.t_s:
        far.append(
            f"{shown.duration(finding.to_s - finding.t_s)}, from {clock(finding.t_s)} "
            f"to {clock(finding.to_s)}"
        )
    if far:
        yield "how far", "; ".join(far)
    where = [] if finding.bead is None else [f"bead {finding.bead}"]
    if finding.place is not None:
        where.append(f"place {finding.place + 1}")
    if where:
        yield "where", ", ".join(where)
    if finding.record is not None:
        yield "record", f"{finding.record}, to which a replay can jump: {clock(finding.t_s)}"


def _value(finding: Finding, shown: Shown) -> str:
    assert finding.limit is not None
    return filled(f"{{{finding.limit.value}}}", finding.values, shown)
