"""The soak in words: how even the part is over the places read, and which are missing."""

from __future__ import annotations

from pacer.heat.preheat.evenness import evenness
from pacer.session.state import State
from pacer.session.track import places_c
from pacer.units import Shown


def soak_words(state: State, t_s: float, shown: Shown) -> str:
    """Return evenness over the places read so far, or nothing before there are two."""
    found = evenness(places_c(state, t_s), state.job.heating.points)
    if found.spread_dc is None:
        return ""
    wanted = max(found.wanted, found.known)
    more = "; type the others: thick, far, back (R)" if found.missing else ""
    return f"Within {shown.temp_dc(found.spread_dc)} over {found.known} of {wanted} places{more}"
