"""How long a penetrant must stay on, by the part's surface temperature and the crack's age.

The times are those of row N04 (US Air Force T.O. 33B-1-1, seen in the primary text), and
never under the 5 min of row N01. Ordinary temperature reaches from 15.5 to 37 °C, both ends
in it. Other rules have other ranges (rows N06, N07): `outside` tells which of them a part is
outside of, so that both can be shown.
"""

from __future__ import annotations

from typing import NamedTuple

from pacer.trade.rows import Row, row
from pacer.units import Shown

_BY_TEMPERATURE = ("N04a", "N04b", "N04c")
"Where two ranges meet, the first of them holds: the maker's time as it is."
_MOST_DIGITS = 3


class Dwell(NamedTuple):
    """A penetration time."""

    time_s: float
    rows: tuple[Row, ...]
    "What it follows from: the range of temperature, then what asks for longer."


class Refused(NamedTuple):
    """No penetration time: the surface is too cold or too hot for it."""

    surface_c: float
    range_c: tuple[float, float]

    def told(self, shown: Shown) -> str:
        """Say what was found and what is expected, in the user's units."""
        what = "warm the part" if self.surface_c < self.range_c[0] else "let the part cool"
        for digits in range(_MOST_DIGITS + 1):
            at, low, high = (shown.temp_c(each, digits) for each in (self.surface_c, *self.range_c))
            # 3.9 °C rounded would be refused for being 4 °C.
            if at not in (low, high):
                break
        return f"no penetrant on a surface at {at}: it works from {low} to {high}; {what} first"


def dwell(base_s: float, surface_c: float, *, service_crack: bool) -> Dwell | Refused:
    """Return how long the penetrant stays on, s, or why it can't be used.

    `base_s`: the maker's time at ordinary temperature, s, above 0. `surface_c`: of the part
    where it is checked, °C. `service_crack`: the crack came in service, which a repair's does.

    >>> cast = dwell(600.0, 10.0, service_crack=False)
    >>> cast.time_s if isinstance(cast, Dwell) else None
    1200.0
    """
    known = [row("penetrant", name) for name in _BY_TEMPERATURE]
    ruling = next((fact for fact in known if _holds(fact, surface_c)), None)
    if ruling is None:
        ends = [end for fact in known for end in fact.values["temp_c"]]
        return Refused(surface_c, (min(ends), max(ends)))
    time_s, rows = _time_s(ruling, base_s), [ruling]
    least, aged = row("penetrant", "N01"), row("penetrant", "N04")
    if time_s < (least_s := usual_s()[0]):
        time_s, rows = least_s, [*rows, least]
    if service_crack:
        time_s, rows = max(time_s, float(aged.values["least_s"])), [*rows, aged]
    return Dwell(time_s, tuple(rows))


def usual_s() -> tuple[float, float]:
    """Return the least and the longest penetration time of row N01, s."""
    least_s, longest_s = row("penetrant", "N01").values["time_s"]
    return float(least_s), float(longest_s)


def outside(surface_c: float) -> tuple[Row, ...]:
    """Return the published rules that have no time for a surface so cold or hot: N06, N07."""
    return tuple(
        fact
        for fact in (row("penetrant", name) for name in ("N06", "N07"))
        if not _holds(fact, surface_c)
    )


def welds_s(surface_c: float) -> float | None:
    """Return the time of row N07, for welds in steel, s; None where it has none.

    Where two ranges meet, at 10 °C, the ordinary one holds, as above.
    """
    known = row("penetrant", "N07").values
    for span, time in (("temp_c", "time_s"), ("cold_c", "cold_s")):
        low_c, high_c = known[span]
        if low_c <= surface_c <= high_c:
            return float(known[time])
    return None


def _holds(fact: Row, surface_c: float) -> bool:
    spans = [fact.values[name] for name in ("temp_c", "cold_c") if name in fact.values]
    return any(low_c <= surface_c <= high_c for low_c, high_c in spans)


def _time_s(fact: Row, base_s: float) -> float:
    return max(float(fact.values["factor"]) * base_s, float(fact.values.get("least_s", 0.0)))
