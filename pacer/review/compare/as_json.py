"""A comparison as the last line of `pacer review A B --json` (guide/compare.md)."""

from __future__ import annotations

from typing import Any

import msgspec

from pacer.review.compare.compared import NO_CAUSE, Compared
from pacer.review.job_keys import apart, in_a_file
from pacer.review.json_page import finding_json
from pacer.session.work import Bead


def compared_json(compared: Compared) -> dict[str, object]:
    """Return it; lists of cells have one a recording, in the order of `recordings`."""
    figures = [msgspec.to_builtins(of) for of in compared.figures]
    jobs = [side.reviewed.opened.job for side in compared.sides]
    return {
        "recordings": [
            {
                "letter": side.letter,
                "recording": side.reviewed.name,
                "became": side.became.word,
                "aligned_s": zero_s,
            }
            for side, zero_s in zip(compared.sides, compared.zeros_s, strict=True)
        ],
        "aligned_at": compared.aligned,
        "proves": NO_CAUSE,
        "good_against_failed": compared.good_against_failed,
        "only_where_cracked": [
            {"letter": side.letter, **finding_json(finding)}
            for side, finding in compared.only_cracked
        ],
        "after_crack": compared.after_crack,
        "only_in_one": [
            {"letter": side.letter, **finding_json(finding)} for side, finding in compared.only_one
        ],
        "measured": {name: [of[name] for of in figures] for name in figures[0]},
        "job": {
            key.name: [in_a_file(key, value) for value in values] for key, values in apart(jobs)
        },
        "findings": {row.name: list(row.times) for row in compared.findings},
        "phases": {
            str(phase): [None if cell is None else msgspec.to_builtins(cell) for cell in cells]
            for phase, cells in compared.phases
        },
        "beads": [
            {"bead": row.number, "again": row.again, "of": [_bead(bead) for bead in row.beads]}
            for row in compared.beads
        ],
    }


def _bead(bead: Bead | None) -> dict[str, Any] | None:
    if bead is None:
        return None
    return {
        "start_c": None if bead.start_c is None else round(bead.start_c, 1),
        "arc_s": None if bead.ended_s is None else round(bead.arc_s(bead.started_s), 3),
        "arc_lost": bead.lost,
        "peen": bead.peened,
    }
