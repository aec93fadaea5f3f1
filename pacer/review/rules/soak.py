"""Before the first bead: a soak left too soon, places that were not yet even.

A soak counts once beads were struck after it and before the next one: one that was cut short
and made again before the arc makes no finding.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import zip_longest

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.rule import Step, multiple, of_job, ours, short_of, to_the_second
from pacer.session.band import SPREAD_SHARE
from pacer.session.cues import CueKind
from pacer.session.finding import Finding
from pacer.session.state import State
from pacer.session.track import TYPED_FRESH_SLOW_S, trusted
from pacer.session.work import Bead, Phase

_HEATED = frozenset({Phase.PREHEAT, Phase.SOAK})

_EVEN = "the {places_n} places known at the first arc were within {spread_dc} of each other"


@dataclass(slots=True)
class _Heating:
    """One preheat with its soak, up to the beads after it."""

    entered_s: float
    since_s: float | None = None
    "When the soak's count began, while it counts."
    left_s: float | None = None
    record: int = 0
    "Of the event that left it."
    held_s: float = 0.0
    beads: int = 0
    "How many were struck before it was left."
    points_c: tuple[float, ...] = ()
    "Every place known as the first arc after it was struck."
    arc_record: int = 0


class Soak:
    """Follows preheats and soaks; what the beads after them say is in the last state."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._heatings: Capped[_Heating] = Capped()
        self._now: _Heating | None = None
        self._last: State | None = None

    def see(self, step: Step) -> None:
        """Follow the count, and take the places at the first arc."""
        state, last, now = step.state, self._last, self._now
        if state.phase in _HEATED:
            self._heats(state, step.t_s)
        elif now is not None and last is not None:
            if last.phase in _HEATED:
                _leave(now, last, step)
            if state.phase is Phase.BEAD and last.phase is not Phase.BEAD:
                _take_places(now, last, step)
        self._last = state

    def _heats(self, state: State, t_s: float) -> None:
        now, entered_s = self._now, state.work.entered_s
        # An undo leads back into a phase that was entered before it was left.
        same = now is not None and (now.left_s is None or entered_s < now.left_s)
        if now is None or not same:
            now = self._now = _Heating(entered_s)
            self._heatings.add(now)
        now.left_s = None
        now.since_s = state.work.since_s if state.phase is Phase.SOAK else None

    def found(self, state: State) -> Capped[Finding]:
        """Return what each soak shows that beads came after."""
        found: Capped[Finding] = Capped()
        rows = list(self._heatings)
        for row, after in zip_longest(rows, rows[1:]):
            first = _first_bead(state, row, after)
            if first is not None:
                found.extend(self._of(row, first))
        return found

    def _of(self, row: _Heating, first: Bead) -> Iterator[Finding]:
        soak_s, floor_c = self._job.band.soak_s, self._job.band.floor_c
        places, even = {}, False
        if floor_c is not None and len(row.points_c) > 1:
            even_dc = SPREAD_SHARE * (self._job.band.ceiling_c - floor_c)
            least_c, most_c = min(row.points_c), max(row.points_c)
            even = most_c - least_c <= even_dc
            places = {
                "spread_dc": round(most_c - least_c, 1),
                "even_dc": even_dc,
                "least_c": round(least_c, 1),
                "most_c": round(most_c, 1),
                "places_n": len(row.points_c),
            }
        if row.held_s < soak_s:
            yield Finding(
                name="soak cut short",
                t_s=row.left_s if row.left_s is not None else first.started_s,
                record=row.record,
                words=f"the soak was left after {to_the_second(row.held_s)} of "
                f"{to_the_second(soak_s)}; then came bead {{bead}}",
                values={
                    **(places if even else {}),
                    "held_s": row.held_s,
                    "soak_s": soak_s,
                    "bead": first.number,
                },
                limit=of_job(self._job, "band.soak", "soak_s"),
                times=short_of(row.held_s, soak_s),
                against=(_EVEN,) if even else (),
            )
        if places and not even:
            yield Finding(
                name="uneven at the first bead",
                t_s=first.started_s,
                record=row.arc_record,
                words="bead {bead} was struck with {spread_dc} between {places_n} places, "
                "{least_c} to {most_c}; even is within {even_dc}",
                values={"bead": first.number, **places},
                limit=ours(
                    "places are even within",
                    "even_dc",
                    "half of floor to ceiling: common practice, no source",
                ),
                times=multiple(places["spread_dc"], places["even_dc"]),
            )


def _leave(now: _Heating, last: State, step: Step) -> None:
    """Put down when the heating was left, and how much of the soak was counted by then."""
    # A timer left it before this event came; a press leaves it at the event.
    entered_s = step.state.work.entered_s
    now.left_s = entered_s if last.t_s <= entered_s <= step.t_s else step.t_s
    now.record, now.beads = step.record, len(last.work.beads)
    # Timers alone may have brought the soak and its end since the last event.
    begun = [cue.t_s for cue in step.cues if cue.kind is CueKind.SOAK]
    since_s = begun[-1] if begun else now.since_s
    now.held_s = 0.0 if since_s is None else round(max(0.0, now.left_s - since_s), 3)


def _take_places(now: _Heating, last: State, step: Step) -> None:
    """Keep what was known of every place just before the first arc after the soak."""
    if len(step.state.work.beads) != now.beads + 1:
        return
    t_s = step.state.work.beads[-1].started_s
    points = [t.value_c for t in last.tracks if trusted(last, t, t_s) and t.value_c is not None]
    for place in last.places:
        if place.at_s >= now.entered_s and t_s - place.at_s < TYPED_FRESH_SLOW_S:
            points.append(place.temp_c)
    now.points_c, now.arc_record = tuple(points), step.record


def _first_bead(state: State, row: _Heating, after: _Heating | None) -> Bead | None:
    """Return the first bead that stands after a soak and before the next, or None."""
    until_s = float("inf") if after is None else after.entered_s
    if row.left_s is None:
        return None
    beads = state.work.beads[row.beads : row.beads + 1]
    return beads[0] if beads and beads[0].started_s < until_s else None
