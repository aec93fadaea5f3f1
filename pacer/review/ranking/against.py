"""What speaks against a finding as an explanation: true statements, computed from this record."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import cast, get_args

from pacer.review.ranking.crack import Crack, place_words
from pacer.review.ranking.points import after, lasted_s, leads_to
from pacer.session.events import FoundAt, FoundWhere
from pacer.session.finding import Finding
from pacer.units import Shown

_SHORT_S = 30.0
"""What lasted less is said to have lasted "only" so long. Our choice."""

_SLIGHT = 1.1
"""What is less past its limit is said to be only slightly so. Our choice."""


def against(finding: Finding, crack: Crack | None, alike: Iterable[Finding]) -> Iterator[str]:
    """Yield what speaks against a finding; `alike` are the findings of its name.

    None of the words has a quantity that depends on the user's units.
    """
    if crack is not None:
        yield from _of_crack(finding, crack, alike)
    short_s = lasted_s(finding)
    if short_s is not None and short_s < _SHORT_S:
        yield f"it lasted only {_duration(short_s)}"
    if finding.times is not None and finding.times < _SLIGHT:
        yield "it is only slightly past its limit"


def _of_crack(finding: Finding, crack: Crack, alike: Iterable[Finding]) -> Iterator[str]:
    if after(finding, crack) and crack.heard_s is not None:
        yield f"it began {_duration(finding.t_s - crack.heard_s)} after the crack was heard or seen"
    fits = leads_to(finding)["fits"]
    if fits and crack.where is not None and crack.where not in fits and crack.at not in fits:
        usually = " or ".join(_fit_words(fit) for fit in fits)
        yield f"the crack is {place_words(crack.where, crack.at)}; this usually shows {usually}"
    if crack.bead is None or finding.bead is None:
        return
    if finding.bead != crack.bead:
        yield f"it is of bead {finding.bead}, the crack is at bead {crack.bead}{_away(finding, crack)}"
        return
    others = {f.bead for f in alike if f.bead not in (None, crack.bead) and _as_far(f, finding)}
    if others:
        count = f"{len(others)} other bead{'s' if len(others) > 1 else ''}"
        past = " as far past the limit" if finding.times is not None else ""
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
