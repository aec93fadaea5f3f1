"""The points by which findings are ordered: few, small, each with a name. Our choice, no source.

They say where to look first. Nothing is learned from outcomes, and no sum of points makes a
finding what led to a crack. guide/review.md has the same table; a test compares them.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, get_args

from pacer.review.ranking.crack import Crack
from pacer.session.events import FoundAt, FoundWhere
from pacer.session.finding import Finding
from pacer.trade.rows import row

POINTS: dict[str, int] = {
    "could strain the metal": 2,
    "tells when or where something gave": 1,
    "the whole part": 1,
    "shows where the crack is": 2,
    "usually shows elsewhere": -2,
    "shows at such a spot": 2,
    "runs as it usually does": 1,
    "the crack's bead": 3,
    "its place along the joint": 2,
    "a place beside it": 1,
    "at least twice what is allowed": 2,
    "at least a quarter past what is allowed": 1,
    "lasted 5 min or more": 1,
    "in the 10 min before it was heard": 1,
}

_KINDS = {
    "strain": "could strain the metal",
    "sign": "tells when or where something gave",
}
FAR = 2.0
"""How far past a limit is told apart up to here: beyond it multiples of unlike things are no size."""

_PAST = 1.25
_LONG_S = 300.0
_SOON_S = 600.0


def leads_to(finding: Finding) -> dict[str, Any]:
    """Return the ranking's data of the finding's row in trade/findings: `fits`, `kind` and more."""
    return row("findings", finding.name).values


def counted(finding: Finding, crack: Crack | None) -> dict[str, int]:
    """Return the points of a finding by name; without a crack only those of the finding itself."""
    names = [*_of_itself(finding), *(_of_crack(finding, crack) if crack is not None else ())]
    return {name: POINTS[name] for name in names}


def after(finding: Finding, crack: Crack) -> bool:
    """Return whether it began when the crack was there already."""
    return crack.heard_s is not None and finding.t_s > crack.heard_s


def shows_elsewhere(finding: Finding, crack: Crack) -> bool:
    """Return whether the row names places, and none of them is where the crack is said to be."""
    fits = leads_to(finding)["fits"]
    return bool(fits and crack.shows) and crack.shows.isdisjoint(fits)


def runs_as_usual(finding: Finding, crack: Crack) -> bool | None:
    """Return whether a crack in the weld runs as the row says; None: one of them says nothing."""
    usual = leads_to(finding).get("runs")
    if usual is None or crack.runs is None or "weld" not in crack.shows:
        return None
    return bool(usual == crack.runs)


def lasted_s(finding: Finding) -> float | None:
    """Return how long it lasted, s, where it is the longer the worse; else None."""
    if finding.to_s is None or not leads_to(finding).get("lasts"):
        return None
    return finding.to_s - finding.t_s


def _of_itself(finding: Finding) -> Iterator[str]:
    kind = leads_to(finding)["kind"]
    if kind in _KINDS:
        yield _KINDS[kind]
    if kind == "strain":
        yield from _size(finding)
    if not finding.all_beads and finding.place is None:
        yield "the whole part"


def _size(finding: Finding) -> Iterator[str]:
    times = finding.times or 0.0
    if times >= FAR:
        yield "at least twice what is allowed"
    elif times >= _PAST:
        yield "at least a quarter past what is allowed"
    if (lasted_s(finding) or 0.0) >= _LONG_S:
        yield "lasted 5 min or more"


def _of_crack(finding: Finding, crack: Crack) -> Iterator[str]:
    fits = leads_to(finding)["fits"]
    shows = crack.shows.intersection(fits)
    if shows_elsewhere(finding, crack):
        yield "usually shows elsewhere"
    if shows.intersection(get_args(FoundWhere)):
        yield "shows where the crack is"
    if shows.intersection(get_args(FoundAt)):
        yield "shows at such a spot"
    if runs_as_usual(finding, crack):
        yield "runs as it usually does"
    near = _near(finding, crack)
    if near:
        yield near
    if crack.heard_s is not None and 0.0 <= crack.heard_s - finding.t_s <= _SOON_S:
        yield "in the 10 min before it was heard"


def _near(finding: Finding, crack: Crack) -> str:
    if crack.bead is None:
        return ""
    if crack.bead in finding.all_beads:
        return "the crack's bead"
    if finding.place is None or crack.place is None:
        return ""
    away = abs(finding.place - crack.place)
    return {0: "its place along the joint", 1: "a place beside it"}.get(away, "")
