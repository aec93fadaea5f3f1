"""Hot or cold: what the chosen method needs, what the other would ask.

They are two methods (row D03), each with limits of its own, and never mixed. The waiting
that cold welding means is computed from the part's loss to still air; so is that of a hot
job welded cold instead, as far as the shop is cool enough for it.
"""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from pacer.job.file.fill import COLD_CEILING_C
from pacer.job.forecast import Forecast
from pacer.job.job import Band, Job
from pacer.job.plan import Plan
from pacer.job.sheet.making import PRACTICE, by, disagreeing, entry, published, told
from pacer.job.sheet.records import Entry, Line, Step
from pacer.job.walk import wait_time
from pacer.trade.rows import row
from pacer.units import Shown

_NEXT_ARC_M = 0.025
"Where the cold method's ceiling is looked at: so far from the joint, where the next arc is."
_STILL_COOLS_DC = 10.0
"Above the shop; below that iron hardly cools (row C10)."


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return the method, what it needs, and what the other one would mean."""
    found = _hot(made, job, shown) if job.method == "hot" else _cold(made, job, shown)
    return (
        entry(job, "job.method", "method", job.method),
        *disagreeing("D03", shown),
        Step("No change half-way without a new plan.", PRACTICE),
        *found,
        *_stopping(job),
    )


def _hot(made: Plan, job: Job, shown: Shown) -> Iterator[Line]:
    yield Step(
        "Hot: the whole part is heated evenly, stays between floor and ceiling until the last "
        "bead, and cools slowly under its cover.",
    )
    yield Step(
        "The burner is off and away before the arc. "
        "Way clear, gloves, tongs and a place ready before the hot part is moved.",
        PRACTICE,
        "do",
    )
    floor_c = job.band.floor_c
    yield Entry(
        "reheats",
        f"{made.reheats.value:.0f} times",
        "computed",
        f"{_counts(made.reheats)} down to the floor"
        + (f" of {shown.temp_c(floor_c)}" if floor_c is not None else "")
        + "; each a pause with the burner on",
    )
    wait = _cold_wait(job)
    if wait is None:
        yield Step(
            "Cold instead: the shop is too warm for it, iron near the shop's temperature hardly "
            "cools.",
            by(row("preheat", "C10")),
        )
        return
    yield Entry(
        "cold instead",
        f"{shown.duration(wait.value)} a bead",
        "computed",
        f"{_span(wait, shown)} of waiting from one bead to the next at a ceiling of "
        f"{shown.temp_c(COLD_CEILING_C)}, some {shown.duration(wait.value * made.beads)} for "
        f"{made.beads} beads; from the loss in still air",
    )
    yield Step(
        "Cold would ask for short beads far from each other, the least current, and that waiting. "
        "It needs no heat, no cover, and warps least.",
        PRACTICE,
    )


def _cold(made: Plan, job: Job, shown: Shown) -> Iterator[Line]:
    yield entry(job, "band.ceiling", "ceiling", shown.temp_c(job.band.ceiling_c))
    for name, label in (("W18", "one page says"), ("B13", "said in shops")):
        said = row("preheat", name)
        yield published(said, label, shown.temp_c(said.values["interpass_max_c"]))
    yield Step(
        f"The ceiling holds where the next arc is, {shown.length_m(_NEXT_ARC_M)} from the joint. "
        "A probe elsewhere says less.",
        PRACTICE,
    )
    yield Entry(
        "waiting",
        f"{shown.duration(made.wait_s.value)} a bead",
        "computed",
        f"{_span(made.wait_s, shown)} from one bead to the next once the part is at the ceiling; "
        "from the part's loss in still air",
    )
    yield Entry(
        "session with it",
        shown.duration(made.session_s.value),
        "computed",
        f"{_span(made.session_s, shown)} from the first bead to covering the part; "
        f"the arc itself burns for {shown.duration(made.arc_time_s)} of it",
    )
    yield from _cold_rules(job, shown)
    yield Step(
        "Hot would ask for the whole part heated evenly and kept between a floor and a ceiling "
        "until the last bead, then a slow cool-down under cover. "
        "It has hardly any waits, and needs the heat for it.",
        PRACTICE,
    )


def _cold_rules(job: Job, shown: Shown) -> Iterator[Line]:
    short, thin = row("beads", "B02"), row("beads", "B03")
    inch_m, half_inch_m = (one.values["length_mm"] / 1000.0 for one in (short, thin))
    yield Step(
        f"Beads of {shown.length_m(half_inch_m)} (very thin castings) to {shown.length_m(inch_m)}, "
        "the smallest rod, the least current.",
        by(short) + by(thin),
        "do" if job.bead.length_m <= inch_m + 1e-6 else "decide",
    )
    yield Step(
        "Each next bead goes on a cool place far from the last one; peen each at once.",
        PRACTICE,
        "do",
    )
    yield Step("Never a fan, never water.", by(row("preheat", "W18")), "do")
    bare = row("burns", "T03")
    yield Step(
        f"Go by the probe. No touch test above {shown.temp_c(bare.values['temp_c'])}: "
        '"a hand can rest on it" is a rule that burns when the iron is hotter than it looks.',
        by(bare),
    )
    yield Step("No preheat, no floor, no reheat.")
    yield from _said_of_cold(job, shown)


def _said_of_cold(job: Job, shown: Shown) -> Iterator[Step]:
    """Whether iron may be welded cold: the sources' words, each for the metal it is about."""
    allows, forbids = row("preheat", "W36"), row("preheat", "W21")
    metal = job.part.metal
    if metal in ("grey iron", "unknown"):
        yield told(allows, shown=shown)
        yield told(forbids, shown=shown)
        yield Step("These two disagree about welding grey iron cold; the choice is yours.")
        return
    if metal.endswith("iron"):
        yield told(forbids, shown=shown)
    yield Step(f"What is said of the preheat of {metal} stands under Temperatures.")


def _stopping(job: Job) -> Iterator[Step]:
    """What a pause of the work means, short, long or over night."""
    if job.method == "hot":
        kept = row("measuring", "M05")
        yield Step("A short stop: keep it warm; the floor holds meanwhile too.", by(kept))
        yield Step(
            "A long stop: bury it at once. A half-filled crack is never left to cool in the open.",
            PRACTICE,
        )
        again = "the full preheat and soak once more, and a"
    else:
        yield Step("A stop harms nothing as long as the part stays dry.", PRACTICE)
        again = "a"
    yield Step(
        f"Going on another day: check the preparation again, {again} look for new cracks.",
        PRACTICE,
    )


def _cold_wait(job: Job) -> Forecast | None:
    """Return the wait between the same beads in the cold method; None in too warm a shop."""
    if COLD_CEILING_C - job.cooldown.ambient_c < _STILL_COOLS_DC:
        return None
    band = Band(None, None, COLD_CEILING_C, soak_s=0.0, deadband_dc=job.band.deadband_dc)
    return wait_time(msgspec.structs.replace(job, method="cold", band=band))


def _span(forecast: Forecast, shown: Shown) -> str:
    high = "no bound" if forecast.high is None else shown.duration(forecast.high)
    return f"{shown.duration(forecast.low)} to {high}"


def _counts(forecast: Forecast) -> str:
    low, high = round(forecast.low), round(forecast.high or forecast.value)
    return f"{low}" if low == high else f"{low} to {high}"
