"""The history as `pacer history --json` prints it: one object (guide/history.md lists its keys)."""

from __future__ import annotations

from pacer.review.history.against import Against, Count, Parted, Ranked
from pacer.review.history.gathered import Gathered, Row
from pacer.review.history.statistics.share import CONFIDENCE
from pacer.text import clean
from pacer.units import Shown


def as_json(folder: str, found: Gathered, compared: Against | None) -> dict[str, object]:
    """Return the whole page; None: chosen by outcome, so nothing is compared."""
    shown = Shown()
    return {
        "folder": clean(folder),
        "sessions": [_session(row, shown) for row in found.rows],
        "left_out": {
            "invented": found.invented,
            "not_meant": found.not_meant,
            "shorter_file": found.same,
            "no_recording": found.others,
            "unreadable": list(found.unreadable),
        },
        "against": None if compared is None else _against(compared),
    }


def _against(compared: Against) -> dict[str, object]:
    return {
        "sessions": _count(compared.all),
        "outcome_unknown": compared.unknown,
        "comparisons": compared.compared,
        "any_could_tell": compared.any_could_tell,
        "confidence": CONFIDENCE,
        "having": [_parted(row) for row in compared.parted],
        "numbers": [_ranked(row) for row in compared.ranked],
    }


def _session(row: Row, shown: Shown) -> dict[str, object]:
    s = row.session
    return {
        "recording": row.path,
        "session": s.sid,
        "opened": s.opened,
        "day": s.day or None,
        "title": s.title,
        "invented": s.invented or None,
        **s.groups,
        "phase": s.phase,
        "closed": s.closed,
        "sound": s.sound,
        "outcome": s.became.word,
        "outcome_by": s.became.by or None,
        "when": s.became.when,
        "where": s.became.where,
        "at": s.became.at,
        "service_s": s.service_s,
        "findings": [
            {"name": f.name, "weight": f.weight, "t_s": f.t_s, "words": clean(f.said(shown))}
            for f in s.findings
        ],
        "findings_not_kept": s.not_kept,
        "numbers": s.numbers,
    }


def _count(count: Count) -> dict[str, object]:
    low, high = count.share
    return {"cracked": count.cracked, "of": count.of, "low_share": low, "high_share": high}


def _parted(row: Parted) -> dict[str, object]:
    return {
        "name": row.name,
        "with": _count(row.having),
        "without": _count(row.lacking),
        "p": row.p,
        "p_holm": row.p_holm,
    }


def _ranked(row: Ranked) -> dict[str, object]:
    return {
        "name": row.number.name,
        "crack": {"n": row.cracked.n, "median": row.cracked.median},
        "no_crack_found": {"n": row.held.n, "median": row.held.median},
        "p": row.p,
        "exact": row.exact if row.p is not None else None,
        "p_holm": row.p_holm,
    }
