"""How long a penetrant must stay on, by the part's surface temperature and the crack's age.

The times are those of row N04 (US Air Force T.O. 33B-1-1, seen in the primary text); where
two of its ranges meet, the longer time. Other rules have other ranges (rows N01, N06, N07):
`outside` tells which of them a part is outside of, so that both can be shown.
"""

from __future__ import annotations

from typing import NamedTuple

from pacer.trade.rows import Row, row
from pacer.units import Shown

_BY_TEMPERATURE = ("N04a", "N04b", "N04c")


class Dwell(NamedTuple):
    """A penetration time."""

    time_s: float
    rows: tuple[Row, ...]
    "What it follows from: the range of temperature, and the crack's age where that decided."


class Refused(NamedTuple):
    """No penetration time: the surface is too cold or too hot for it."""

    surface_c: float
    range_c: tuple[float, float]

    def told(self, shown: Shown) -> str:
        """Say what was found and what is expected, in the user's units."""
        low_c, high_c = self.range_c
        what = "warm the part" if self.surface_c < low_c else "let the part cool"
        return (
            f"no penetrant on a surface at {shown.temp_c(self.surface_c)}: it works from "
            f"{shown.temp_c(low_c)} to {shown.temp_c(high_c)}; {what} first"
        )


def dwell(base_s: float, surface_c: float, *, service_crack: bool) -> Dwell | Refused:
    """Return how long the penetrant stays on, s, or why it can't be used.

    `base_s`: the maker's time at ordinary temperature, s, above 0. `surface_c`: of the part
    where it is checked, °C. `service_crack`: the crack came in service, which a repair's does.

    >>> cast = dwell(600.0, 10.0, service_crack=False)
    >>> cast.time_s if isinstance(cast, Dwell) else None
    1200.0
    """
    known = [row("penetrant", name) for name in _BY_TEMPERATURE]
    found = [fact for fact in known if _holds(fact, surface_c)]
    if not found:
        ends = [end for fact in known for end in fact.values["temp_c"]]
        return Refused(surface_c, (min(ends), max(ends)))
    time_s, ruling = max(((_time_s(fact, base_s), fact) for fact in found), key=lambda it: it[0])
    aged = row("penetrant", "N04")
    if not service_crack:
        return Dwell(time_s, (ruling,))
    return Dwell(max(time_s, float(aged.values["least_s"])), (ruling, aged))


def outside(surface_c: float) -> tuple[Row, ...]:
    """Return the published ranges of temperature that a surface is outside of: N06, N07."""
    return tuple(
        fact
        for fact in (row("penetrant", name) for name in ("N06", "N07"))
        if not _holds(fact, surface_c)
    )


def _holds(fact: Row, surface_c: float) -> bool:
    low_c, high_c = fact.values["temp_c"]
    return bool(low_c <= surface_c <= high_c)


def _time_s(fact: Row, base_s: float) -> float:
    return max(float(fact.values["factor"]) * base_s, float(fact.values.get("least_s", 0.0)))
