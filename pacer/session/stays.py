"""Stays in a phase, one after the other, as the review and the replay count them."""

from __future__ import annotations

from pacer.session.state import State
from pacer.session.work import Phase


def entered(state: State, t_s: float, last: tuple[Phase, float] | None) -> tuple[Phase, float]:
    """Return phase and start, s, of the stay in which the state after an event at `t_s` is.

    `last` is the stay before that event, returned as it is while it goes on.
    """
    if last is not None and last[0] is state.phase:
        return last
    entered_s = state.work.entered_s
    if last is not None and entered_s < last[1]:
        # After an undo a phase was entered long ago, but this stay begins now.
        entered_s = t_s
    return state.phase, entered_s
