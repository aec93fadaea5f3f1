"""How even a part is before its first bead.

One reading tells one place. A torch leaves the worst spread (some 200 °C in simulation, a
grill some 20), so the soak asks for several places. Standard library only.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Evenness:
    """What the places read so far say."""

    spread_dc: float | None
    "Hottest less coldest known place; None with fewer than two."
    coldest_c: float | None
    hottest_c: float | None
    known: int
    wanted: int

    @property
    def missing(self) -> int:
        """How many places the job asks for that nobody has read yet."""
        return max(0, self.wanted - self.known)


def evenness(points_c: Iterable[float], wanted: int) -> Evenness:
    """Return spread and count of the places read, °C, one number a place.

    What is no finite number is not a reading and is left out; nothing here raises.

    >>> evenness((258.0, 231.0), 3)
    Evenness(spread_dc=27.0, coldest_c=231.0, hottest_c=258.0, known=2, wanted=3)
    """
    read = [point for point in points_c if math.isfinite(point)]
    if not read:
        return Evenness(None, None, None, 0, max(0, wanted))
    coldest, hottest = min(read), max(read)
    spread = hottest - coldest if len(read) > 1 else None
    return Evenness(spread, coldest, hottest, len(read), max(0, wanted))
