"""A lane of signs under the plot: a recording's beads, excursions and cues along the axis."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from pacer.session.cues import Cue, Urgency
from pacer.session.excursion import Kind
from pacer.session.work import Bead

CUE, BEAD, ALARM = "·", "■", "!"
_OUTSIDE: dict[Kind, str] = {"above the ceiling": "▲", "below the floor": "▼", "no reading": "?"}

LEGEND = (
    (BEAD, "bead"),
    *((sign, kind) for kind, sign in _OUTSIDE.items()),
    (ALARM, "alarm"),
    (CUE, "cue"),
)
"""Sign and meaning."""

_RANKS = {sign: rank for rank, sign in enumerate((CUE, BEAD, ALARM, *_OUTSIDE.values()))}
"""What is worse hides what it shares a cell with: one column may stand for minutes."""


class Stretch(NamedTuple):
    """A sign from one session time to another, s."""

    from_s: float
    to_s: float
    sign: str


def lane(
    beads: Iterable[Bead],
    excursions: Iterable[tuple[float, float, Kind]],
    cues: Iterable[Cue],
    end_s: float,
) -> tuple[Stretch, ...]:
    """Return the signs of a recording that ends at `end_s`, s; what is drawn last counts most.

    Excursions are (from s, to s, what of).
    """
    found = [Stretch(from_s, to_s, _OUTSIDE[kind]) for from_s, to_s, kind in excursions]
    for bead in beads:
        found.append(Stretch(bead.started_s, end_s if bead.ended_s is None else bead.ended_s, BEAD))
    for cue in cues:
        found.append(Stretch(cue.t_s, cue.t_s, CUE if cue.urgency is Urgency.STEP else ALARM))
    return tuple(sorted(found, key=lambda stretch: _RANKS[stretch.sign]))


def signs(lane: Iterable[Stretch], zero_s: float, from_s: float, to_s: float, columns: int) -> str:
    """Return a row of signs for the stretch of the common axis from `from_s` to `to_s`."""
    row = [" "] * columns
    scale = (columns - 1) / max(to_s - from_s, 1.0)
    for stretch in lane:
        first = round((stretch.from_s - zero_s - from_s) * scale)
        last = round((stretch.to_s - zero_s - from_s) * scale)
        for column in range(max(0, first), min(columns - 1, last) + 1):
            row[column] = stretch.sign
    return "".join(row)
