"""The beads of the plan: how many, in which layers, in what order and way, and their peening."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence

from pacer.job.file.checks import THIN_WALL_M
from pacer.job.groove import section_range_m2
from pacer.job.job import Job
from pacer.job.layers import WIDE_TO_THICK, Layer, bead_size_m, layers, unpeened_runs
from pacer.job.order import LocalHeat, local_heat, rule, simple_order, way_of
from pacer.job.plan import Plan
from pacer.job.sheet.making import PRACTICE, by, entry, published, quoted, sentence, some, told
from pacer.job.sheet.records import Entry, Line, Source, Sources, Step
from pacer.job.sheet.sections.arc import red
from pacer.job.sheet.sections.joint import area
from pacer.job.sheet.shapes.crack_map import map_drawing
from pacer.job.walk import beat_s
from pacer.trade.rows import row
from pacer.units import Shown

OUR_CHOICE: Sources = (Source("our choice, no source"),)
_PLACES_SHOWN = 24


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return counts, layers, order with its map and rule, local heat, one bead and its peening."""
    return (
        *_counts(made, job, shown),
        *_layers(job),
        *_order(job, shown),
        *_local(job, shown),
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
            f"{made.beads}, likely {low} to {high}" if low < high else f"{made.beads}",
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
    if job.joint.butter and not any(it.name == "butter" for it in made):
        found.append(Step("Too few runs to coat the faces first: the groove is too small for it."))
    if job.joint.access == "both sides":
        found += _both_sides(sides=sides)
    found.append(
        Step(
            "Runs of one layer lie offset from those below; each stop is covered by the next bead "
            "or ground.",
            PRACTICE,
        )
    )
    return found


def _both_sides(*, sides: bool) -> list[Line]:
    turned = (
        "At each turn: the part burns, the stand is ready, the sensor is fixed anew, G tells it."
    )
    found: list[Line] = [
        Step(f"{turned} Turned about the joint's length, left stays left.", PRACTICE)
    ]
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


def _local(job: Job, shown: Shown) -> list[Line]:
    heat, plan, way = local_heat(job), job.plan, way_of(job)
    if plan.order == simple_order(plan.places, way):
        why = "The rule's plain order: no other it allows is clearly cooler."
    else:
        why = "Of the orders that the rule leaves, one that keeps the hottest place coolest."
    found: list[Line] = [Step(why, OUR_CHOICE)]
    if heat is None:
        return found
    in_row = "left to right" if way == "to the edge" else "left to right, against the rule,"
    return [
        *found,
        Entry(
            "a place's excess",
            f"up to {shown.temp_dc(heat.rise_dc)}",
            "computed",
            f"above the part's mean just before its bead, a bead every "
            f"{shown.duration(beat_s(job))}; {in_row} {shown.temp_dc(heat.in_row_dc)}. Even plate, "
            "not measured",
        ),
        *_against_ceiling(job, heat, shown),
    ]


def _against_ceiling(job: Job, heat: LocalHeat, shown: Shown) -> list[Line]:
    band, over_dc = job.band, max(0.0, heat.over_sensor_dc)
    at_c = band.preheat_c if band.preheat_c is not None else band.ceiling_c
    what = "preheat target" if band.preheat_c is not None else "ceiling"
    return [
        Entry(
            "hottest place",
            shown.temp_c(at_c + over_dc),
            "computed",
            f"with the sensor at the {what}: up to {shown.temp_dc(over_dc)} above it, by the beads "
            "alone",
        ),
        Entry(
            "start beads below",
            shown.temp_c(band.ceiling_c - over_dc),
            "computed",
            f"on the sensor, to keep every place below the ceiling of "
            f"{shown.temp_c(band.ceiling_c)}",
        ),
    ]


def _one(job: Job, shown: Shown) -> list[Line]:
    bead = job.bead
    return [
        entry(job, "bead.length", "bead length", shown.length_m(bead.length_m)),
        *_lengths_published(job, shown),
        Entry("arc time", shown.duration(bead.planned_s), "computed", "length over travel"),
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
        found.append(published(thin, "length, thin wall", length))
    return [*found]


def _lengths(range_mm: Iterable[float], shown: Shown) -> str:
    return " to ".join(shown.length_m(mm / 1e3) for mm in range_mm)


def _peen(made: Plan, job: Job, shown: Shown) -> list[Line]:
    bead, steel, bit = job.bead, row("beads", "B10"), row("beads", "B11")
    low, high = (shown.temp_c(at_c) for at_c in steel.values["temperature_c"])
    return [
        entry(job, "bead.peen", "peen for", shown.duration(bead.peen_s)),
        entry(job, "bead.peen_within", "peen within", shown.duration(bead.peen_within_s)),
        red(made, job, shown),
        Step(
            "Slag off, then many light, overlapping blows with a rounded tool, on the weld metal "
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
