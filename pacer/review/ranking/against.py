"""What speaks against a finding as an explanation: true statements, computed from this record."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Set
from typing import cast, get_args

from pacer.review.ranking.crack import Crack, place_words
from pacer.review.ranking.points import (
    after,
    lasted_s,
    leads_to,
    runs_as_usual,
    shows_elsewhere,
)
from pacer.session.events import FoundAt, FoundWhere
from pacer.session.finding import Finding
from pacer.units import Shown

_SHORT_S = 30.0
"""What lasted less is said to have lasted "only" so long. Our choice."""

_SLIGHT = 1.1
"""What is less past its limit is said to be only slightly so. Our choice."""


def against(
    finding: Finding, crack: Crack | None, known: Iterable[Crack], alike: Iterable[Finding]
) -> Iterator[str]:
    """Yield what speaks against a finding; none of the words has a quantity in the user's units.

    `crack` is that of the `known` ones which it fits best; `alike` are the findings of its name.
    """
    if crack is not None:
        yield from _of_crack(finding, crack)
        yield from _of_beads(finding, crack, {each.bead for each in known}, alike)
    yield from _of_itself(finding)


def _of_itself(finding: Finding) -> Iterator[str]:
    short_s = lasted_s(finding)
    if short_s is not None and short_s < _SHORT_S:
        yield f"it lasted only {_duration(short_s)}"
    if finding.times is not None and finding.times < _SLIGHT:
        yield "it is only slightly past its limit"


def _of_crack(finding: Finding, crack: Crack) -> Iterator[str]:
    if after(finding, crack) and crack.heard_s is not None:
        yield f"it began {_duration(finding.t_s - crack.heard_s)} after the crack was heard or seen"
    if shows_elsewhere(finding, crack):
        usually = " or ".join(_fit_words(fit) for fit in leads_to(finding)["fits"])
        yield f"the crack is {place_words(crack.where, crack.at)}; this usually shows {usually}"
    elif runs_as_usual(finding, crack) is False:
        usual = leads_to(finding)["runs"]
        yield f"the crack runs {crack.runs} the weld; this usually shows {usual} it"


def _of_beads(
    finding: Finding, crack: Crack, cracked: Set[int | None], alike: Iterable[Finding]
) -> Iterator[str]:
    """Yield what the crack's bead says against one that could have strained its own."""
    own = finding.all_beads
    if crack.bead is None or not own or leads_to(finding)["kind"] != "strain":
        return
    if own.isdisjoint(cracked):
        which = f"bead {finding.bead}" if len(own) == 1 else f"{len(own)} other beads"
        yield f"it is of {which}, the crack is at bead {crack.bead}{_away(finding, crack)}"
        return
    others = own.union(*(f.all_beads for f in alike if _as_far(f, finding))) - cracked
    if others:
        count = f"{len(others)} other bead{'s' if len(others) > 1 else ''}"
        # Of several told as one only the farthest has its size.
        sized = finding.times is not None and len(own) == 1
        past = " as far past the limit" if sized else ""
        yield f"the same{past} at {count}, and no crack is recorded there"


def _fit_words(fit: str) -> str:
    if fit in get_args(FoundAt):
        return place_words(None, cast(FoundAt, fit))
    return place_words(cast(FoundWhere, fit))


def _away(finding: Finding, crack: Crack) -> str:
    if finding.place is None or crack.place is None:
        return ""
    away = abs(finding.place - crack.place)
    if not away:
        return ", at the same place of the joint"
    return f", {away} place{'s' if away > 1 else ''} of the joint away"


def _as_far(other: Finding, finding: Finding) -> bool:
    return finding.times is None or (other.times or 0.0) >= finding.times


def _duration(seconds_s: float) -> str:
    return Shown().duration(seconds_s)
