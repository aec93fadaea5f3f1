"""In which order one run visits its places, so that the hottest iron under a bead stays coolest.

The trade's rule for the crack's ends says where a run begins, where it ends and which way
it goes; it does not say that neighbours follow each other. So a run may go its way in
passes that skip places and fill them later (skip welding, common practice, no source),
each pass the way the rule says:

- both ends in the wall: the two ends first, then toward the middle, the middle last (row
  B06, seen in a secondary page; that passes keep to it is our reading);
- one end at an edge (the right one): the blind end first, toward the edge, the edge last
  (common practice, no source);
- through, both ends at an edge: from the middle outward, the edges last, for the ends stay
  free to move (our choice, the same reason as for one edge);
- patch: opposite sides in turn (common practice, no source).

With few places a rule leaves no choice. Of what it leaves, the order is taken whose hottest
place just before its bead is coolest in the model of `heat/places.py`; within a twentieth the
simpler one: fewer passes, then every run alike. Where neither end differs, every second run
may be the mirror of the one before.

The cold method has one more rule: each next bead on a cool place far from the last (common
practice, no source). There an order with fewer neighbours one after the other goes first;
where it takes that, no place is kept for the end of a run: the passes take in all of them.
"""

from __future__ import annotations

import functools
import itertools
import math
from collections.abc import Iterator, Sequence
from typing import Literal

from pacer.heat import lumped
from pacer.heat.part import RHO_KG_M3
from pacer.heat.places import Rises, Row
from pacer.job.job import BeadPlan, Job
from pacer.job.walk import bead_heat_j, waited_beat_s
from pacer.trade.rows import row

Way = Literal["inward", "to the edge", "outward", "opposite sides"]
Order = tuple[int, ...]

_SAME_DC, _SAME_SHARE = 1.0, 0.05
"Orders whose hottest places differ by less are the same: nobody keeps a beat that well."
_MOST_PASSES = 4
RUNS_WATCHED = 4
"Runs after which the heat left by earlier runs no longer grows to speak of."
_LAST = {"inward": 1, "to the edge": 1, "outward": 2, "opposite sides": 0}
"How many places the rule keeps for the end of a run."


def way_of(job: Job) -> Way:
    """Return which way the trade's rule goes for this joint."""
    if job.joint.repair == "patch":
        return "opposite sides"
    ways: dict[str, Way] = {"both in the wall": "inward", "one at an edge": "to the edge"}
    return ways.get(job.joint.ends, "outward")


def rule(way: Way) -> tuple[str, str]:
    """Return the rule in words, and its source with how far that was seen."""
    if way == "inward":
        known = row("beads", "B06")
        return known.about, f"row B06: {known.source}; {known.seen}"
    text = {
        "to the edge": "from the blind end to the edge, the edge last",
        "outward": "from the middle outward, the edges last, so that they stay free to move",
        "opposite sides": "opposite sides in turn",
    }[way]
    return text, "our choice, no source" if way == "outward" else "common practice, no source"


