"""A finished recording as tables: phases, beads, excursions, and the first findings.

First version: what was measured, told plainly. Causes belong to the later reviews.
A normal burial in any cover makes no finding.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

import msgspec

from pacer.session.cues import Cue, CueKind
from pacer.session.events import Act, AnyEvent, ClockGap
from pacer.session.finding import Finding
from pacer.session.state import State
from pacer.session.track import believed
from pacer.session.work import LAYING, Bead, Phase

Folded = Iterable[tuple[AnyEvent | None, State, tuple[Cue, ...]]]

_WELDING = LAYING | {Phase.SOAK}

_FLAME = frozenset(
    {Phase.PREHEAT, Phase.SOAK, Phase.READY, Phase.REHEAT, Phase.HOLD, Phase.POST_HEAT}
)
"""Where too hot means too much flame. Just after a bead it is the arc's heat going by, and
what counts is the temperature at the next arc (interpass, ISO 13916 clause 3.2)."""

COOLED_THROUGH_S = 60.0
"""Below the floor this long between beads is "cooled through" (procedure.md section 7 says
minutes; the figure is common practice, no source)."""

TOO_HOT_S = 10.0
"""Shorter excursions above the ceiling make no finding. Common practice, no source."""


@dataclass(slots=True)
class PhaseRow:
    """One stay in a phase."""

    phase: str
    from_s: float
    to_s: float
    least_c: float | None = None
    most_c: float | None = None

    def saw(self, temp_c: float) -> None:
        """Widen the range of temperatures."""
        self.least_c = temp_c if self.least_c is None else min(self.least_c, temp_c)
        self.most_c = temp_c if self.most_c is None else max(self.most_c, temp_c)


@dataclass(slots=True)
class Excursion:
    """A time outside a limit."""

    kind: str
    "above the ceiling, below the floor, no reading"
    from_s: float
    to_s: float
    peak_c: float | None = None


@dataclass(slots=True)
class Table:
    """Everything the review prints."""

    phases: list[PhaseRow] = field(default_factory=list)
    beads: tuple[Bead, ...] = ()
    excursions: list[Excursion] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    notes: list[tuple[float, str]] = field(default_factory=list)
    cues: int = 0
    undone: int = 0
    ended: bool = False
    phase: str = ""


def table(folded: Folded) -> Table:
    """Return the tables of a folded recording."""
    out = Table()
    state: State | None = None
    for event, state, cues in folded:
        t_s = event.t_s if event is not None else state.t_s
        _phase(out, state, t_s)
        _excursions(out, state, t_s)
        out.cues += len(cues)
        out.findings.extend(_told(cues))
        out.findings.extend(_happened(event))
        if isinstance(event, Act) and event.text:
            out.notes.append((t_s, event.text))
    if state is not None:
        out.beads, out.undone, out.ended = state.work.beads, state.undone, state.ended
        out.phase = str(state.phase)
        out.findings.extend(_of_excursions(out))
        out.findings.extend(_of_beads(out.beads, state.job.band.ceiling_c))
    out.findings.sort(key=lambda finding: finding.t_s)
    return out


def _phase(out: Table, state: State, t_s: float) -> None:
    entered_s = state.work.entered_s
    if not out.phases or out.phases[-1].phase != state.phase:
        if out.phases:
            # After an undo a phase was entered long ago, but its row begins now.
            entered_s = t_s if entered_s < out.phases[-1].from_s else entered_s
            out.phases[-1].to_s = entered_s
        out.phases.append(PhaseRow(str(state.phase), entered_s, t_s))
    row = out.phases[-1]
    row.to_s = max(row.to_s, t_s)
    now = believed(state, t_s)
    if now is not None:
        row.saw(round(now.temp_c, 1))


def _excursions(out: Table, state: State, t_s: float) -> None:
    now, band = believed(state, t_s), state.job.band
    kind = ""
    temp_c = now.temp_c if now else None
    welding = state.phase in _WELDING and bool(state.work.beads)
    if temp_c is None:
        # Before the first reading there is nothing to miss.
        kind = "no reading" if state.sensor.control and state.sensor.told_no_reading else ""
    elif state.phase in _FLAME and temp_c > band.ceiling_c:
        kind = "above the ceiling"
    elif welding and band.floor_c is not None and temp_c < band.floor_c:
        kind = "below the floor"
    last = out.excursions[-1] if out.excursions else None
    open_now = last is not None and last.to_s < 0
    if open_now and last is not None and last.kind != kind:
        last.to_s = t_s
    if kind and not (open_now and last is not None and last.kind == kind):
        out.excursions.append(Excursion(kind, t_s, -1.0, temp_c))
    elif kind and last is not None and temp_c is not None:
        worse = max if kind == "above the ceiling" else min
        last.peak_c = temp_c if last.peak_c is None else worse(last.peak_c, temp_c)


def _told(cues: Iterable[Cue]) -> Iterator[Finding]:
    for cue in cues:
        if cue.kind is CueKind.UNCOVERED_EARLY:
            yield Finding(
                name="uncovered early",
                t_s=cue.t_s,
                words=f"uncovered at {cue.values['temp_c']:g} °C at the probe, "
                f"planned not before {cue.values['until_c']:g} °C",
                values=cue.values,
            )


def _happened(event: AnyEvent | None) -> Iterator[Finding]:
    if isinstance(event, Act) and event.deed in {"crack", "tink"}:
        name = "crack reported" if event.deed == "crack" else "tink heard"
        yield Finding(name=name, t_s=event.t_s, words=event.text or name)
    if isinstance(event, ClockGap):
        gap_s = round(event.to_s - event.t_s, 3)
        yield Finding(
            name="nobody watched",
            t_s=event.t_s,
            words=f"{gap_s:.0f} s without a record: {event.why}",
            values={"gap_s": gap_s},
        )


def _of_excursions(out: Table) -> Iterator[Finding]:
    end_s = out.phases[-1].to_s if out.phases else 0.0
    for excursion in out.excursions:
        if excursion.to_s < 0:
            excursion.to_s = end_s
        lasted_s = round(excursion.to_s - excursion.from_s, 3)
        values = {"lasted_s": lasted_s}
        if excursion.peak_c is not None:
            values["peak_c"] = round(excursion.peak_c, 1)
        if excursion.kind == "below the floor" and lasted_s >= COOLED_THROUGH_S:
            yield Finding(
                name="cooled through",
                t_s=excursion.from_s,
                words=f"below the floor for {lasted_s:.0f} s between beads, "
                f"down to {excursion.peak_c:.0f} °C",
                values=values,
            )
        if excursion.kind == "above the ceiling" and lasted_s >= TOO_HOT_S:
            yield Finding(
                name="above the ceiling",
                t_s=excursion.from_s,
                words=f"above the ceiling for {lasted_s:.0f} s, up to {excursion.peak_c:.0f} °C",
                values=values,
            )


def _of_beads(beads: Iterable[Bead], ceiling_c: float) -> Iterator[Finding]:
    for bead in beads:
        if bead.start_c is not None and bead.start_c > ceiling_c:
            yield Finding(
                name="bead above the ceiling",
                t_s=bead.started_s,
                words=f"bead {bead.number} was started at {bead.start_c:.0f} °C, "
                f"above the ceiling {ceiling_c:.0f} °C",
                values={"bead": bead.number, "start_c": round(bead.start_c, 1)},
            )
        if bead.early:
            yield Finding(
                name="bead before its time",
                t_s=bead.started_s,
                words=f"bead {bead.number} was started before it was called",
                values={"bead": bead.number},
            )
        if bead.lost:
            yield Finding(
                name="arc lost",
                t_s=bead.ended_s if bead.ended_s is not None else bead.started_s,
                words=f"bead {bead.number}: the arc went out after {bead.arc_s(bead.started_s):.1f} s",
                values={"bead": bead.number, "arc_s": round(bead.arc_s(bead.started_s), 1)},
            )


def as_json(name: str, out: Table, damage: list[str]) -> dict[str, object]:
    """Return the review as `pacer review --json` prints it; keys carry their unit."""
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
        "beads": [_bead_json(bead) for bead in out.beads],
        "excursions": [
            {"kind": e.kind, "from_s": e.from_s, "to_s": e.to_s, "peak_c": e.peak_c}
            for e in out.excursions
        ],
        "findings": [msgspec.to_builtins(finding) for finding in out.findings],
        "notes": [{"t_s": t_s, "text": text} for t_s, text in out.notes],
    }


def _bead_json(bead: Bead) -> dict[str, object]:
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
