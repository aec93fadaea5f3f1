"""Times outside the band: too hot in the flame, cooled through between beads, a reheat missed.

One stay below the floor is told once. Where the part was heated again, or no bead came, it is
"cooled through"; where REHEAT stood and a bead was struck in the cold part all the same, it is
"reheat missed".
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.rule import Step, meant_c, multiple, ours, to_the_second
from pacer.session.band import OFF_S
from pacer.session.excursion import Kind, outside
from pacer.session.finding import Finding, Limit
from pacer.session.state import State
from pacer.session.track import Believed, believed
from pacer.session.work import Bead, Phase

COOLED_THROUGH_S = 120.0
"""Below the floor this long between beads, and by more than the dead-band, is "cooled through"
(procedure.md section 7 says minutes; the figure is common practice, no source)."""

TOO_HOT_S = 60.0
"""Above the ceiling so long, and by more than the dead-band, is a finding: what a flame taken away
leaves behind is over sooner. Common practice, no source."""

NOTED_S = 10.0
"Shorter excursions above the ceiling aren't even a note. Common practice, no source."

ROSE_DC = 5.0
"""Above the coldest of its stay below the floor by so much, a part is being heated again: more
than noise and than what evens out (our choice, no source)."""

ARC_HEAT_S = 60.0
"""So long after an arc its heat may still be coming to the probe: at 30 mm it is hottest after
some 20 s (r^2 / 4 alpha with 1.3e-5 m2/s for grey iron, calculated). Too hot from then on is the
arc's doing, and interpass is judged at the next arc (ISO 13916 clause 3.2)."""


@dataclass(slots=True)
class _Stay:
    """One time outside a limit, from the first reading that says so to the last."""

    kind: Kind
    from_s: float
    to_s: float
    record: int
    worst_c: float
    until_s: float
    "When its last reading is too old to say anything."
    by_arc: bool = False
    "Above the ceiling: it was the heat of a bead, not the flame."
    called: bool = False
    "Below the floor: REHEAT stood."
    strike: int | None = None
    "Below the floor for too long and not heated, this bead was struck: its index."

    @property
    def lasted_s(self) -> float:
        return round(self.to_s - self.from_s, 3)