def simple_order(places: int, way: Way) -> Order:
    """Return the order that goes the rule's way in one pass.

    >>> simple_order(5, "inward"), simple_order(4, "outward"), simple_order(5, "opposite sides")
    ((0, 4, 1, 3, 2), (2, 1, 3, 0), (0, 3, 1, 4, 2))
    """
    inward = tuple(i // 2 if i % 2 == 0 else places - 1 - i // 2 for i in range(places))
    if way == "inward":
        return inward
    if way == "outward":
        return inward[::-1]
    if way == "to the edge":
        return tuple(range(places))
    half = (places + 1) // 2
    return tuple(place for i in range(half) for place in (i, i + half) if place < places)


def runs_allowed(places: int, way: Way, *, keep_last: bool = True) -> list[Order]:
    """Return the orders of one run that keep to the rule, the simplest first, none twice.

    Without `keep_last` the places that the rule has last may come earlier, each in its pass.

    >>> runs_allowed(6, "to the edge")[:3]
    [(0, 1, 2, 3, 4, 5), (0, 2, 4, 1, 3, 5), (0, 3, 1, 4, 2, 5)]
    """
    simple = simple_order(places, way)
    cut = len(simple) - (min(_LAST[way], places - 1) if keep_last else 0)
    last = simple[cut:]
    # Two sides are gone along in turn, an edge is gone to along one line.
    halves = (simple,) if way == "to the edge" else (simple[0::2], simple[1::2])
    sides = [tuple(place for place in half if place not in last) for half in halves]
    found: dict[Order, None] = {}
    # At most one pass of a single place: more of them would go against the rule's way.
    for passes in range(1, min(_MOST_PASSES, (cut + 1) // 2) + 1):
        for starts in itertools.permutations(range(1, passes)):
            for swap in (False, True):
                run = list(_in_passes(sides, (0, *starts), swap))
                found.setdefault((*run, *last))
    return list(found) or [simple]


def _in_passes(sides: Sequence[Order], starts: Sequence[int], swap: bool) -> Iterator[int]:
    """Yield places pass by pass; with `swap` every second pass begins on the other side."""
    for number, start in enumerate(starts):
        along = [side[start :: len(starts)] for side in sides]
        if swap and number % 2:
            along.reverse()
        for together in itertools.zip_longest(*along):
            yield from (place for place in together if place is not None)


def mirrored(run: Order) -> Order:
    """Return the run seen from the other end of the joint."""
    return tuple(len(run) - 1 - place for place in run)


def ordered(job: Job) -> BeadPlan:
    """Return the job's bead plan with its order: one run, or two where they alternate."""
    plan = job.plan
    far = job.method == "cold"
    return BeadPlan(plan.runs, plan.places, _coolest(row_of(job), way_of(job), plan.runs, far))


def keeps_last(job: Job) -> bool:
    """Tell whether each run of the job's order ends on the places that the rule has last."""
    plan, way = job.plan, way_of(job)
    simple = simple_order(plan.places, way)
    alike = [simple] if way == "to the edge" else [simple, mirrored(simple)]
    first = max(1, plan.places - _LAST[way])
    ruled = [set(run[first:]) for run in alike]
    starts = range(0, len(plan.order), plan.places)
    return all(set(plan.order[at + first : at + plan.places]) in ruled for at in starts)


def neighbours(order: Order, *, ring: bool = False) -> int:
    """Return how many beads follow on one beside them or at their place; the order is cycled.

    >>> neighbours((0, 1, 2)), neighbours((0, 2, 4, 1, 3)), neighbours((0, 2, 1), ring=True)
    (2, 0, 3)
    """
    near = (0, 1, max(order)) if ring else (0, 1)
    return sum(abs(a - b) in near for a, b in zip(order, (*order[1:], order[0]), strict=True))


def _candidates(places: int, way: Way, runs: int, *, far: bool) -> list[Order]:
    """Return what the rules leave, the simplest first; `far`: the fewest neighbours only."""
    alone = runs_allowed(places, way)
    turned = [(*run, *mirrored(run)) for run in alone] if way != "to the edge" and runs > 1 else []
    if not far:
        return [*alone, *turned]
    free = runs_allowed(places, way, keep_last=False)

    def share(order: Order) -> float:
        return neighbours(order, ring=way == "opposite sides") / len(order)

    least = min(share(order) for order in (*alone, *turned, *free))
    kept = [order for order in (*alone, *turned) if share(order) == least]
    return kept or [order for order in free if share(order) == least]


@functools.lru_cache(maxsize=8)
def _coolest(row: Row, way: Way, runs: int, far: bool) -> Order:
    rises = Rises(row)
    watched = min(runs, RUNS_WATCHED)
    best_dc, found = math.inf, list[tuple[float, Order]]()
    for order in _candidates(row.places, way, runs, far=far):
        worst_dc = rises.worst_dc(laid(order, row.places * watched), _alike_dc(best_dc))
        found.append((round(worst_dc, 1), order))
        best_dc = min(best_dc, found[-1][0])
    return next(order for worst_dc, order in found if worst_dc <= _alike_dc(best_dc))


def _alike_dc(best_dc: float) -> float:
    return best_dc + max(_SAME_DC, _SAME_SHARE * best_dc)


def laid(order: Order, beads: int) -> Order:
    """Return the places of the first `beads` beads: an order is cycled."""
    return (order * math.ceil(beads / len(order)))[:beads]


def row_of(job: Job) -> Row:
    """Return the joint as the heat model takes it.

    The joint is taken to run along the part's longest side, through the middle of its
    width; both ends in the wall: through the middle of its length too. A through joint
    runs across a part, or an arm of it, as wide as the joint is long.
    """
    part, bead, places = job.part, job.bead, job.plan.places
    at_c = job.band.preheat_c if job.band.preheat_c is not None else job.band.ceiling_c
    cp_j_kgk = lumped.heat_capacity_j_kgk(at_c)
    area_m2 = part.mass_kg / (RHO_KG_M3 * part.wall_m)
    most_m = math.sqrt(area_m2)
    if part.size_m is not None:
        _, wide_m, most_m = sorted(part.size_m)
        area_m2 = wide_m * most_m
    joint_m = places * bead.length_m
    long_m = joint_m if way_of(job) == "outward" else max(most_m, joint_m)
    free_m = long_m - joint_m
    right_m = 0.0 if way_of(job) == "to the edge" else 0.5 * free_m
    return Row(
        places=places,
        length_m=bead.length_m,
        heat_j=bead_heat_j(job),
        wall_m=part.wall_m,
        cp_j_kgk=cp_j_kgk,
        cycle_s=waited_beat_s(job),
        arc_s=bead.planned_s,
        left_m=free_m - right_m,
        right_m=right_m,
        width_m=min(area_m2 / long_m, most_m),
        loss_1_s=2.0
        * lumped.film_w_m2k(at_c, job.cooldown.ambient_c)
        / (RHO_KG_M3 * cp_j_kgk * part.wall_m),
        ring=way_of(job) == "opposite sides",
    )
