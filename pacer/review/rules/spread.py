"""Channels that read far from each other, and go on doing so: while beads are laid, and covered.

It matters more than a rate (procedure.md section 9). While beads are laid the limit is what counts
as even in the soak; under the cover it is the job's own, and the first quarter of an hour is left
out: a part just heated has not evened out.
"""

from __future__ import annotations

from dataclasses import dataclass

from pacer.job.job import Job
from pacer.review.capped import Capped
from pacer.review.rules.rule import Step, multiple, of_job, ours, to_the_second
from pacer.session.band import SPREAD_SHARE
from pacer.session.cooling import FIRST_LOOK_S
from pacer.session.cues import CueKind
from pacer.session.events import ClockGap
from pacer.session.filled import as_is
from pacer.session.finding import Finding, Limit
from pacer.session.state import State, Track
from pacer.session.track import heard, trusted
from pacer.session.work import LAYING, Phase

LASTING_S = 900.0
"""So long apart before it is a finding, as long as a departure from the cover has to last
(procedure.md section 9). Common practice, no source."""

UNKNOWN_S = 60.0
"""While so little is known, as while an arc is in a reading, they are taken to be apart still.
Common practice, no source."""

_PHASES = LAYING | {Phase.COOL_DOWN}


@dataclass(slots=True)
class _Apart:
    """One time in which two channels were too far from each other."""

    covered: bool
    from_s: float
    to_s: float
    record: int
    hot: Track
    cold: Track

    @property
    def spread_dc(self) -> float:
        return _spread_dc(self.hot, self.cold)


class Spread:
    """Follows the hottest and the coldest channel."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._now: _Apart | None = None
        self._over: Capped[_Apart] = Capped()

    def see(self, step: Step) -> None:
        """Begin, widen or end a time apart; with one channel there is none."""
        state, t_s, now = step.state, step.t_s, self._now
        watched = len(state.tracks) > 1 and state.phase in _PHASES
        if now is None and not watched:
            return
        covered = state.phase is Phase.COOL_DOWN
        most_dc = self._most_dc(state, t_s) if watched else None
        if most_dc is None or isinstance(step.event, ClockGap):
            self._close()
            return
        if now is not None and now.covered is not covered:
            self._close()
        far = _farthest(state, t_s)
        if far is None:
            if self._now is not None and t_s - self._now.to_s > UNKNOWN_S:
                self._close()
        elif _spread_dc(*far) <= most_dc:
            self._close()
        elif self._now is None:
            self._now = _Apart(covered, t_s, t_s, step.record, *far)
        else:
            self._now.to_s = t_s
            if _spread_dc(*far) > self._now.spread_dc:
                self._now.hot, self._now.cold = far

    def _most_dc(self, state: State, t_s: float) -> float | None:
        """Return how far apart channels may be now, K; None: there is no limit."""
        band, cooling, cooldown = self._job.band, state.cooling, self._job.cooldown
        if state.phase is not Phase.COOL_DOWN:
            return None if band.floor_c is None else self._even_dc()
        if cooling is None or cooling.cover != cooldown.cover:
            return None
        return cooldown.max_spread_dc if t_s - cooling.start_s >= FIRST_LOOK_S else None

    def _even_dc(self) -> float:
        band = self._job.band
        assert band.floor_c is not None
        return SPREAD_SHARE * (band.ceiling_c - band.floor_c)

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
        most_dc = self._job.cooldown.max_spread_dc if apart.covered else self._even_dc()
        hot, cold = as_is(apart.hot.name), as_is(apart.cold.name)
        lasted_s = round(apart.to_s - apart.from_s, 3)
        return Finding(
            name="channels apart" if apart.covered else "channels apart while welding",
            t_s=apart.from_s,
            to_s=apart.to_s,
            record=apart.record,
            words=f"{{spread_dc}} between {hot} at {{hottest_c}} and {cold} at {{coldest_c}} "
            f"{'under the cover' if apart.covered else 'while beads were laid'}, more than "
            f"{{most_dc}} for {to_the_second(lasted_s)}",
            values={
                "spread_dc": round(apart.spread_dc, 1),
                "most_dc": most_dc,
                "hottest_c": round(_value_c(apart.hot), 1),
                "coldest_c": round(_value_c(apart.cold), 1),
                "lasted_s": lasted_s,
            },
            limit=self._limit(apart.covered),
            times=multiple(apart.spread_dc, most_dc),
            against=("a channel that isn't on the part reads apart from it, too",),
        )

    def _limit(self, covered: bool) -> Limit:
        if covered:
            return of_job(self._job, "cooldown.max_spread", "most_dc")
        origin = "half of floor to ceiling: common practice, no source"
        return ours("places are even within", "most_dc", origin)


def _farthest(state: State, t_s: float) -> tuple[Track, Track] | None:
    """Return the hottest and the coldest channel that are known; None for fewer than two."""
    known = [t for t in state.tracks if t.value_c is not None and _is_known(state, t, t_s)]
    if len(known) < 2:
        return None
    return max(known, key=_value_c), min(known, key=_value_c)


def _is_known(state: State, track: Track, t_s: float) -> bool:
    """True for a trusted channel, and for one that is doubted only for being so far apart.

    A fall that nobody answered for is not known, though after a while it decides again.
    """
    if track.taken is CueKind.PROBE_OFF:
        return False
    if trusted(state, track, t_s):
        return True
    apart = track.doubt is not None and track.doubt.kind is CueKind.APART
    return apart and heard(state, track, t_s)


def _value_c(track: Track) -> float:
    assert track.value_c is not None
    return track.value_c


def _spread_dc(hot: Track, cold: Track) -> float:
    return _value_c(hot) - _value_c(cold)
