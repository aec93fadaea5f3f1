"""`Measured`: goes along while a recording is folded, and keeps what no table of it has.

How long soak and post-heat counted, when and how hot the part was covered and first uncovered,
how fast it cooled. Nothing grows with the recording.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from pacer.heat.bins import Bins
from pacer.review.rules.rule import Step
from pacer.session.state import Cooling, State
from pacer.session.track import believed
from pacer.session.work import Phase

_COUNTED = (Phase.SOAK, Phase.POST_HEAT)
_OVER = (Phase.COOL_DOWN, Phase.DONE)

_AT_ONCE_S = 60.0
"""Read so soon after covering, it is how hot the part was covered."""


@dataclass(slots=True)
class CoolDown:
    """One cool-down, from its cover on; None: it never came to that."""

    covered_at_s: float | None = None
    covered_c: float | None = None
    covered_s: float | None = None
    "Until it was first uncovered."
    uncovered_c: float | None = None
    fastest_c_h: float | None = None
    """Greatest 30-minute mean fall, K/h, its first quarter of an hour left out, in which heat
    evens out in the part; in the open air too, where it was uncovered early. By `close`."""
    _uncovered: int = 0
    _under: Cooling | None = None
    "As it was when first uncovered."
    _bare: Cooling | None = None
    "The same in the open air, as it was when covered again."

    def on(self, before: State | None, state: State, t_s: float) -> None:
        """Take a cover that was put on."""
        # Covered once more: what counts is the first time it stood bare.
        if not self._uncovered:
            self.covered_at_s, self.covered_c = t_s, _temp_c(state, t_s)
        elif self._bare is None and before is not None:
            self._bare = before.cooling

    def off(self, before: State, state: State, t_s: float) -> None:
        """Take a cover that was taken off."""
        self._uncovered += 1
        if self._uncovered == 1 and self.covered_at_s is not None:
            self.covered_s = max(0.0, t_s - self.covered_at_s)
            self.uncovered_c = _temp_c(state, t_s)
            self._under = before.cooling

    def undone(self, *, covered: bool) -> None:
        """Take the last press as none: it is still under its cover, or has not been covered yet."""
        if not covered:
            self.covered_at_s = self.covered_c = None
        elif self._uncovered:
            self._uncovered -= 1
            if not self._uncovered:
                self.covered_s = self.uncovered_c = self._under = self._bare = None

    def close(self, last: State) -> None:
        """Take in what the last state holds."""
        if self.covered_at_s is None:
            return
        if not self._uncovered:
            self._under = last.cooling
        elif self._bare is None:
            self._bare = last.cooling
        if self._under is None:
            return
        first = self._under.bins[:1]
        if self.covered_c is None and first and first[0][0] <= _AT_ONCE_S:
            self.covered_c = first[0][1]
        self.fastest_c_h = _fastest_c_h(_runs(self._under, self._bare))


class Measured:
    """Times and temperatures of one session; None: it never came to that."""

    def __init__(self) -> None:
        self.soak_s: float | None = None
        "Of the last soak before the first bead."
        self.hold_s: float | None = None
        "Of the last post-heat."
        self.cool = CoolDown()
        "The last; one that the repair went on after, such as a night's, is none of it."
        self._went_on_after = CoolDown()
        "Taken up again where going on is undone."
        self._before: State | None = None

    def see(self, step: Step) -> None:
        """Look for what has changed with this event; quick where nothing has."""
        before, state = self._before, step.state
        self._before = state
        if before is None:
            # An import begins in its cool-down.
            if _under_cover(state):
                self.cool.on(None, state, step.t_s)
            return
        if state.work is before.work:
            return
        if before.phase in _COUNTED and state.phase is not before.phase:
            self._counted(before, state)
        undone = state.undone > before.undone
        was_over, over = before.phase in _OVER, state.phase in _OVER
        if was_over and not over and not undone:
            self.cool, self._went_on_after = CoolDown(), self.cool
        elif over and not was_over and undone:
            self.cool = self._went_on_after
        else:
            self._cover(before, state, step.t_s, undone=undone)

    def _cover(self, before: State, state: State, t_s: float, *, undone: bool) -> None:
        was, now = _under_cover(before), _under_cover(state)
        if was == now:
            return
        if undone:
            self.cool.undone(covered=now)
        elif now:
            self.cool.on(before, state, t_s)
        else:
            self.cool.off(before, state, t_s)

    def _counted(self, before: State, state: State) -> None:
        since_s = before.work.since_s
        held_s = 0.0 if since_s is None else max(0.0, state.work.entered_s - since_s)
        if before.phase is Phase.POST_HEAT:
            self.hold_s = held_s
        elif not state.work.beads:
            self.soak_s = held_s

    def close(self) -> None:
        """Take in what the last state holds."""
        if self._before is not None:
            self.cool.close(self._before)


def _temp_c(state: State, t_s: float) -> float | None:
    """Return what is believed, °C; a crayon's one side is no temperature."""
    now = believed(state, t_s)
    return None if now is None or now.side else now.temp_c


def _under_cover(state: State) -> bool:
    """True while it cools in what the job covers it with; an early uncovering makes it still air."""
    return state.phase is Phase.COOL_DOWN and state.work.cover == state.job.cooldown.cover


def _runs(under: Cooling, bare: Cooling | None) -> list[Bins]:
    """Return the bins of a cool-down, s since it was covered, parted at gaps of the record.

    A mean over a gap would be one over a time that nobody measured.
    """
    runs = _parted(under)
    if bare is None or bare.start_s == under.start_s:
        return runs
    shift_s = bare.start_s - under.start_s
    open_air = [
        tuple((t_s + shift_s, temp_c, n) for t_s, temp_c, n in run) for run in _parted(bare)
    ]
    if not bare.untimed:
        runs[-1] += open_air.pop(0)
    return [*runs, *open_air]


def _parted(cooling: Cooling) -> list[Bins]:
    if cooling.gap is None:
        return [cooling.bins]
    from_s = cooling.gap.from_s
    before = tuple(row for row in cooling.bins if row[0] < from_s)
    return [before, cooling.bins[len(before) :]]


def _fastest_c_h(runs: Iterable[Bins]) -> float | None:
    """Return the greatest 30-minute mean fall from `LEAST_S` on; None where too little is known."""
    # With it comes numpy, which a recording without a cool-down does without.
    from pacer.heat.cooldown.rate import LEAST_S, rate_c_h

    rates = []
    for run in runs:
        late = tuple(row for row in run if row[0] >= LEAST_S)
        rates += [rate_c_h(late[: count + 1], late[count][0]) for count in range(1, len(late))]
    return max((rate for rate in rates if rate is not None), default=None)