class Limits:
    """Follows the stays outside the band; one that was long enough is a finding."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._now: _Stay | None = None
        self._over: Capped[_Stay] = Capped()
        self._beads = 0
        self._last: tuple[Kind | None, float | None] = (None, None)
        "The limit that was broken at the last event, and what was believed then."

    def see(self, step: Step) -> None:
        """Begin, widen or end a stay outside."""
        state, t_s = step.state, step.t_s
        kind, temp_c = outside(state, t_s)
        beads = len(state.work.beads)
        if self._now is not None:
            if beads > self._beads:
                _struck(self._now, state)
            if _is_over(self._now, kind, t_s):
                self._over.add(self._now)
                self._now = None
        if kind == "above the ceiling" or kind == "below the floor":
            now = believed(state, t_s)
            assert now is not None
            if self._now is None:
                self._now = self._begun(step, kind, now)
            else:
                _widened(self._now, state, now)
        self._beads, self._last = beads, (kind, temp_c)

    def _begun(self, step: Step, kind: Kind, now: Believed) -> _Stay:
        phase = step.state.phase
        stay = _Stay(kind, step.t_s, step.t_s, step.record, now.temp_c, now.until_s)
        stay.called = phase is Phase.REHEAT
        if kind == "above the ceiling" and phase is not Phase.REHEAT:
            last, last_c = self._last
            was_over = last is None and last_c is not None and last_c > self._job.band.ceiling_c
            stay.by_arc = was_over or _arc_heat(step.state, step.t_s)
        return stay

    def found(self, state: State) -> Capped[Finding]:
        """Return those that mattered, the running one among them."""
        found: Capped[Finding] = Capped()
        found.more = self._over.more
        for stay in (*self._over, *([self._now] if self._now is not None else [])):
            found.extend(self._of(stay, state))
        return found

    def _of(self, stay: _Stay, state: State) -> Iterator[Finding]:
        if stay.kind == "above the ceiling":
            if stay.lasted_s > NOTED_S and not stay.by_arc:
                yield self._too_hot(stay)
        elif stay.worst_c < self._least_c():
            if (bead := _bead_of(stay, state)) is not None:
                yield self._missed(stay, bead)
            elif stay.lasted_s > COOLED_THROUGH_S:
                yield self._cooled(stay)

    def _least_c(self) -> float:
        """Return the floor less the dead-band, °C."""
        band = self._job.band
        assert band.floor_c is not None
        return band.floor_c - band.deadband_dc

    def _too_hot(self, stay: _Stay) -> Finding:
        """Return a time too hot; a note where a flame taken away explains it."""
        band, middle_c = self._job.band, meant_c(self._job)
        most_c = band.ceiling_c + band.deadband_dc
        mattered = stay.lasted_s > TOO_HOT_S and stay.worst_c > most_c
        return Finding(
            name="above the ceiling",
            t_s=stay.from_s,
            to_s=stay.to_s,
            record=stay.record,
            words=f"above the ceiling {{ceiling_c}} for {to_the_second(stay.lasted_s)}, up to "
            "{peak_c}",
            values={
                "lasted_s": stay.lasted_s,
                "allowed_s": TOO_HOT_S,
                "peak_c": round(stay.worst_c, 1),
                "ceiling_c": band.ceiling_c,
                "most_c": most_c,
            },
            weight="finding" if mattered else "note",
            limit=self._limit("band.ceiling", "plus", "most_c", TOO_HOT_S),
            times=multiple(stay.worst_c - middle_c, most_c - middle_c) if mattered else None,
        )

    def _cooled(self, stay: _Stay) -> Finding:
        return Finding(
            name="cooled through",
            t_s=stay.from_s,
            to_s=stay.to_s,
            record=stay.record,
            words=f"below the floor {{floor_c}} for {to_the_second(stay.lasted_s)} between beads, "
            "down to {coldest_c}",
            values=self._below(stay, stay.lasted_s),
            limit=self._limit("band.floor", "less", "least_c", COOLED_THROUGH_S),
            times=self._times_cold(stay),
        )

    def _missed(self, stay: _Stay, bead: Bead) -> Finding:
        below_s = round(bead.started_s - stay.from_s, 3)
        return Finding(
            name="reheat missed",
            t_s=stay.from_s,
            to_s=bead.started_s,
            record=stay.record,
            words="REHEAT stood and nothing was heated: below the floor {floor_c} for "
            f"{to_the_second(below_s)}, down to {{coldest_c}}, and bead {{bead}} was struck all the "
            "same",
            values={**self._below(stay, below_s), "bead": bead.number},
            limit=self._limit("band.floor", "less", "least_c", COOLED_THROUGH_S),
            times=self._times_cold(stay),
            bead=bead.number,
            place=bead.place,
        )

    def _below(self, stay: _Stay, lasted_s: float) -> dict[str, float]:
        assert self._job.band.floor_c is not None
        return {
            "lasted_s": lasted_s,
            "allowed_s": COOLED_THROUGH_S,
            "coldest_c": round(stay.worst_c, 1),
            "floor_c": self._job.band.floor_c,
            "least_c": self._least_c(),
        }

    def _times_cold(self, stay: _Stay) -> float | None:
        middle_c = meant_c(self._job)
        return multiple(middle_c - stay.worst_c, middle_c - self._least_c())

    def _limit(self, key: str, how: str, value: str, longer_s: float) -> Limit:
        origin = self._job.origin.get(key, "")
        return ours(
            f"{key} {how} the dead-band is",
            value,
            f"{key} {origin}; past it for {longer_s:.0f} s: common practice, no source",
        )


def _is_over(stay: _Stay, kind: Kind | None, t_s: float) -> bool:
    """True once it is back within for long enough, or nothing was known for a while."""
    if kind == stay.kind:
        return t_s - stay.until_s >= OFF_S
    return t_s - stay.to_s >= OFF_S or kind in {"above the ceiling", "below the floor"}


def _widened(stay: _Stay, state: State, now: Believed) -> None:
    # A typed reading says how it was when it was taken, not until now.
    stay.to_s, stay.until_s = max(stay.to_s, now.at_s), now.until_s
    worse = max if stay.kind == "above the ceiling" else min
    stay.worst_c = worse(stay.worst_c, now.temp_c)
    stay.called = stay.called or state.phase is Phase.REHEAT


def _struck(stay: _Stay, state: State) -> None:
    """Keep the first bead that is struck in a part too long below the floor and not heated."""
    bead = state.work.beads[-1]
    if stay.kind != "below the floor" or not stay.called or stay.strike is not None:
        return
    cold = bead.start_c is not None and bead.start_c < stay.worst_c + ROSE_DC
    if cold and bead.started_s - stay.from_s > COOLED_THROUGH_S:
        stay.strike = len(state.work.beads) - 1


def _bead_of(stay: _Stay, state: State) -> Bead | None:
    """Return the bead a stay below the floor ended with; None too where it was undone."""
    beads = state.work.beads
    if stay.strike is None or stay.strike >= len(beads):
        return None
    bead = beads[stay.strike]
    within = stay.from_s + COOLED_THROUGH_S < bead.started_s <= stay.until_s
    return bead if bead.counted and within else None


def _arc_heat(state: State, t_s: float) -> bool:
    last = state.work.bead
    ended_s = None if last is None else last.ended_s
    return ended_s is not None and t_s - ended_s < ARC_HEAT_S
