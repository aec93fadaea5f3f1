"""After the last bead: hold, burial, the wait, fire watch, and the looks at what came out.

A limit of the cooling rate is a furnace's (row S04): how fast a burial begins is computed of
this part, from where it is buried. Nothing found in a look says that
the repair is sound.
"""

from __future__ import annotations

from collections.abc import Iterator

from pacer.job.cover import Amount, Box, amount, least_layer_m
from pacer.job.first_rate import first_rate
from pacer.job.job import Job
from pacer.job.plan import Plan
from pacer.job.sheet.making import PRACTICE, by, entry, fact, published, told
from pacer.job.sheet.records import Entry, Line, Step
from pacer.job.sheet.sections.hold import hold, span_rate
from pacer.trade.rows import row
from pacer.units import Shown

BURIED = ("dry sand", "vermiculite", "ceramic blanket")
_FT2_PER_M2 = 1.0 / 0.3048**2
_MUCH_MORE = 1.1
"So many times what is needed is worth a word."


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return what follows the last bead, in its order."""
    return (
        *hold(job, shown),
        *_cover(job, shown),
        *_burying(job),
        *_cooling(job, shown),
        *_rate(job, shown),
        *_fire_watch(job, shown),
        *_looks(job, shown),
    )


def _cover(job: Job, shown: Shown) -> Iterator[Line]:
    cooldown = job.cooldown
    yield entry(job, "cooldown.cover", "cover", cooldown.cover)
    if cooldown.volume_m3 is not None:
        yield entry(job, "cooldown.volume", "box", shown.volume_m3(cooldown.volume_m3))
    if cooldown.thickness_m is not None:
        yield entry(job, "cooldown.thickness", "blanket", shown.length_m(cooldown.thickness_m))
    needed = amount(job)
    if needed is not None:
        yield cover_needed(needed, shown)
        if needed.box is not None:
            yield from _layer(needed.box, needed.medium_m3, shown)
    for key, label in (("cooldown.medium", "medium"), ("cooldown.draught", "air about it")):
        given = fact(job, key, label)
        if given is not None:
            yield given
    yield entry(job, "cooldown.ambient", "shop", shown.temp_c(cooldown.ambient_c))


def cover_needed(needed: Amount, shown: Shown) -> Entry:
    """Return how much of the cover it takes, loose or blanket."""
    low, high = (shown.mass_kg(mass_kg) for mass_kg in needed.mass_kg)
    if needed.area_m2 is None:
        what = f"{shown.volume_m3(needed.medium_m3)}, {low} to {high}"
        why = f"{shown.length_m(needed.layer_m)} on every side, the iron taken off"
        if needed.box is not None and needed.box.small:
            why += f"; the box of {shown.volume_m3(needed.box.volume_m3)} is too small"
        sources = (*by(row("covers", "depth")), *by(needed.row))
        return Entry("cover needed", what, "computed", why, "cooldown.volume", sources)
    why = f"all turns together, without overlaps; {low} to {high}"
    area = _area(needed.area_m2, shown)
    return Entry("cover needed", area, "computed", why, "cooldown.thickness", by(needed.row))


def _layer(box: Box, medium_m3: float, shown: Shown) -> Iterator[Line]:
    least = row("covers", "depth")
    yield published(least, "layer at least", shown.length_m(least_layer_m()))
    if box.small:
        yield Step(
            f"The box is small: it leaves {shown.length_m(box.layer_m)} on every side. "
            f"Take one of {shown.volume_m3(box.needed_m3)} or more.",
            by(least),
            "decide",
        )
    elif box.fill_m3 > _MUCH_MORE * medium_m3:
        full = shown.volume_m3(box.fill_m3)
        yield Step(f"To fill the box takes {full}; the forecasts take it full.")


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
    hot, loose = job.method == "hot", job.cooldown.cover != "ceramic blanket"
    yield Step("Have the hole ready before the last bead: box and cover.", PRACTICE, "do")
    if hot and loose and job.facts.get("cooldown.medium") != "warm":
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
        "Cover it at once and leave it: no draught, no water, no air blast.",
        by(slow),
        "do",
    )
    card = "HOT, with the time the cool-down ends" if hot else "when the cool-down ends"
    yield Step(f"Put up a card: {card}. Do not move it, do not uncover it.", PRACTICE, "do")


def _cooling(job: Job, shown: Shown) -> Iterator[Line]:
    cooldown = job.cooldown
    buried = cooldown.cover in BURIED
    until = shown.temp_c(cooldown.until_c)
    yield entry(job, "cooldown.until", "stays buried until" if buried else "cools until", until)
    hands = row("burns", "T03")
    yield published(hands, "bare hands below", shown.temp_c(hands.values["temp_c"]))
    where = "Cover and thick parts" if buried else "Thick parts"
    yield Step(f"That is {until} at the probe. {where} can be hotter.")
    apart = row("repair", "R23")
    yield published(apart, "places may differ", shown.temp_dc(apart.values["spread_dc"]))
    yield Step(
        "No place may run ahead: watch the spread before the rate.",
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
    if job.method == "hot" and job.cooldown.cover in BURIED:
        yield from _at_first(job, shown)


def _at_first(job: Job, shown: Shown) -> Iterator[Line]:
    """How fast this part begins to cool, against what a furnace is held to."""
    low, likely, high = first_rate(job)
    begins = shown.temp_c(job.postheat.temperature_c)
    yield Entry(
        f"at first, in {job.cooldown.cover.removeprefix('dry ')}",
        f"{shown.rate_c_h(likely)} ({span_rate([low, high], shown)})",
        "computed",
        f"greatest half-hour mean from {begins} in this part's cover: 80 % interval before any "
        "reading, our heat models, not checked against measured castings",
    )
    known = row("stress_relief", "S04")
    furnace, most = span_rate(known.values["rate_c_h"], shown), known.values["rate_c_h"][1]
    if low > most:
        how = "is no limit here: this begins faster"
    elif high > most:
        how = "is no limit here: this may begin faster or not"
    else:
        how = "is kept here without a furnace, by this forecast"
    yield Step(f"A furnace's {furnace} {how}.", by(known))


def _fire_watch(job: Job, shown: Shown) -> Iterator[Line]:
    watch = row("cautions", "fire watch")
    yield published(
        watch,
        "fire watch",
        f"{shown.duration(watch.values['watch_s'])} or more",
        "from the last arc or flame, breaks included; some codes ask for longer",
    )
    box = " The hot box can set things on fire for hours."
    boxed = job.method == "hot" and job.cooldown.cover in BURIED
    yield Step(f"Keep the fire watch.{box if boxed else ''}", mark="do")


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
