"""The cool-down's forecast, remembered between draws: it costs some 20 ms, a draw must not."""

from __future__ import annotations

from pacer.screen.desk import Snapshot
from pacer.session.forecast import Cooldown, cooldown

EVERY_S = 15.0
"""Forecasts are made anew after so much session time, or when the fit starts again."""


class CooldownMemo:
    """Callable: snapshot -> the cool-down's forecast, or None outside a cool-down."""

    def __init__(self) -> None:
        self._key: tuple[float, int, float] | None = None
        self._last: Cooldown | None = None

    def __call__(self, snapshot: Snapshot) -> Cooldown | None:
        """Return the forecast for this snapshot's state."""
        cooling = snapshot.state.cooling
        if cooling is None or snapshot.state.work.covered_s is None:
            return None
        # A bin more is news; without one the forecast only grows older.
        key = (cooling.start_s, len(cooling.bins), snapshot.t_s // EVERY_S)
        if key != self._key:
            self._key, self._last = key, cooldown(snapshot.state, snapshot.t_s)
        return self._last
