"""Temperatures: the band, what published pages say beside it, where and when to measure."""

from __future__ import annotations

from typing import Any

from pacer.job.job import Job
from pacer.job.measuring import SHOWS_BEADS_M, iso13916, wait_s
from pacer.job.plan import Plan
from pacer.job.sheet.making import (
    MEMORY,
    PRACTICE,
    by,
    entry,
    fact,
    published,
    sentence,
    side_source,
)
from pacer.job.sheet.records import Entry, Line, Source, Sources, Step
from pacer.job.sheet.sections.circuit import circuit
from pacer.job.sheet.sections.filler import kind_of
from pacer.text import clean
from pacer.trade.gaps import means, sides
from pacer.trade.rows import Row, row
from pacer.trade.wording import about, reworded
from pacer.units import Shown

EVEN_SHARE = 0.5
"Of floor to ceiling: places that far apart count as even, as the session has it."
_GREY = ("W13", "W14", "W15", "W16", "W17", "W20", "W30", "W33", "W37", "W21")
_METALS: dict[str, tuple[str, ...]] = {
    "grey iron": _GREY,
    "unknown": _GREY,
    "ductile iron": ("W04", "W05", "W06", "W31", "W34"),
    "malleable iron": ("W11", "W09", "W10", "W32", "W35"),
    "white iron": ("W08",),
}
_NICKEL_IRON = "W19"
_MODELS: Sources = (Source("calculated", "our heat models, not a measured casting"),)
_BURNS = frozenset({"gas grill", "torch"})


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return the band, its sources, the places and the heating, each with where it is from."""
    return (
        *_band(job, shown),
        *_sources(job, shown),
        *_places(job, shown),
        *(_evenness(job, shown) if job.method == "hot" else ()),
        *(_heating(job, shown) if job.method == "hot" else ()),
    )


def _band(job: Job, shown: Shown) -> list[Line]:
    band, lines = job.band, list[Line]()
    if band.preheat_c is not None and band.floor_c is not None:
        lines = [
            entry(job, "band.preheat", "preheat target", shown.temp_c(band.preheat_c)),
            entry(job, "band.floor", "floor", shown.temp_c(band.floor_c)),
        ]
    lines.append(entry(job, "band.ceiling", "ceiling", shown.temp_c(band.ceiling_c)))
    if job.method == "hot":
        lines.append(entry(job, "band.soak", "soak", shown.duration(band.soak_s)))
    lines.append(entry(job, "band.deadband", "dead-band", shown.temp_dc(band.deadband_dc, 1)))
    if job.method == "cold":
        lines.append(
            Step("What others say of this ceiling, and the cold method's rules: Hot or cold.")
        )
    return lines


def _sources(job: Job, shown: Shown) -> list[Line]:
    """The published ranges as they are: where they disagree nothing in the middle is invented.

    Those of the cold method's ceiling stand where the method is chosen; what a metal other
    than grey iron asks for, a preheat mostly, is said in the cold method too.
    """
    hot, metal = job.method == "hot", job.part.metal
    grey = metal in ("grey iron", "unknown")
    if not hot and grey:
        return []
    rows = [*_METALS.get(metal, ())]
    if hot and kind_of(job.filler.designation) == "nickel-iron":
        rows.append(_NICKEL_IRON)
    lines: list[Line] = []
    if grey:
        lines = _disagreeing(job, shown)
    elif not hot and metal in _METALS:
        lines = [
            Step(
                f"Without preheat: of {metal} these say what it asks for. Is cold right here?",
                mark="decide",
            )
        ]
    if metal not in _METALS:
        lines.append(Step(f"No published range for {metal} is kept here.", mark="decide"))
    return [*lines, *(_said(row("preheat", name), shown) for name in rows)]


def _disagreeing(job: Job, shown: Shown) -> list[Line]:
    chosen = job.origin.get("band.preheat") == "given"
    ours = "200, 260 and 300 °C are common practice without a source."
    gas = row("disagreements", "D02")
    return [
        Step(
            f"Sources disagree. {means(row('disagreements', 'D01'))} {reworded(ours, shown)}",
            mark="say" if chosen else "decide",
        ),
        *(
            Entry(
                "gas fusion, not arc",
                reworded(side.says, shown, gas.as_published),
                "published",
                sources=(side_source(gas, side),),
            )
            for side in sides(gas)
        ),
    ]


def _said(fact: Row, shown: Shown) -> Line:
    """A row's range as a value, or its words where it has none."""
    metric = _metric(fact.values)
    if not metric:
        return _words(fact, shown)
    # As the source printed it, where that was in the user's units.
    value = reworded(metric, shown, fact.as_published)
    note = about(fact, shown).removesuffix(f": {value}")
    return published(fact, fact.id, value, note.replace(f"{value} for", "for"))


def _metric(known: dict[str, Any]) -> str:
    if "nickel_max_c" in known:
        return ""
    if "preheat_c" in known:
        low_c, high_c = known["preheat_c"]
        return f"{low_c:g} °C" if low_c == high_c else f"{low_c:g} to {high_c:g} °C"
    if "least_c" in known:
        return f"at least {known['least_c']:g} °C"
    if "avoid_c" in known:
        low_c, high_c = known["avoid_c"]
        return f"not between {low_c:g} and {high_c:g} °C"
    if "interpass_max_c" in known:
        return f"at most {known['interpass_max_c']:g} °C"
    return ""


