"""The session as one list in time order, a line each: phases, beads, warnings, deeds, findings.

The rhythm of bead, peen and look is told by its beads; the table of phases has every stay.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Literal, NamedTuple

from pacer.review.capped import Capped
from pacer.review.done import done
from pacer.review.moments import KNOWN_BY, clock, local
from pacer.review.noted import noted
from pacer.review.table import Between, PhaseRow, Table
from pacer.session.cues import EVIDENCE, Cue
from pacer.session.events import ClockGap, Recovered, Resumed
from pacer.session.filled import filled
from pacer.session.finding import Finding
from pacer.session.work import Bead, Phase
from pacer.text import clean
from pacer.units import Shown

Kind = Literal["gap", "phase", "done", "bead", "cue", "finding", "note"]

_RHYTHM = frozenset({Phase.READY, Phase.BEAD, Phase.PEEN, Phase.LOOK, Phase.WAIT})


class Moment(NamedTuple):
    """One line of the timeline."""

    t_s: float
    kind: Kind
    words: str
    to_s: float | None = None
    record: int | None = None


def timeline(out: Table, shown: Shown) -> Capped[Moment]:
    """Return the moments in time order; those of one time in the order of `Kind`."""
    moments = [
        *(_between(event) for event in out.between),
        *(_phase(row, shown) for row in out.phases if row.phase not in _RHYTHM),
        *(Moment(t_s, "done", words) for t_s, words in done(out.said)),
        *(_bead(bead, shown) for bead in out.beads),
        *(Moment(cue.t_s, "cue", _cue(cue, shown)) for cue in out.warned),
        *_findings(out.findings),
        *(Moment(t_s, "note", words) for t_s, words in noted(out, shown)),
    ]
    moments.sort(key=lambda moment: moment.t_s)
    capped: Capped[Moment] = Capped()
    capped.extend(moments)
    return capped


def between_words(event: Between) -> str:
    """Return what stands between two parts of a recording, in one line."""
    match event:
        case ClockGap(by="unknown"):
            return f"nobody watched, for how long is not known: {clean(event.why)}"
        case ClockGap():
            until = f"nobody watched until {clock(event.to_s)}{KNOWN_BY[event.by]}"
            return f"{until}: {clean(event.why)}"
        case Resumed():
            when = local(event.wall or "", event.tz) if event.wall else "at an unknown time"
            by = f" with {clean(event.app)}" if event.app else ""
            return f"taken up again {when}{by}, sensor {clean(event.source) or 'not said'}"
        case Recovered() if event.name:
            return (
                f"copied from the damaged {clean(event.name)}: {event.left_out} lines left out, "
                f"{event.missing} records missing"
            )
        case _:
            return f"{event.torn} torn bytes before this were left out"


def _between(event: Between) -> Moment:
    to_s = event.to_s if isinstance(event, ClockGap) else None
    return Moment(event.t_s, "gap", between_words(event), to_s)


def _phase(row: PhaseRow, shown: Shown) -> Moment:
    words = f"{row.phase} for {shown.duration(row.to_s - row.from_s)}"
    if row.least_c is not None and row.most_c is not None:
        words += f", {shown.temp_c(row.least_c)} to {shown.temp_c(row.most_c)}"
    return Moment(row.from_s, "phase", words, row.to_s)


def _bead(bead: Bead, shown: Shown) -> Moment:
    words = f"bead {bead.number} at place {bead.place + 1}"
    if bead.start_c is not None:
        words += f" from {shown.temp_c(bead.start_c)}"
    if bead.ended_s is not None:
        words += f", {bead.arc_s(bead.started_s):.1f} s of arc"
    words += ", arc lost" if bead.lost else ""
    words += "" if bead.counted else ", not counted"
    return Moment(bead.started_s, "bead", words, bead.ended_s)


def _cue(cue: Cue, shown: Shown) -> str:
    because = filled(cue.because, cue.values, shown) if cue.kind in EVIDENCE else cue.because
    said = filled(cue.words, cue.values, shown, because=because)
    return f"{cue.word}: {clean(said)}"


def _findings(findings: Iterable[Finding]) -> Iterator[Moment]:
    telling = (finding for finding in findings if finding.weight == "finding")
    for number, finding in enumerate(telling, start=1):
        yield Moment(
            finding.t_s, "finding", f"{number}: {finding.name}", finding.to_s, finding.record
        )
