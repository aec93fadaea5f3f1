"""The beads of the plan: how many, in which layers, in what order and way, and their peening."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence

from pacer.job.file.fill import THIN_WALL_M
from pacer.job.groove import section_range_m2
from pacer.job.job import Job
from pacer.job.layers import (
    WIDE_TO_THICK,
    Layer,
    bead_size_m,
    coated,
    layers,
    runs_to_coat,
    unpeened_runs,
)
from pacer.job.order import keeps_last, neighbours, rule, way_of
from pacer.job.plan import Plan
from pacer.job.sheet.making import (
    PRACTICE,
    arc_time,
    by,
    entry,
    published,
    quoted,
    sentence,
    some,
    told,
)
from pacer.job.sheet.records import Entry, Line, Step
from pacer.job.sheet.sections import hottest_place
from pacer.job.sheet.sections.arc import red
from pacer.job.sheet.sections.hottest_place import OUR_CHOICE
from pacer.job.sheet.sections.joint import area
from pacer.job.sheet.shapes.crack_map import map_drawing
from pacer.job.sheet.turning import mirrored
from pacer.trade.rows import row
from pacer.units import Shown

_PLACES_SHOWN = 24


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return counts, layers, order with its map and rule, local heat, one bead and its peening."""
    return (
        *_counts(made, job, shown),
        *_layers(job),
        *_order(job, shown),
        *hottest_place.lines(made, job, shown),
        *_one(job, shown),
        *_peen(made, job, shown),
    )


