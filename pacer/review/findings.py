"""Findings of a recording: what was measured or done that deserves a look, never a verdict.

A normal burial in any cover makes no finding.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from pacer.session.cues import Cue, CueKind
from pacer.session.events import Act, AnyEvent, ClockGap, GapBy
from pacer.session.excursion import Excursion
from pacer.session.finding import Finding
from pacer.session.work import Bead

COOLED_THROUGH_S = 60.0
"""Below the floor this long between beads is "cooled through" (procedure.md section 7 says
minutes; the figure is common practice, no source)."""

TOO_HOT_S = 10.0
"""Shorter excursions above the ceiling make no finding. Common practice, no source."""

KNOWN_BY: dict[GapBy, str] = {
    "steady": "",
    "wall": ", by the wall clock",
    "said": ", by the welder's word",
    "unknown": "",
}


def of_cues(cues: Iterable[Cue]) -> Iterator[Finding]:
    """Yield what the welder was told that the record should show again."""
    for cue in cues:
        if cue.kind is CueKind.UNCOVERED_EARLY:
            yield Finding(
                name="uncovered early",
                t_s=cue.t_s,
                words=f"uncovered at {cue.values['temp_c']:g} °C at the probe, "
                f"planned not before {cue.values['until_c']:g} °C",
                values=cue.values,
            )


def of_event(event: AnyEvent | None) -> Iterator[Finding]:
    """Yield what an event tells by itself: a crack, a tink, time nobody watched."""
    if isinstance(event, Act) and event.deed in {"crack", "tink"}:
        name = "crack reported" if event.deed == "crack" else "tink heard"
        yield Finding(name=name, t_s=event.t_s, words=event.text or name)
    if isinstance(event, ClockGap):
        gap_s = round(event.to_s - event.t_s, 3)
        length = f"{gap_s:.0f} s without a record{KNOWN_BY[event.by]}"
        if event.by == "unknown":
            length = "for how long is not known"
        yield Finding(
            name="nobody watched",
            t_s=event.t_s,
            words=f"{length}: {event.why}",
            values={"gap_s": gap_s},
        )


def of_excursion(excursion: Excursion) -> Iterator[Finding]:
    """Yield a time outside a limit that was long enough to matter."""
    lasted_s = round(excursion.to_s - excursion.from_s, 3)
    values = {"lasted_s": lasted_s}
    if excursion.peak_c is None:
        return
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


def of_beads(beads: Iterable[Bead], ceiling_c: float) -> Iterator[Finding]:
    """Yield what the beads' starts and ends show."""
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
            arc_s = bead.arc_s(bead.started_s)
            yield Finding(
                name="arc lost",
                t_s=bead.ended_s if bead.ended_s is not None else bead.started_s,
                words=f"bead {bead.number}: the arc went out after {arc_s:.1f} s",
                values={"bead": bead.number, "arc_s": round(arc_s, 1)},
            )
