"""The review as `pacer review --json` prints it; keys carry their unit (guide/outcome.md)."""

from __future__ import annotations

from collections import Counter

from pacer.review.became import became
from pacer.review.inspections import inspection_json
from pacer.review.outcomes import outcome_json
from pacer.review.table import Table
from pacer.review.timeline import Moment, timeline
from pacer.session.events import Act, ClockGap, Opened, Recovered, Resumed
from pacer.session.finding import Finding
from pacer.session.work import Bead
from pacer.text import clean
from pacer.trade.rows import row
from pacer.units import Shown


def as_json(name: str, opened: Opened, out: Table, damage: list[str]) -> dict[str, object]:
    """Return the whole page of a recording."""
    moments = timeline(out, Shown())
    return {
        "recording": name,
        "phase": out.phase,
        "closed": out.ended,
        "damage": damage,
        "cues": out.cues,
        "undone_presses": out.undone,
        "phases": [
            {
                "phase": row.phase,
                "from_s": row.from_s,
                "to_s": row.to_s,
                "least_c": row.least_c,
                "most_c": row.most_c,
            }
            for row in out.phases
        ],
        "beads": [_bead(bead) for bead in out.beads],
        "excursions": [
            {"kind": e.kind, "from_s": e.from_s, "to_s": e.to_s, "peak_c": e.peak_c}
            for e in out.excursions
        ],
        "findings": [finding_json(finding) for finding in out.findings],
        "notes": [{"t_s": t_s, "text": text} for t_s, text in out.notes],
        "opened": {
            "title": clean(opened.job.title),
            "app": clean(opened.app),
            "wall": opened.wall,
            "tz": opened.tz,
            "invented": clean(opened.invented),
        },
        "facts": {clean(key, 60): clean(text) for key, text in opened.job.facts.items()},
        "typed_readings": [_typed(act) for act in out.typed],
        "said": [{"t_s": act.t_s, "deed": act.deed, "by": act.by} for act in out.said],
        "peens": dict(Counter(bead.peened for bead in out.beads if bead.counted)),
        "gaps": [_gap(gap) for gap in out.between if isinstance(gap, ClockGap)],
        "resumed": [_resumed(e) for e in out.between if isinstance(e, Resumed)],
        "recovered": [_recovered(e) for e in out.between if isinstance(e, Recovered)],
        "became": became(out.outcomes, out.inspections, out.findings).word,
        "outcomes": [outcome_json(outcome) for outcome in out.outcomes],
        "inspections": [inspection_json(look) for look in out.inspections],
        "prepared": [_prepared(act) for act in out.prepared],
        "timeline": [_moment(moment) for moment in moments],
        "not_shown": {
            **out.not_shown(),
            **({"timeline": moments.more} if moments.more else {}),
        },
    }


def finding_json(finding: Finding) -> dict[str, object]:
    """Return a finding with its words filled in, in metric units."""
    usually = row("findings", finding.name)
    limit = finding.limit
    return {
        "name": finding.name,
        "t_s": finding.t_s,
        "to_s": finding.to_s,
        "record": finding.record,
        "weight": finding.weight,
        "bead": finding.bead,
        "beads": list(finding.beads),
        "place": None if finding.place is None else finding.place + 1,
        "words": clean(finding.said(Shown())),
        "values": finding.values,
        "limit": None
        if limit is None
        else {"name": limit.name, "value": limit.value, "origin": clean(limit.origin)},
        "times": finding.times,
        "leads_to": {
            "about": usually.about,
            "source": usually.source,
            "status": usually.status,
            "confidence": usually.confidence,
        },
        "against": [clean(text) for text in finding.said_against(Shown())],
    }


def _moment(moment: Moment) -> dict[str, object]:
    return {
        "t_s": moment.t_s,
        "to_s": moment.to_s,
        "kind": moment.kind,
        "words": moment.words,
        "record": moment.record,
    }


def _bead(bead: Bead) -> dict[str, object]:
    arc_s = None if bead.ended_s is None else round(bead.arc_s(bead.started_s), 3)
    return {
        "bead": bead.number,
        "place": bead.place + 1,
        "from_s": bead.started_s,
        "to_s": bead.ended_s,
        "arc_s": arc_s,
        "length_m": None if bead.length_m is None else round(bead.length_m, 5),
        "start_c": None if bead.start_c is None else round(bead.start_c, 1),
        "counted": bead.counted,
        "arc_lost": bead.lost,
        "before_its_time": bead.early,
        "start_known_by": bead.started_by,
        "end_known_by": bead.ended_by,
        "peen": bead.peened,
    }


def _typed(act: Act) -> dict[str, object]:
    return {
        "t_s": act.t_s,
        "temp_c": act.temp_c,
        "side": act.side,
        "place": act.text or None,
    }


def _prepared(act: Act) -> dict[str, object]:
    return {"t_s": act.t_s, "by": act.by, "not_confirmed": clean(act.text or "") or None}


def _gap(gap: ClockGap) -> dict[str, object]:
    return {"from_s": gap.t_s, "to_s": gap.to_s, "known_by": gap.by, "why": clean(gap.why)}


def _resumed(event: Resumed) -> dict[str, object]:
    return {
        "t_s": event.t_s,
        "wall": event.wall,
        "tz": event.tz or None,
        "app": clean(event.app) or None,
        "source": clean(event.source),
    }


def _recovered(event: Recovered) -> dict[str, object]:
    return {
        "t_s": event.t_s,
        "torn_bytes": event.torn,
        "copy_of": clean(event.name) or None,
        "copy_of_sha256": event.sha or None,
        "lines_left_out": event.left_out,
        "records_missing": event.missing,
        "records_repeated": event.repeated,
        "wall": event.wall,
    }
