"""Channels under the cover that read far from each other, and go on doing so.

It matters more than a rate (procedure.md section 9). The first quarter of an hour is left out: a
part just heated has not evened out.
"""

from __future__ import annotations

from dataclasses import dataclass

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.rule import Step, of_job
from pacer.session.cooling import FIRST_LOOK_S
from pacer.session.events import ClockGap
from pacer.session.filled import as_is
from pacer.session.finding import Finding
from pacer.session.state import State, Track
from pacer.session.track import trusted
from pacer.session.work import Phase

LASTING_S = 900.0
"""So long apart before it is a finding, as long as a departure from the cover has to last
(procedure.md section 9). Common practice, no source."""


@dataclass(slots=True)
class _Apart:
    """One time in which two channels were too far from each other."""

    from_s: float
    to_s: float
    record: int
    hot: Track
    cold: Track

    @property
    def spread_dc(self) -> float:
        return _spread_dc(self.hot, self.cold)


class Spread:
    """Follows the hottest and the coldest channel under the cover."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._now: _Apart | None = None
        self._over: Capped[_Apart] = Capped()

    def see(self, step: Step) -> None:
        """Begin, widen or end a time apart; with one channel there is none."""
        state = step.state
        if self._now is None and (len(state.tracks) < 2 or state.phase is not Phase.COOL_DOWN):
            return
        far = None if isinstance(step.event, ClockGap) else self._far(state, step.t_s)
        if far is None:
            self._close()
        elif self._now is None:
            self._now = _Apart(step.t_s, step.t_s, step.record, *far)
        else:
            self._now.to_s = step.t_s
            if _spread_dc(*far) > self._now.spread_dc:
                self._now.hot, self._now.cold = far

    def _far(self, state: State, t_s: float) -> tuple[Track, Track] | None:
        """Return the hottest and the coldest trusted channel where they are too far apart."""
        cooling, cooldown = state.cooling, self._job.cooldown
        if state.phase is not Phase.COOL_DOWN or cooling is None or cooling.cover != cooldown.cover:
            return None
        if t_s - cooling.start_s < FIRST_LOOK_S:
            return None
        known = [t for t in state.tracks if t.value_c is not None and trusted(state, t, t_s)]
        if len(known) < 2:
            return None
        hot, cold = max(known, key=_value_c), min(known, key=_value_c)
        return (hot, cold) if _spread_dc(hot, cold) > cooldown.max_spread_dc else None

    def _close(self) -> None:
        if self._now is not None and self._now.to_s - self._now.from_s >= LASTING_S:
            self._over.add(self._now)
        self._now = None

    def found(self, state: State) -> Capped[Finding]:
        """Return those that lasted, the running one among them."""
        self._close()
        found: Capped[Finding] = Capped()
        found.more = self._over.more
        found.extend(self._of(apart) for apart in self._over)
        return found

    def _of(self, apart: _Apart) -> Finding:
        most_dc = self._job.cooldown.max_spread_dc
        hot, cold = as_is(apart.hot.name), as_is(apart.cold.name)
        return Finding(
            name="channels apart",
            t_s=apart.from_s,
            to_s=apart.to_s,
            record=apart.record,
            words=f"{{spread_dc}} between {hot} at {{hottest_c}} and {cold} at {{coldest_c}} under "
            "the cover, more than {max_spread_dc} for {lasted_s}",
            values={
                "spread_dc": round(apart.spread_dc, 1),
                "max_spread_dc": most_dc,
                "hottest_c": round(_value_c(apart.hot), 1),
                "coldest_c": round(_value_c(apart.cold), 1),
                "lasted_s": round(apart.to_s - apart.from_s, 3),
            },
            limit=of_job(self._job, "cooldown.max_spread", "max_spread_dc"),
            times=round(apart.spread_dc / most_dc, 2),
            against=("a channel that isn't on the part reads apart from it, too",),
        )


def _value_c(track: Track) -> float:
    assert track.value_c is not None
    return track.value_c


def _spread_dc(hot: Track, cold: Track) -> float:
    return _value_c(hot) - _value_c(cold)
