"""`Measured`: goes along while a recording is folded, and keeps what no table of it has.

How long soak and post-heat counted, when and how hot the part was covered and first uncovered,
how fast it cooled in between. Nothing grows with the recording.
"""

from __future__ import annotations

from pacer.heat.bins import Bins
from pacer.heat.cooldown.rate import LEAST_S, rate_c_h
from pacer.review.rules.rule import Step
from pacer.session.state import State
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
        "Until then, or so far."
        self._before: State | None = None
        self._uncovered = 0

    def see(self, step: Step) -> None:
        """Look for what has changed with this event; quick where nothing has."""
        before, state = self._before, step.state
        self._before = state
        if before is None:
            # An import begins in its cool-down.
            if _under_cover(state):
                self._on(state, step.t_s)
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
            self._on(state, step.t_s)
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
                self.covered_s = self.uncovered_c = self.cooling_c_h = None

    def _on(self, state: State, t_s: float) -> None:
        # Covered once more: what counts is the first time it stood bare.
        if not self._uncovered:
            self.covered_at_s, self.covered_c = t_s, _temp_c(state, t_s)

    def _off(self, before: State, state: State, t_s: float) -> None:
        self._uncovered += 1
        if self._uncovered == 1 and self.covered_at_s is not None:
            self.covered_s = max(0.0, t_s - self.covered_at_s)
            self.uncovered_c = _temp_c(state, t_s)
            self._cooled(before)

    def _cooled(self, state: State) -> None:
        self.cooling_c_h = _fastest_c_h(state)
        bins = state.cooling.bins if state.cooling is not None else ()
        if self.covered_c is None and bins and bins[0][0] <= _AT_ONCE_S:
            self.covered_c = bins[0][1]

    def close(self) -> None:
        """Take in what the last state holds."""
        last = self._before
        if last is not None and _under_cover(last) and not self._uncovered:
            self._cooled(last)


def _temp_c(state: State, t_s: float) -> float | None:
    """Return what is believed, °C; a crayon's one side is no temperature."""
    now = believed(state, t_s)
    return None if now is None or now.side else now.temp_c


def _under_cover(state: State) -> bool:
    """True while it cools in what the job covers it with; an early uncovering makes it still air."""
    return state.phase is Phase.COOL_DOWN and state.work.cover == state.job.cooldown.cover


def _fastest_c_h(state: State) -> float | None:
    """Return the greatest 30-minute mean fall of the cool-down, K/h; None where too little is known.

    Its first quarter of an hour, in which heat evens out in the part, is left out.
    """
    if state.cooling is None:
        return None
    bins: Bins = tuple(row for row in state.cooling.bins if row[0] >= LEAST_S)
    rates = [rate_c_h(bins[: count + 1], bins[count][0]) for count in range(1, len(bins))]
    known = [rate for rate in rates if rate is not None]
    return max(known) if known else None
