"""After the last bead: hold, burial, the wait, fire watch, and the looks at what came out.

A hold at the preheat target evens the heat out and relieves nothing; a limit of the cooling
rate is a furnace's (rows S04, R22). Nothing found in a look says that the repair is sound.
"""

from __future__ import annotations

from collections.abc import Iterator

from pacer.job.cover import amount, least_layer_m
from pacer.job.job import Job
from pacer.job.plan import Plan
from pacer.job.sheet.making import PRACTICE, by, entry, fact, published, told
from pacer.job.sheet.records import Entry, Line, Step
from pacer.trade.rows import row
from pacer.units import Shown

BURIED = ("dry sand", "vermiculite", "ceramic blanket")
_FT2_PER_M2 = 1.0 / 0.3048**2


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return what follows the last bead, in its order."""
    return (
        *_hold(job, shown),
        *_cover(job, shown),
        *_burying(job),
        *_cooling(made, job, shown),
        *_rate(job, shown),
        *_fire_watch(shown),
        *_looks(job, shown),
    )


def _hold(job: Job, shown: Shown) -> Iterator[Line]:
    if job.method == "cold":
        yield Step("No hold and no post-heat: the part was never hot all through.", PRACTICE)
    else:
        at = shown.temp_c(job.postheat.temperature_c)
        yield entry(job, "postheat.temperature", "equalising hold", at)
        yield entry(job, "postheat.hold", "hold it for", shown.duration(job.postheat.hold_s))
    little = row("stress_relief", "S01")
    none_c, slow_c = little.values["no_use_c"], little.values["little_below_c"]
    what = "The hold evens the heat out; it is no stress relief" if job.method == "hot" else ""
    yield Step(
        f"{what or 'Stress is not relieved this way'}: holding at {shown.temp_c(none_c)} relieves "
        f"nothing, and relief is very slow below {shown.temp_c(slow_c)}.",
        by(little),
    )
    yield from _stress_relief(job, shown)


def _stress_relief(job: Job, shown: Shown) -> Iterator[Line]:
    """What a furnace does where relief is wanted: every source's own figure."""
    yield Step("Where stress relief is wanted it is a furnace's work, by these figures.")
    ductile = job.part.metal == "ductile iron"
    lexicon = row("stress_relief", "S05")
    if ductile:
        for word, label in (
            ("ductile_ferritic_c", "ferritic"),
            ("ductile_pearlitic_c", "pearlitic"),
        ):
            yield published(lexicon, f"relief, {label}", _span_c(lexicon.values[word], shown))
    else:
        plain = row("stress_relief", "S02")
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
    by_wall = row("stress_relief", "S08")
    wall_mm = job.part.wall_m * 1e3
    hold = shown.duration(by_wall.values["hold_s_per_mm"] * wall_mm)
    yield published(by_wall, "hold by wall", f"{hold} for {shown.length_m(job.part.wall_m)}")
    heating, cooling = row("stress_relief", "S03"), row("stress_relief", "S04")
    yield published(heating, "furnace heats at", _span_rate(heating.values["heating_c_h"], shown))
    to = _span_c(cooling.values["to_c"], shown)
    rate = _span_rate(cooling.values["rate_c_h"], shown)
    yield published(cooling, "furnace cools at", f"{rate}, down to {to}")


def _cover(job: Job, shown: Shown) -> Iterator[Line]:
    cooldown = job.cooldown
    yield entry(job, "cooldown.cover", "cover", cooldown.cover)
    if cooldown.volume_m3 is not None:
        yield entry(job, "cooldown.volume", "box", shown.volume_m3(cooldown.volume_m3))
    if cooldown.thickness_m is not None:
        yield entry(job, "cooldown.thickness", "blanket", shown.length_m(cooldown.thickness_m))
    needed = amount(job)
    if needed is not None:
        low, high = (shown.mass_kg(mass_kg) for mass_kg in needed.mass_kg)
        if needed.area_m2 is None:
            what = f"{shown.volume_m3(needed.medium_m3)}, {low} to {high}"
            layer = shown.length_m(needed.layer_m)
            why = f"the box less the iron; it leaves {layer} on every side; {by(needed.row)}"
            yield Entry("cover needed", what, "computed", why, "cooldown.volume")
            yield from _layer(needed.layer_m, shown)
        else:
            why = f"all turns together, without overlaps; {low} to {high}; {by(needed.row)}"
            area = _area(needed.area_m2, shown)
            yield Entry("cover needed", area, "computed", why, "cooldown.thickness")
    for key, label in (("cooldown.medium", "medium"), ("cooldown.draught", "air about it")):
        given = fact(job, key, label)
        if given is not None:
            yield given
    yield entry(job, "cooldown.ambient", "shop", shown.temp_c(cooldown.ambient_c))


def _layer(layer_m: float, shown: Shown) -> Iterator[Line]:
    least, least_m = row("covers", "depth"), least_layer_m()
    yield published(least, "layer at least", shown.length_m(least_m))
    if layer_m < least_m:
        yield Step(
            f"The box is small: it leaves {shown.length_m(layer_m)} on every side. "
            "Take a larger one.",
            by(least),
            "decide",
        )


def _area(area_m2: float, shown: Shown) -> str:
    if shown.system == "us":
        return f"{area_m2 * _FT2_PER_M2:.2g} ft²"
    return f"{area_m2:.2g} m²"