def _counts(made: Plan, job: Job, shown: Shown) -> list[Line]:
    plan, known = job.plan, row("beads", "A01")
    low, high = round(made.beads_range.low), round(made.beads_range.high or made.beads)
    thin, thick = (
        area(m2, shown) for m2 in section_range_m2(job.filler.diameter_m, job.bead.travel_m_s)
    )
    wide_m, thick_m = bead_size_m(job)
    return [
        Entry(
            "beads",
            some(made.beads, "bead") + (f", likely {low} to {high}" if low < high else ""),
            "computed",
            _runs_counted(plan.runs, low // plan.places, high // plan.places, plan.places),
        ),
        Entry(
            "cross-section",
            f"{thin} to {thick}",
            "computed",
            "of one bead, scaled with rod and travel",
            sources=by(known),
        ),
        Entry("to fill", area(made.weld_m2, shown), "computed", "groove with cap"),
        Entry(
            "bead",
            f"{shown.length_m(wide_m)} x {shown.length_m(thick_m)}",
            "computed",
            f"fills it in {some(plan.runs, 'run')}, {WIDE_TO_THICK:g} times as wide as thick "
            "(our choice, no source)",
        ),
    ]


def _runs_counted(runs: int, low: int, high: int, places: int) -> str:
    if low == high:
        return f"{some(runs, 'run')} of {some(places, 'place')}, however thick they come out"
    return (
        f"{some(runs, 'run')} ({_ends(low, high)}) of {some(places, 'place')}; "
        "the range is by how thick they come out"
    )


def _ends(low: int, high: int) -> str:
    return f"{low}" if low == high else f"{low} to {high}"


def _layers(job: Job) -> list[Line]:
    made = layers(job)
    sides = any(layer.side == 2 for layer in made)
    found: list[Line] = []
    counted = False
    for same in _alike(made):
        layer, before = same[0], made[made.index(same[0]) - 1]
        why = "likewise" if counted else "groove's width over the bead's"
        if layer.name == "butter":
            why = "each face coated first; by the length of a face over the bead's width"
        counted = counted or layer.name != "butter"
        if layer is not made[0] and layer.side != before.side:
            after_root = before.name == "root"
            back = ", and grind the back to sound metal" if after_root else ""
            found.append(Step(f"Turn over{back}.", by(row("repair", "R11"))))
        label = f"{layer.name}, side {layer.side}" if sides else layer.name
        found.append(Entry(label, _runs(same), "computed", why))
    if job.joint.butter and not coated(job):
        found.append(_not_coated(job))
    if job.joint.access == "both sides":
        found += _both_sides(job, sides=sides)
    found.append(
        Step(
            "Runs of one layer lie offset from those below; each stop is covered by the next bead "
            "or ground.",
            PRACTICE,
        )
    )
    return found


def _not_coated(job: Job) -> Step:
    enough = runs_to_coat(job)
    do = "the groove is too small for it"
    if enough is not None:
        do = f"{some(enough, 'run')} would do, as of a thinner rod or a quicker travel"
    return Step(
        f"The faces are not coated first in this plan, though that is asked for: "
        f"{some(job.plan.runs, 'run')} do not leave root and cap then; {do}. Or leave the coat out.",
        OUR_CHOICE,
        "decide",
    )


def _both_sides(job: Job, *, sides: bool) -> list[Line]:
    burns = "the part burns, " if job.method == "hot" else ""
    turned = f"At each turn: {burns}the stand is ready, the sensor is fixed anew, G tells it."
    found: list[Line] = [Step(f"{turned} {mirrored(job)}", PRACTICE)]
    if not sides:
        text = (
            "After the root turn over, grind the back to sound metal and close it; what is laid "
            "there is not in the count."
        )
        found.insert(0, Step(text, by(row("repair", "R11"))))
    return found


def _alike(made: Sequence[Layer]) -> list[list[Layer]]:
    """Return the layers that follow each other under one name and on one side, together."""
    return [
        list(same) for _, same in itertools.groupby(made, lambda layer: (layer.name, layer.side))
    ]


def _runs(same: list[Layer]) -> str:
    first, last = same[0].first, same[-1].last
    runs = f"run {first}" if first == last else f"runs {first} to {last}"
    return f"{runs}, {len(same)} layers" if len(same) > 1 else runs


def _order(job: Job, shown: Shown) -> list[Line]:
    plan, crater = job.plan, row("repair", "R26")
    back = _lengths(crater.values["back_mm"], shown)
    runs = [
        plan.order[start : start + plan.places] for start in range(0, len(plan.order), plan.places)
    ]
    listed = "; next run ".join(_run(run) for run in runs)
    again = ", and again" if len(runs) > 1 else ""
    return [
        map_drawing(job),
        Step(f"Order in a run, places counted from the left: {listed}{again}."),
        _rule(job),
        *(_far(job) if job.method == "cold" else ()),
        Step(
            "Back-step: each bead is drawn toward the start of the one before.",
            PRACTICE,
        ),
        Step(
            f"At a bead's end fill the crater, or run back {back} on to the bead. Strike again on "
            "weld metal, never beside the joint.",
            by(crater),
        ),
    ]


def _run(run: tuple[int, ...]) -> str:
    more = f" and so on to {len(run)} places" if len(run) > _PLACES_SHOWN else ""
    return "-".join(str(place + 1) for place in run[:_PLACES_SHOWN]) + more


def _rule(job: Job) -> Step:
    text, source = rule(way_of(job))
    return Step(sentence(text), quoted(source))


_KEPT_LAST = {"inward": "middle", "to the edge": "edge", "outward": "edges"}


def _far(job: Job) -> list[Line]:
    """Return how the cold method's rule of the far place went with the joint's own."""
    plan, way = job.plan, way_of(job)
    found: list[Line] = []
    if not keeps_last(job):
        found.append(
            Step(
                "Cold: a cool place far from the last bead goes before that. The run begins by the "
                f"rule; the {_KEPT_LAST[way]} is not kept for the end.",
                PRACTICE + OUR_CHOICE,
            )
        )
    near = neighbours(plan.order, ring=way == "opposite sides")
    if near and plan.places > 1:
        found.append(
            Step(
                f"Of {len(plan.order)} beads {near} follow on one beside them: the rule leaves no "
                "order with fewer. Wait there until the place itself is cool.",
                PRACTICE,
            )
        )
    return found


def _one(job: Job, shown: Shown) -> list[Line]:
    bead = job.bead
    return [
        entry(job, "bead.length", "bead length", shown.length_m(bead.length_m)),
        *_lengths_published(job, shown),
        Entry("arc time", arc_time(job, shown), "computed", "length over travel"),
        told(row("beads", "B05")),
        entry(job, "bead.hood_down", "hood down", shown.duration(bead.hood_down_s)),
        entry(job, "bead.hood_up", "hood up", shown.duration(bead.hood_up_s)),
        entry(job, "bead.look", "look at the bead", shown.duration(bead.look_s)),
    ]


def _lengths_published(job: Job, shown: Shown) -> list[Line]:
    """What is published of a bead's length: cold and thin have figures of their own."""
    cold, usual, thin = (row("beads", name) for name in ("B01", "B02", "B03"))
    found = [published(usual, "length at most", shown.length_m(usual.values["length_mm"] / 1e3))]
    if job.method == "cold":
        found.append(
            published(cold, "length when cold", shown.length_m(cold.values["length_mm"] / 1e3))
        )
    if job.part.wall_m < THIN_WALL_M:
        length = shown.length_m(thin.values["length_mm"] / 1e3)
        why = f"of very thin castings; a wall under {shown.length_m(THIN_WALL_M)} is taken as such, our choice"
        found.append(published(thin, "length, thin wall", length, why))
    return [*found]


def _lengths(range_mm: Iterable[float], shown: Shown) -> str:
    return " to ".join(shown.length_m(mm / 1e3) for mm in range_mm)


def _peen(made: Plan, job: Job, shown: Shown) -> list[Line]:
    bead, steel, bit = job.bead, row("beads", "B10"), row("beads", "B11")
    # Of the processes only a covered stick leaves slag.
    begin = "Slag off, then many" if job.filler.process == "111" else "Many"
    low, high = (shown.temp_c(at_c) for at_c in steel.values["temperature_c"])
    return [
        entry(job, "bead.peen", "peen for", shown.duration(bead.peen_s)),
        entry(job, "bead.peen_within", "peen within", shown.duration(bead.peen_within_s)),
        red(made, job, shown),
        Step(
            f"{begin} light, overlapping blows with a rounded tool, on the weld metal "
            "only; stop when it no longer dents. Too late is left out, never made up cold.",
            PRACTICE,
        ),
        told(row("beads", "B08")),
        told(row("beads", "B09")),
        published(steel, "steel is peened at", f"{low} to {high}"),
        Step(
            "Steel is peened when it is only warm, iron while it is red: two practices, and no "
            "middle between them.",
            by(steel) + by(row("beads", "B09")),
        ),
        published(bit, "hammer bit", f"{_lengths(bit.values['bit_mm'], shown)}, half-round"),
        published(row("beads", "B12"), "peening lasts", _span(job, shown)),
        entry(job, "bead.peen_runs", "runs peened", bead.peen_runs),
        Step(_views(job), by(steel) + by(row("beads", "B09"))),
    ]


def _span(job: Job, shown: Shown) -> str:
    least_s, most_s = row("beads", "B12").values["peen_s"]
    return f"{shown.duration(least_s)} to {shown.duration(most_s)}"


def _views(job: Job) -> str:
    left = unpeened_runs(job)
    numbers = " and ".join(str(run) for run in left)
    told_here = f"Here run {numbers} is left" if len(left) == 1 else f"Here runs {numbers} are left"
    both = (
        "On steel bridges root and last run are not peened; shop texts on iron make no exception."
    )
    return f"{both} {told_here if left else 'Here all are peened'}."
