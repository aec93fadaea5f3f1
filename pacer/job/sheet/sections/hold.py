"""The hold after the last bead: by its temperature an equalising hold or a stress relief.

What relieves stress is told by the metal's own rows; where they differ about the job's
temperature both are shown. Nothing here says that a stress was relieved: it isn't measured.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from pacer.job.job import Job
from pacer.job.sheet.making import PRACTICE, by, entry, published, side_source
from pacer.job.sheet.records import Line, Step
from pacer.trade.gaps import sides
from pacer.trade.rows import row
from pacer.trade.wording import reworded
from pacer.units import Shown

Hold = Literal["none", "equalising", "disputed", "stress relief", "unknown"]
"""`disputed`: some sources relieve at this temperature, others say it does little; `unknown`: it is
hot, and no row is about this metal."""

_LITTLE = row("stress_relief", "S01").values["little_below_c"]
_FOUNDRY = row("stress_relief", "S06").values
_LEXICON = row("stress_relief", "S05").values
_DUCTILE = ("ductile_ferritic_c", "ductile_pearlitic_c")
_GREY = ("grey iron", "unknown")
NAMES: dict[Hold, str] = {
    "none": "hold",
    "equalising": "equalising hold",
    "disputed": "hold",
    "stress relief": "stress-relief hold",
    "unknown": "hold",
}
BRIEFLY: dict[Hold, str] = {
    "none": "",
    "equalising": "no stress relief",
    "disputed": "whether it relieves stress: sources differ",
    "stress relief": "in the range of stress relief",
    "unknown": "whether it relieves stress is not known here",
}


def kind_of_hold(job: Job) -> Hold:
    """Return what the hold is by its temperature: rows S01, S05, S06 for the irons they know."""
    if job.method == "cold" or job.postheat.hold_s <= 0.0:
        return "none"
    at_c = job.postheat.temperature_c
    least_c, sure_c = _limits_c(job.part.metal)
    if at_c < least_c:
        return "equalising"
    if job.part.metal not in (*_GREY, "ductile iron"):
        return "unknown"
    return "stress relief" if at_c >= sure_c else "disputed"


def _limits_c(metal: str) -> tuple[float, float]:
    """Where the first source begins to relieve, and from where none that is kept here differs."""
    if metal == "ductile iron":
        starts = [_LEXICON[name][0] for name in _DUCTILE]
        return min(starts), max(*starts, row("preheat", "W07").values["relief_c"][0])
    return _FOUNDRY["relief_c"][0], _LITTLE


def hold(job: Job, shown: Shown) -> Iterator[Line]:
    """Yield the hold with what it does, then what a stress relief takes."""
    kind = kind_of_hold(job)
    if job.method == "cold":
        yield Step("No hold and no post-heat: the part was never hot all through.", PRACTICE)
    else:
        at = shown.temp_c(job.postheat.temperature_c)
        yield entry(job, "postheat.temperature", NAMES[kind], at)
        yield entry(job, "postheat.hold", "hold it for", shown.duration(job.postheat.hold_s))
    yield from _does(kind, job, shown)
    yield from _relief(job, shown)


def _does(kind: Hold, job: Job, shown: Shown) -> Iterator[Step]:
    little, foundry = row("stress_relief", "S01"), row("stress_relief", "S06")
    none_c, slow_c = little.values["no_use_c"], little.values["little_below_c"]
    at = shown.temp_c(job.postheat.temperature_c)
    if kind in ("none", "equalising"):
        what = (
            "Stress is not relieved this way"
            if kind == "none"
            else "The hold evens the heat out; it is no stress relief"
        )
        yield Step(
            f"{what}: holding at {shown.temp_c(none_c)} relieves nothing, and relief is very slow "
            f"below {shown.temp_c(slow_c)}.",
            by(little),
        )
        return
    if kind == "unknown":
        yield Step(f"Whether a hold at {at} relieves {job.part.metal} is not known here.")
        return
    if kind == "disputed":
        yield Step(
            f"At {at} the sources below differ whether stress is relieved. Decide by the metal.",
            by(row("stress_relief", "S05")) + (() if _ductile(job) else by(little) + by(foundry)),
            "decide",
        )
    else:
        yield Step(
            f"At {at} the hold is stress relief by the figures below, a heat treatment after "
            "welding. What it took out is not measured.",
            by(row("preheat", "W07")) if _ductile(job) else by(little) + by(foundry),
        )
    yield from _in_a_furnace(job, shown)


def _in_a_furnace(job: Job, shown: Shown) -> Iterator[Step]:
    little, foundry = row("stress_relief", "S01"), row("stress_relief", "S06")
    least_s = foundry.values["hold_s"][0]
    if not _ductile(job) and job.postheat.hold_s < least_s:
        yield Step(
            f"{shown.duration(job.postheat.hold_s)} is shorter than a foundry's "
            f"{shown.duration(least_s)}; relief is fastest in the first "
            f"{shown.duration(little.values['fastest_s'])}.",
            by(foundry) + by(little),
            "decide",
        )
    if job.cooldown.cover != "furnace":
        yield Step(
            f"It is to cool in {job.cooldown.cover}: that is faster than in a furnace, which "
            "leaves less stress.",
            by(little),
            "decide",
        )


def _ductile(job: Job) -> bool:
    return job.part.metal == "ductile iron"


def _relief(job: Job, shown: Shown) -> Iterator[Line]:
    """What a furnace does where relief is wanted: every source's own figure."""
    metal = job.part.metal
    if not (_ductile(job) or metal in _GREY):
        yield Step(f"No published figures of stress relief for {metal} are kept here.")
        return
    yield Step("Where stress relief is wanted it is a furnace's work, by these figures.")
    yield from _ductile_relief(shown) if _ductile(job) else _grey_relief(shown)
    by_wall = row("stress_relief", "S08")
    wall_mm = job.part.wall_m * 1e3
    held = shown.duration(by_wall.values["hold_s_per_mm"] * wall_mm)
    yield published(by_wall, "hold by wall", f"{held} for {shown.length_m(job.part.wall_m)}")
    heating, cooling = row("stress_relief", "S03"), row("stress_relief", "S04")
    yield published(heating, "furnace heats at", span_rate(heating.values["heating_c_h"], shown))
    to = _span_c(cooling.values["to_c"], shown)
    rate = span_rate(cooling.values["rate_c_h"], shown)
    yield published(cooling, "furnace cools at", f"{rate}, down to {to}")
    differ = row("disagreements", "D07")
    for side in sides(differ)[1:]:
        yield Step(f"Or: {reworded(side.says, shown)}.", (side_source(differ, side),))