def _words(fact: Row, shown: Shown) -> Step:
    return Step(sentence(about(fact, shown)), by(fact))


def _places(job: Job, shown: Shown) -> list[Line]:
    """The standard's place beside the one that shows the beads: two different aims."""
    asked, m01 = iso13916(job.part.wall_m), "by ISO 13916 clause 4.1 for this wall"
    face = "on the face towards the welder, from the groove's edge"
    near, far = (shown.length_m(at_m) for at_m in SHOWS_BEADS_M)
    heat = row("disagreements", "D11")
    if asked.distance_m is not None:
        at = shown.length_m(asked.distance_m)
        place = published(row("measuring", "M01"), "measure at", at, f"{face}; {m01}")
    else:
        band = shown.length_m(asked.band_m or 0.0)
        why = f"{m01}: the temperature must exist so far in any direction"
        place = published(row("measuring", "M02"), "hot all round for", band, why)
    return [
        place,
        Entry(
            "a bead shows at",
            f"{near} to {far}",
            "computed",
            "where a sensor sees best what each bead adds: another aim, so both are shown",
        ),
        *(
            Step(
                f"Or where the heat must be: {reworded(side.says, shown, heat.as_published)}.",
                (side_source(heat, side),),
            )
            for side in sides(heat)[1:]
        ),
        entry(job, "sensor.url", "sensor", clean(job.sensor.url)),
        entry(job, "sensor.distance", "sensor from joint", shown.length_m(job.sensor.distance_m)),
        *_sensor(job),
        *circuit(job, shown),
    ]


def _sensor(job: Job) -> list[Line]:
    """What the job file says of the sensor's face and fixing, and what is said against it."""
    facts, lines = job.facts, list[Line]()
    for key, label in (("sensor.face", "sensor's face"), ("sensor.fixing", "sensor's fixing")):
        given = fact(job, key, label)
        if given is not None:
            lines.append(given)
    face, standard = facts.get("sensor.face"), by(row("measuring", "M01"))
    if face in ("opposite face", "edge"):
        text = (
            f"The standard's place is on the face towards the welder, not on the {face}: that "
            "reads otherwise, above all soon after a bead."
        )
        if face == "opposite face":
            # While a flame heats it, the same standard is remembered to ask for this very face.
            text += " While it is heated the face away from the heat is asked for."
            standard += by(row("measuring", "M07"))
        lines.append(Step(text, standard + PRACTICE, "decide"))
    if "magnet" in facts.get("sensor.fixing", "").casefold():
        lines.append(
            Step(
                "Magnets hold badly hot and where it is peened: a clamp or a screw is better.",
                MEMORY + PRACTICE,
                "decide",
            )
        )
    return lines


def _evenness(job: Job, shown: Shown) -> list[Line]:
    band = job.band
    assert band.floor_c is not None
    spread = shown.temp_dc(EVEN_SHARE * (band.ceiling_c - band.floor_c))
    points = job.heating.points
    lines: list[Line] = [
        entry(
            job, "heating.points", "places checked", f"{points} place{'s' if points > 1 else ''}"
        ),
        Entry("even within", spread, "default", "half of floor to ceiling", sources=PRACTICE),
        Step(
            "Measure the thickest place, the farthest and the back. The soak starts when the "
            "coldest known place is at the floor, and ends when time and evenness are met."
        ),
    ]
    if job.heating.source in _BURNS:
        wait = shown.duration(wait_s(job.part.wall_m))
        lines.append(published(row("measuring", "M07"), "wait before reading", wait))
    return lines


def _heating(job: Job, shown: Shown) -> list[Line]:
    source = job.heating.source
    grill, torch = (shown.temp_dc(spread_dc) for spread_dc in (19.0, 200.0))
    notes: dict[str, tuple[str, Sources]] = {
        "torch": (
            f"A torch leaves the worst spread, {torch} in simulation where a grill left {grill}: "
            "keep it moving, soak, measure.",
            _MODELS,
        ),
        "gas grill": (
            f"A grill heats evenly, {grill} of spread in simulation; the lid shut, the part raised.",
            _MODELS + PRACTICE,
        ),
        "oven": (
            "Out of the oven in trips: way clear, place ready. Tell the session when it is out "
            "and back; it calls for putting it back when the floor comes near.",
            PRACTICE,
        ),
        "hot plate": (
            "Left on or off while welding: either holds, so long as the readings say so.",
            PRACTICE,
        ),
    }
    lines: list[Line] = [
        entry(job, "heating.with", "heated with", source),
        Step(*notes[source]),
    ]
    lines += [
        Step("Wrapping or unwrapping it changes its losses: tell the session.", PRACTICE),
        Step(
            "No limit is set to the heating rate: the published one is for a furnace, and a "
            "grill passes it.",
            by(row("stress_relief", "S03")),
        ),
    ]
    return lines
