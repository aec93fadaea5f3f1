"""Layers of a groove: which run is butter, root, fill or cap, on which side; a bead's way.

The number of runs is the plan's; they are given to the layers from the bottom up by the
groove's width at that height over the width of a bead. A bead is taken to be three times
as wide as it is thick (our assumption, no source), its cross-section being the weld's
over the number of runs: so nothing here needs the trade tables, and a replay neither.

A double V is turned over after the root and after each pair of layers (common practice,
no source), so that both sides pull alike. Where another groove can be got at from both
sides, all its runs are on the one it opens to; what is laid on its back is not planned.

Faces are coated as far as a root and a run of cap on each side are left over, but by two
thirds of the beads that lie beside each other on them, or not at all (our choice, no source).
"""

from __future__ import annotations

import math
from typing import Literal, NamedTuple

import msgspec

from pacer.job.groove import weld_area_m2
from pacer.job.job import Job
from pacer.job.outline import face_length_m, height_of_side_m, width_m

LayerName = Literal["butter", "root", "fill", "cap"]
Way = Literal["←", "→", ""]

WIDE_TO_THICK = 3.0
"Of a bead laid without weaving (our assumption, no source)."
_MOST_RUNS = 4
"Times the planned runs: thinner beads than those nobody lays for the sake of a coat."
_LEAST_M2 = 1e-9
"A groove of nothing, as a damaged recording may have it, still has its runs."


class Layer(NamedTuple):
    """Runs laid beside each other."""

    name: LayerName
    first: int
    "First run, 1-based, in the order of laying."
    last: int
    side: int = 1
    "1, or 2 for the other side of a double V; side 1 has the root."

    @property
    def runs(self) -> int:
        """How many runs the layer has."""
        return self.last - self.first + 1


def bead_size_m(job: Job) -> tuple[float, float]:
    """Return width and thickness of a bead, m: those that fill the weld in the planned runs."""
    section_m2 = max(weld_area_m2(job.joint), _LEAST_M2) / job.plan.runs
    return math.sqrt(section_m2 * WIDE_TO_THICK), math.sqrt(section_m2 / WIDE_TO_THICK)


