"""`Curve`: a whole recording's temperatures, a second apart, for any stretch of it drawn closely.

The trend of a running session (`trend.py`) may grow coarser with its length; where two
recordings part is looked for bead by bead, in the third hour of a day.
"""

from __future__ import annotations

import bisect
import math
from array import array
from itertools import pairwise

from pacer.session.state import State
from pacer.session.track import believed

SPACING_S = 1.0
"""Three days are then 260,000 points in 3 MB."""


class Curve:
    """Packed (session time s, °C or not a number for a gap), oldest first."""

    def __init__(self) -> None:
        self._times = array("d")
        self._temps = array("f")

    def add(self, state: State) -> None:
        """Add what is believed now, if it is time for another point; of a gap only its start."""
        if self._times and state.t_s - self._times[-1] < SPACING_S:
            return
        now = believed(state, state.t_s)
        temp_c = math.nan if now is None else now.temp_c
        if self._times and now is None and math.isnan(self._temps[-1]):
            return
        self._times.append(state.t_s)
        self._temps.append(temp_c)

    def between(
        self, from_s: float, to_s: float, parts: int
    ) -> tuple[tuple[float, float | None], ...]:
        """Return the points of a stretch: coldest and hottest of each of so many parts of it.

        One point more at each end, so that a line goes on over the edge. A gap stays a gap.
        """
        first = max(0, bisect.bisect_left(self._times, from_s) - 1)
        last = min(len(self._times), bisect.bisect_right(self._times, to_s) + 1)
        if last - first <= 2 * parts:
            return self._points(range(first, last))
        edges = [from_s + (to_s - from_s) * part / parts for part in range(1, parts)]
        cuts = [
            first,
            *(bisect.bisect_left(self._times, edge, first, last) for edge in edges),
            last,
        ]
        kept: list[int] = []
        for low, high in pairwise(cuts):
            kept += self._extremes(low, high)
        return self._points(kept)

    def _extremes(self, low: int, high: int) -> list[int]:
        """Return where the coldest and hottest are in a part, and its gaps, in order."""
        temps = self._temps[low:high]
        known = [at for at, temp_c in enumerate(temps) if not math.isnan(temp_c)]
        found = {at for at, temp_c in enumerate(temps) if math.isnan(temp_c)}
        if known:
            found |= {min(known, key=temps.__getitem__), max(known, key=temps.__getitem__)}
        return [low + at for at in sorted(found)]

    def _points(self, places: range | list[int]) -> tuple[tuple[float, float | None], ...]:
        return tuple(
            (self._times[at], None if math.isnan(self._temps[at]) else self._temps[at])
            for at in places
        )
