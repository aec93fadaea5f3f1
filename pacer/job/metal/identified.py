"""What shop tests leave of the metals a part can be; the rules are in `standing.py`."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from pacer.job.job import Metal
from pacer.job.metal.parting import next_test
from pacer.job.metal.standing import Evidence, Standing, left_of, standings
from pacer.job.metal.told import contradiction_lines, result_lines
from pacer.job.metal.white import white_likely
from pacer.units import Shown

__all__ = ["Evidence", "Identified", "Standing", "identified", "next_test", "standings"]


class Identified(msgspec.Struct, frozen=True):
    """What is left, as far as shop tests can tell."""

    left: tuple[Metal, ...]
    "Metals not ruled out; empty where the answers contradict each other so far."
    metal: Metal
    "`unknown` unless exactly one is left, and nothing speaks against that one."
    contradictions: tuple[str, ...]
    "Lines about answers that no one metal fits; empty where a metal has nothing against it."
    told: tuple[str, ...]
    "What is left, what it means for the repair, what to do next, in lines."
    dont_weld: bool
    "White iron isn't ruled out and a sign speaks for it, or it alone is left: `white.py`."


def identified(answers: Mapping[str, str], shown: Shown | None = None) -> Identified:
    """Return what the answers leave; what is told has its quantities in the user's units.

    >>> identified({"ring": "dull thud", "chip": "small, crumbling"}).left
    ('grey iron', 'malleable iron', 'white iron')
    """
    found = standings(answers)
    left = left_of(found)
    contradictions = contradiction_lines(found)
    return Identified(
        left=left,
        metal=left[0] if len(left) == 1 and not contradictions else "unknown",
        contradictions=contradictions,
        told=result_lines(answers, found, shown or Shown()),
        dont_weld=white_likely(found),
    )
