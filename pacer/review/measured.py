"""`Measured`: goes along while a recording is folded, and keeps what no table of it has.

How long soak and post-heat counted, when and how hot the part was covered and first uncovered,
how fast it cooled. Nothing grows with the recording.
"""

from __future__ import annotations

from collections.abc import Iterable

from pacer.heat.bins import Bins
from pacer.review.rules.rule import Step
from pacer.session.state import Cooling, State
from pacer.session.track import believed
from pacer.session.work import Phase

_COUNTED = (Phase.SOAK, Phase.POST_HEAT)

_AT_ONCE_S = 60.0
"""Read so soon after covering, it is how hot the part was covered."""


class Measured:
    """Times and temperatures of one session; None: it never came to that."""

    def __init__(self) -> None:
        self.soak_s: float | None = None
        "Of the last soak before the first bead."
        self.hold_s: float | None = None
        "Of the last post-heat."
        self.covered_at_s: float | None = None
        self.covered_c: float | None = None
        self.covered_s: float | None = None
        "Until it was first uncovered."
        self.uncovered_c: float | None = None
        self.cooling_c_h: float | None = None
        """Greatest 30-minute mean fall, K/h, its first quarter of an hour left out, in which heat
        evens out in the part; in the open air too, where it was uncovered early. By `close`."""
        self._before: State | None = None
        self._uncovered = 0
        self._under: Cooling | None = None
        "The cool-down as it was when first uncovered."
        self._bare: Cooling | None = None
        "The same in the open air, as it was when covered again."

    def see(self, step: Step) -> None:
        """Look for what has changed with this event; quick where nothing has."""
        before, state = self._before, step.state
        self._before = state
        if before is None:
            # An import begins in its cool-down.
            if _under_cover(state):
                self._on(None, state, step.t_s)
            return
        if state.work is before.work:
            return
        if before.phase in _COUNTED and state.phase is not before.phase:
            self._counted(before, state)
        was, now = _under_cover(before), _under_cover(state)
        if was == now:
            return
        if state.undone > before.undone:
            self._undone(now=now)
        elif now:
            self._on(before, state, step.t_s)
        else:
            self._off(before, state, step.t_s)

    def _counted(self, before: State, state: State) -> None:
        since_s = before.work.since_s
        held_s = 0.0 if since_s is None else max(0.0, state.work.entered_s - since_s)
        if before.phase is Phase.POST_HEAT:
            self.hold_s = held_s
        elif not state.work.beads:
            self.soak_s = held_s

    def _undone(self, *, now: bool) -> None:
        """The last press was none: it is still under its cover, or has not been covered yet."""
        if not now:
            self.covered_at_s = self.covered_c = None
        elif self._uncovered:
            self._uncovered -= 1
            if not self._uncovered:
                self.covered_s = self.uncovered_c = self._under = self._bare = None

    def _on(self, before: State | None, state: State, t_s: float) -> None:
        # Covered once more: what counts is the first time it stood bare.
        if not self._uncovered:
            self.covered_at_s, self.covered_c = t_s, _temp_c(state, t_s)
        elif self._bare is None and before is not None:
            self._bare = before.cooling

    def _off(self, before: State, state: State, t_s: float) -> None:
        self._uncovered += 1
        if self._uncovered == 1 and self.covered_at_s is not None:
            self.covered_s = max(0.0, t_s - self.covered_at_s)
            self.uncovered_c = _temp_c(state, t_s)
            self._under = before.cooling

    def close(self) -> None:
        """Take in what the last state holds."""
        last = self._before
        if last is None or self.covered_at_s is None:
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
        self.cooling_c_h = _fastest_c_h(_runs(self._under, self._bare))


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
