"""Plan: fewer beads than the groove needs, never turned over, a hold cut short or left out."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import msgspec

from pacer.job.groove import runs_for, section_range_m2, weld_area_m2
from pacer.job.job import Job
from pacer.job.layers import layers
from pacer.review.capped import Capped
from pacer.review.rules.rule import Step, ours, short_of, to_the_second
from pacer.session.finding import Finding
from pacer.session.state import State
from pacer.session.work import Phase, Work

HELD_SHARE = 0.9
"""A hold of this share of the planned one is as planned: who stands by presses a little before
its end. Common practice, no source."""

_COMPUTED = "computed: the groove's area over a thick bead's section"

_OVER = frozenset({Phase.BURY, Phase.COOL_DOWN, Phase.DONE})


class Plan:
    """What the record shows of the plan's beads and of its hold."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._work: Work | None = None
        self._finished: tuple[int, float] | None = None
        "Record and time, s, at which he said that no bead is to come."
        self._covered: tuple[int, float] | None = None
        "Record and time, s, at which the part went from its heat to its cover."
        self._held_s = 0.0
        "How long it had then been held."

    def see(self, step: Step) -> None:
        """Follow the end of the beads and the hold; an undo takes back what it undid."""
        work, before = step.state.work, self._work
        if work is before:
            return
        self._work = work
        if before is None:
            return
        if work.finished != before.finished:
            self._finished = (step.record, step.t_s) if work.finished else None
        if work.phase not in _OVER:
            self._covered = None
        elif before.phase not in _OVER:
            self._covered = (step.record, work.entered_s)
            self._held_s = work.entered_s - _held_since_s(before, work.entered_s)

    def found(self, state: State) -> Capped[Finding]:
        """Return where the repair departs from the plan."""
        found: Capped[Finding] = Capped()
        if state.work.beads:
            least = self._least_beads()
            found.extend(self._beads(state, least))
            found.extend(self._turning(state))
            if state.work.finished or state.work.laid >= least:
                found.extend(self._hold())
        return found

    def _least_beads(self) -> int:
        """Return how many beads fill the groove if they come out as thick as they may."""
        job = self._job
        _, thick_m2 = section_range_m2(job.filler.diameter_m, job.bead.travel_m_s)
        thick = runs_for(weld_area_m2(job.joint), thick_m2) * job.plan.places
        return min(thick, job.plan.beads)

    def _beads(self, state: State, least: int) -> Iterator[Finding]:
        """Yield too few beads; a stop, covered and not finished, may go on: a note."""
        laid, planned = state.work.laid, self._job.plan.beads
        ended = self._finished or self._covered
        if ended is None or laid >= least:
            return
        record, t_s = ended
        short, allowed = planned - laid, planned - least
        fewer = Finding(
            name="fewer beads than planned",
            t_s=t_s,
            record=record,
            words="finished after {laid_n} of {planned} beads; thick ones fill the groove "
            "with {least_n}",
            values={"laid_n": laid, "planned": planned, "least_n": least},
            limit=ours("beads that fill the groove if they are thick:", "least_n", _COMPUTED),
            times=round(short / allowed, 2) if allowed else None,
            against=("how thick the beads came out is not measured",),
        )
        if not state.work.finished:
            fewer = msgspec.structs.replace(
                fewer,
                words="covered after {laid_n} of {planned} beads; nobody said that it was finished",
                weight="note",
            )
        yield fewer

    def _turning(self, state: State) -> Iterator[Finding]:
        """Yield that a part with beads planned on both sides was never said to be turned over."""
        ended, before = self._finished or self._covered, _first_side(self._job)
        laid = state.work.laid
        if ended is None or before is None or state.turned_s is not None or not laid:
            return
        run = self._job.plan.run_of(laid)
        if run > before:
            record, t_s = ended
            yield Finding(
                name="turning over not confirmed",
                t_s=t_s,
                record=record,
                words="{laid_n} beads up to run {run}, on both sides as planned, and nobody said "
                "that the part was turned over, planned first after run {before_n}",
                values={"laid_n": laid, "run": run, "before_n": before},
                weight="note",
            )

    def _hold(self) -> Iterator[Finding]:
        """Yield a hold that was shorter than planned."""
        postheat, least_s = self._job.postheat, HELD_SHARE * self._job.postheat.hold_s
        if self._job.method == "cold" or self._covered is None or self._held_s >= least_s:
            return
        record, t_s = self._covered
        held, planned = to_the_second(self._held_s), to_the_second(postheat.hold_s)
        yield Finding(
            name="post-heat cut short",
            t_s=t_s,
            record=record,
            words=f"{f'held for {held}' if self._held_s else 'not held'} at {{temp_c}} after the "
            f"last bead, planned {planned}",
            values={
                "held_s": round(self._held_s, 1),
                "hold_s": postheat.hold_s,
                "least_share": HELD_SHARE,
                "temp_c": postheat.temperature_c,
            },
            limit=ours("a hold is long enough from this share of postheat.hold:", "least_share"),
            times=short_of(self._held_s, least_s),
        )


def _first_side(job: Job) -> int | None:
    """Return the run after which the part is first turned over; None: never planned (row R11)."""
    if job.joint.access != "both sides":
        return None
    turns = (one.last for one, after in pairwise(layers(job)) if one.side != after.side)
    return next(turns, None)


def _held_since_s(work: Work, until_s: float) -> float:
    """Return since when the part was held hot, in the phase before it was covered."""
    if work.phase is Phase.HOLD:
        return work.entered_s
    if work.phase is Phase.POST_HEAT and work.since_s is not None:
        return work.since_s
    return until_s