def layers(job: Job) -> tuple[Layer, ...]:
    """Return the layers in the order they are laid; together they have every planned run once."""
    butter = _buttered(job)
    rest = job.plan.runs - butter
    laid: list[tuple[LayerName, int, int]] = []
    if job.joint.preparation == "double-V":
        # The second side's faces are coated first: the root then follows on the first.
        laid += [("butter", butter // 2, side) for side in (2, 1) if butter]
        first, second = _stack(job, rest - rest // 2), _stack(job, rest // 2, root=False)
        laid += [(name, runs, 1) for name, runs in first[:1]]
        laid += _in_turn(first[1:], second)
    else:
        laid += [("butter", butter, 1)] if butter else []
        laid += [(name, runs, 1) for name, runs in _stack(job, rest)]
    found, run = [], 1
    for name, runs, side in laid:
        found.append(Layer(name, run, run + runs - 1, side))
        run += runs
    return tuple(found)


def is_peened(job: Job, run: int) -> bool:
    """Tell whether `bead.peen_runs` has a run peened; those beyond the plan count as its last."""
    which, last = job.bead.peen_runs, job.plan.runs
    if which == "all":
        return True
    if which == "not root nor last" and run >= last:
        return False
    # The root is one run, laid right after the faces are coated.
    return run != _buttered(job) + 1


def unpeened_runs(job: Job) -> tuple[int, ...]:
    """Return the planned runs that `bead.peen_runs` leaves unpeened."""
    return tuple(run for run in range(1, job.plan.runs + 1) if not is_peened(job, run))


def draw_toward(number: int, order: tuple[int, ...]) -> Way:
    """Return the way bead `number` (1-based) is drawn: back-step.

    Each bead is drawn toward the start of the neighbour laid last before it in the same
    run; a bead without one is drawn outward, toward the nearer end. (procedure.md section
    5: common practice.) `order` holds one run or several, each with every place once.

    >>> [draw_toward(n, (0, 4, 1, 3, 2)) for n in (1, 2, 3, 4)]
    ['←', '→', '←', '→']
    """
    places = max(order) + 1
    at = (number - 1) % len(order)
    place, run = order[at], at // places
    for earlier in reversed(order[run * places : at]):
        if abs(earlier - place) == 1:
            return "←" if earlier < place else "→"
    if places == 1:
        return ""
    return "←" if place <= (places - 1) / 2 else "→"


def _buttered(job: Job) -> int:
    """Return how many runs coat the faces, all alike; 0 also where the groove is too small.

    It says which run is the root, so a replay's peens hang on it: another rule, another version.
    """
    joint = job.joint
    if not joint.butter:
        return 0
    wide_m, _ = bead_size_m(job)
    sides = 2 if joint.preparation == "double-V" else 1
    wanted = _across(face_length_m(joint), wide_m)
    # The coats make the groove narrower: one run of cap is the least that covers them.
    a_face = min(wanted, (job.plan.runs - 1 - sides) // (2 * sides))
    return 2 * sides * a_face if 3 * a_face >= 2 * wanted else 0


def coated(job: Job) -> bool:
    """Tell whether the plan's runs are enough to coat each face first, where that is asked."""
    return _buttered(job) > 0


def runs_to_coat(job: Job) -> int | None:
    """Return the fewest runs, from the planned ones on, with which the faces are coated.

    None where no sensible number is enough, as for a groove of nothing.
    """
    for runs in range(job.plan.runs, _MOST_RUNS * job.plan.runs + 1):
        plan = msgspec.structs.replace(job.plan, runs=runs)
        if coated(msgspec.structs.replace(job, plan=plan)):
            return runs
    return None


def _stack(job: Job, runs: int, *, root: bool = True) -> list[tuple[LayerName, int]]:
    """Return the layers of one side from the bottom up, with as many runs in all."""
    wide_m, thick_m = bead_size_m(job)
    joint, high_m = job.joint, height_of_side_m(job.joint)
    found: list[tuple[LayerName, int]] = [("root", 1)] if root and runs else []
    left = runs - len(found)
    cap = min(left, _across(width_m(joint, high_m), wide_m))
    left -= cap
    # The root lies where the groove is narrow: it reaches higher than a bead is thick.
    filled_m = _root_height_m(job, wide_m * thick_m) if root else thick_m
    while left:
        across = min(left, _across(width_m(joint, min(filled_m, high_m)), wide_m))
        found.append(("fill", across))
        filled_m += thick_m
        left -= across
    return [*found, ("cap", cap)] if cap else found


def _across(width: float, wide_m: float) -> int:
    # An exact half must not hang on the last bit, which another processor may have otherwise.
    return max(1, round(round(width / wide_m, 6)))


def _root_height_m(job: Job, section_m2: float) -> float:
    """Return how high one bead fills the bottom of the groove, m; summed in thin slices."""
    high_m, filled_m2, slices = height_of_side_m(job.joint), 0.0, 200
    for i in range(slices):
        filled_m2 += width_m(job.joint, (i + 0.5) * high_m / slices) * high_m / slices
        if filled_m2 >= section_m2:
            return (i + 1) * high_m / slices
    return high_m


def _in_turn(
    first: list[tuple[LayerName, int]], second: list[tuple[LayerName, int]]
) -> list[tuple[LayerName, int, int]]:
    """Two layers on the second side, two on the first, and so on until both are full."""
    found: list[tuple[LayerName, int, int]] = []
    for at in range(0, max(len(first), len(second)), 2):
        found += [(name, runs, 2) for name, runs in second[at : at + 2]]
        found += [(name, runs, 1) for name, runs in first[at : at + 2]]
    return found