def _burying(job: Job) -> Iterator[Step]:
    slow = row("stress_relief", "S09")
    if job.cooldown.cover == "still air":
        yield Step("Let it cool in still air: no draught, no water, no air blast.", by(slow), "do")
        return
    if job.cooldown.cover == "furnace":
        yield Step("Leave it in the furnace, shut, and let the furnace cool it.", PRACTICE, "do")
        return
    yield Step("Have the hole ready before the last bead: box, cover and room.", PRACTICE, "do")
    if job.cooldown.cover != "ceramic blanket" and job.facts.get("cooldown.medium") != "warm":
        yield Step(
            "Warm the medium if you can: better than cold. Dry it must be.",
            by(row("repair", "R21")),
            "do",
        )
    yield Step(
        "Probe in before the part is covered, at the thickest place, the slowest to cool. "
        "Elsewhere the finish is told too early.",
        PRACTICE,
        "do",
    )
    yield Step(
        "Cover it at once on all sides, and leave it: no draught, no water, no air blast.",
        by(slow),
        "do",
    )
    yield Step(
        "Put up a card: HOT, with the time the cool-down ends. Do not move it, do not uncover it.",
        PRACTICE,
        "do",
    )


def _cooling(made: Plan, job: Job, shown: Shown) -> Iterator[Line]:
    cooldown, forecast = job.cooldown, made.cooldown_s
    buried = cooldown.cover in BURIED
    if forecast.value > 0.0:
        high = "no bound" if forecast.high is None else shown.duration(forecast.high)
        yield Entry(
            "cool-down",
            shown.duration(forecast.value),
            "computed",
            f"{shown.duration(forecast.low)} to {high}: 80 % interval before any reading, "
            "not checked against measured castings",
        )
    until = shown.temp_c(cooldown.until_c)
    yield entry(job, "cooldown.until", "stays buried until" if buried else "cools until", until)
    hands = row("burns", "T03")
    yield published(hands, "bare hands below", shown.temp_c(hands.values["temp_c"]))
    where = "Cover and thick parts" if buried else "Thick parts"
    yield Step(f"That is {until} at the probe. {where} can be hotter.")
    apart = row("repair", "R23")
    yield published(apart, "places may differ", shown.temp_dc(apart.values["spread_dc"]))
    yield Step(
        "What matters most is that no place runs ahead: watch the spread before the rate.",
        by(apart),
    )


def _rate(job: Job, shown: Shown) -> Iterator[Line]:
    limit = job.cooldown.max_rate_c_h
    if limit is not None:
        yield entry(job, "cooldown.max_rate", "greatest rate", shown.rate_c_h(limit))
        yield Step(
            f"It is checked above {shown.temp_c(150.0)}, on half-hour means, "
            "and not in the first quarter of an hour after covering.",
        )
    if job.cooldown.cover in ("dry sand", "vermiculite"):
        fast = row("repair", "R22")
        word = job.cooldown.cover.replace(" ", "_")
        yield published(
            fast,
            f"at first, in {job.cooldown.cover.removeprefix('dry ')}",
            _span_rate(fast.values[f"{word}_c_h"], shown),
        )
        furnace = _span_rate(row("stress_relief", "S04").values["rate_c_h"], shown)
        yield Step(
            f"A furnace's {furnace} is no limit for a burial: every burial begins faster.",
            by(fast),
        )


def _fire_watch(shown: Shown) -> Iterator[Line]:
    watch = row("cautions", "fire watch")
    yield published(watch, "fire watch", f"{shown.duration(watch.values['watch_s'])} or more")
    yield Step(
        "Fire watch from the last arc or flame, breaks included; some codes ask for longer. "
        "The hot box can set things on fire for hours.",
        by(watch),
        "do",
    )


def _looks(job: Job, shown: Shown) -> Iterator[Step]:
    cool, kerosene, later = row("penetrant", "N14"), row("penetrant", "N13"), row("repair", "R24")
    low, high = (shown.temp_c(temp_c) for temp_c in cool.values["temp_c"])
    yield Step(
        "Look: cracks in the weld, at its edge, in the iron beside it, in craters, at stop holes "
        "and tacks; pinholes; the back.",
        PRACTICE,
        "do",
    )
    yield Step(f"Penetrant only once it is between {low} and {high}.", by(cool), "do")
    yield Step(
        "Tap it: a clear ring against a dull one, compared with before or with a sound part.",
        PRACTICE,
        "do",
    )
    yield Step(
        "Where it has to hold liquid: kerosene on one side, chalk on the other. It wets through "
        "a weld that is slightly porous.",
        by(kerosene),
        "do",
    )
    yield Step(
        "Grind where it has to fit, then look again: judge each pinhole, open and weld it or "
        "leave it.",
        PRACTICE,
        "do",
    )
    if job.joint.access == "both sides":
        yield Step("Look at the back: where it is not sound, open it and weld it.", PRACTICE, "do")
    yield Step(
        "A proof load, if any: load and lever arm written down, people out of the way. "
        "It is never a rating.",
        PRACTICE,
        "do",
    )
    yield Step("Enter what was found: pacer inspect.", mark="do")
    yield told(later, "do")
    yield Step("A crack found on any later day is entered with: pacer outcome.")


def _span_c(ends_c: list[float], shown: Shown) -> str:
    return " to ".join(shown.temp_c(temp_c) for temp_c in ends_c)


def _span_rate(ends_c_h: list[float], shown: Shown) -> str:
    return " to ".join(shown.rate_c_h(rate_c_h) for rate_c_h in ends_c_h)
