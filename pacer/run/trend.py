"""The trend: a session's temperatures thinned to some 600-1200 points, however long it is."""

from __future__ import annotations

from pacer.session.state import State
from pacer.session.track import believed

_MOST = 1200


class Trend:
    """Keeps (session time s, °C or None for a gap); drops every other point when full."""

    def __init__(self) -> None:
        self._points: list[tuple[float, float | None]] = []
        self._spacing_s = 0.2

    def add(self, state: State) -> None:
        """Add what is believed now, if it is time for another point."""
        now = believed(state, state.t_s)
        temp_c = round(now.temp_c, 1) if now else None
        if self._points:
            last_s, last_c = self._points[-1]
            if last_c is None and temp_c is None:
                return
            if state.t_s - last_s < self._spacing_s and (last_c is None) == (temp_c is None):
                return
        self._points.append((state.t_s, temp_c))
        if len(self._points) > _MOST:
            # Gaps stay: a line drawn across one would be an invented reading.
            self._points = [p for i, p in enumerate(self._points) if i % 2 == 0 or p[1] is None]
            self._spacing_s *= 2

    def points(self) -> tuple[tuple[float, float | None], ...]:
        """Return the points, oldest first."""
        return tuple(self._points)