def _ductile_relief(shown: Shown) -> Iterator[Line]:
    lexicon, institute = row("stress_relief", "S05"), row("preheat", "W07")
    for word, label in zip(_DUCTILE, ("ferritic", "pearlitic"), strict=True):
        yield published(lexicon, f"relief, {label}", _span_c(lexicon.values[word], shown))
    at = _span_c(institute.values["relief_c"], shown)
    yield published(institute, "relief, institute", at, "then slow cooling")


def _grey_relief(shown: Shown) -> Iterator[Line]:
    plain, lexicon = row("stress_relief", "S02"), row("stress_relief", "S05")
    yield published(plain, "relief", shown.temp_c(plain.values["relief_c"][0]))
    yield published(lexicon, "relief, lexicon", _span_c(lexicon.values["relief_c"], shown))
    held = row("stress_relief", "S06")
    hours = " to ".join(shown.duration(hold_s) for hold_s in held.values["hold_s"])
    at = _span_c(held.values["relief_c"], shown)
    yield published(held, "relief, foundry", f"{at} for {hours}")
    overlap = row("stress_relief", "D06")
    yield published(overlap, "where they agree", _span_c(overlap.values["relief_c"], shown))
    most_c = held.values["relief_c"][1]
    yield Step(f"Above {shown.temp_c(most_c)} grey iron loses strength.", by(held))


def _span_c(ends_c: list[float], shown: Shown) -> str:
    return " to ".join(shown.temp_c(temp_c) for temp_c in ends_c)


def span_rate(ends_c_h: list[float], shown: Shown) -> str:
    """Return a range of rates, given in K/h, in the user's unit."""
    return " to ".join(shown.rate_c_h(rate_c_h) for rate_c_h in ends_c_h)
