"""What the marks of a chart mean, in words below it; only of those that are on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pacer.review.report.chart import badges, lanes
from pacer.review.report.chart.plot import Window
from pacer.review.report.series import Series
from pacer.review.reviewed import Reviewed
from pacer.session.cues import Urgency
from pacer.session.work import LAYING, Bead

_ABOVE = (
    "A bead's own heat above the ceiling is not counted: what counts is the temperature at which "
    "the next one is struck. "
)


def key(reviewed: Reviewed, series: Series, seen: Window) -> str:
    """Return what the marks of a chart mean; only of those that are on it."""

    def here(from_s: float, to_s: float | None = None) -> bool:
        return from_s <= seen.to_s and (from_s if to_s is None else to_s) >= seen.from_s

    parts = ["Solid line: the temperature that decides, as the probe read it"]
    if series.doubted.between(seen.from_s, seen.to_s):
        parts.append("dotted: read, but not trusted")
    if series.beside:
        parts.append("dashed: other channels")
    if any(here(g.from_s, g.to_s) and g.kind == "no trusted reading" for g in series.gaps):
        parts.append("hatched upward: no trusted reading")
    if any(here(g.from_s, g.to_s) and g.kind == "nobody watched" for g in series.gaps):
        parts.append("hatched downward: nobody watched")
    parts.append(
        "shaded: between the limits of the phase (long dashes: the lower, solid: the upper)"
    )
    if any(here(f.t_s) for f in reviewed.findings):
        first = f", the first {badges.MOST}" if len(reviewed.findings) > badges.MOST else ""
        parts.append(f"numbers in boxes: findings{first}")
    parts += _key_to_beads([bead for bead in reviewed.table.beads if here(bead.started_s)])
    told = {cue.urgency for cue in series.warned if here(cue.t_s)}
    if Urgency.WARN in told:
        parts.append("triangle: a warning was given")
    if Urgency.FAULT in told:
        parts.append("square: the program could not see")
    if any(here(act.t_s) and act.temp_c is not None for act in reviewed.table.typed):
        parts.append(
            "circle: reading typed in (triangle up: at least, down: below; diamond: another place)"
        )
    above = _ABOVE if _above_ceiling(reviewed, series, seen) else ""
    return "; ".join(parts) + f". {above}Times count from the recording's beginning."


def _key_to_beads(beads: Sequence[Bead]) -> Iterator[str]:
    kinds = {lanes.bead_kind(bead) for bead in beads}
    if "bead-lost" in kinds:
        yield "hollow bead: the arc was lost"
    if "bead-broken" in kinds:
        yield "bead with a pale inside: its arc was off for a part of that time"
    peened = {bead.peened for bead in beads}
    if "not confirmed" in peened:
        yield "hollow peen: nobody confirmed it"
    if "left alone" in peened:
        yield "cross: bead left alone, not peened"


def _above_ceiling(reviewed: Reviewed, series: Series, seen: Window) -> bool:
    """True where the curve is seen above the ceiling while beads are laid."""
    ceiling_c = reviewed.opened.job.band.ceiling_c
    return any(
        point.temp_c > ceiling_c
        for stay in series.stays
        if stay.phase in LAYING
        for point in series.believed.between(
            max(stay.from_s, seen.from_s), min(stay.to_s, seen.to_s)
        )
    )
