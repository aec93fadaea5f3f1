"""Where a crack ends: the penetrant check with its times, and the stop holes beyond the ends.

Sources differ about the times (D13, D14) and about the light; each is shown, and the strict
choice for a crack that came in service is worked out for the shop's temperature.
"""

from __future__ import annotations

from collections.abc import Iterator

from pacer.job.job import Job
from pacer.job.order import way_of
from pacer.job.penetrant import Refused, dwell, outside, welds_s
from pacer.job.sheet.making import MEMORY, PRACTICE, by, fact, published
from pacer.job.sheet.records import Entry, Line, Step
from pacer.trade.rows import row
from pacer.units import Shown, parse

_LX_PER_FC = 10.764
"One lumen on a square foot; arithmetic."


def true_ends(job: Job, shown: Shown) -> Iterator[Line]:
    """Yield the penetrant check, first of all that touches the crack."""
    if job.joint.repair == "crack":
        what = "Find the crack's true ends with penetrant, before anything is ground or drilled."
    else:
        what = "Look with penetrant for cracks that run on from the break, before grinding."
    yield Step(f"{what} It is longer than it looks.", by(row("crack_ends", "N12")), "do")
    yield Step(
        "Penetrant, remover and developer come from one maker's family.",
        by(row("penetrant", "N03")),
    )
    yield from _dwell(job, shown)
    excess, dry = row("penetrant", "N02"), row("penetrant", "N05")
    yield Step(
        "Excess off with a clean lint-free cloth, then a lightly moistened one. "
        "No solvent sprayed on the part.",
        by(excess),
        "do",
    )
    yield from _developer(shown)
    yield Step("The developer's time counts from when its coat is dry.", by(dry))
    for name, label in (("N08", "light"), ("N08b", "light, ISO")):
        bright = row("penetrant", name)
        yield published(bright, label, _light(bright.values["least_lx"], shown))
    yield Step(
        "Kerosene wiped off and chalk dusted on shows an open crack too, less surely. "
        "Kerosene burns: dry before the flame.",
        MEMORY,
    )
    yield Step(
        "Clean all of the penetrant off again: what stays in the crack is trapped when it is "
        "heated.",
        by(row("cautions", "trapped")),
        "do",
    )


def _light(least_lx: float, shown: Shown) -> str:
    if shown.system == "us":
        return f"{least_lx / _LX_PER_FC:.3g} foot-candles or more"
    return f"{least_lx:.0f} lx or more"


def _dwell(job: Job, shown: Shown) -> Iterator[Line]:
    standard, service, code = (row("penetrant", name) for name in ("N01", "N04", "N07"))
    low, high = (shown.duration(time_s) for time_s in standard.values["time_s"])
    yield published(standard, "leave it on", f"{low} to {high}")
    least = shown.duration(service.values["least_s"])
    yield published(service, "crack from service", f"at least {least}")
    at_c, given = job.cooldown.ambient_c, job.facts.get("joint.penetrant")
    welds = welds_s(at_c)
    if welds is not None:
        at = f"with the part at {shown.temp_c(at_c)}"
        yield published(code, "welds in steel", shown.duration(welds), at)
    base_s = standard.values["time_s"][0] if given is None else parse(given, "time")
    found = dwell(base_s, at_c, service_crack=True)
    if isinstance(found, Refused):
        told_so = found.told(shown)
        source = by(row("penetrant", "N04b"))
        yield Step(f"{told_so[0].upper()}{told_so[1:]}.", source, "decide")
        return
    own = f"the maker's {given}" if given else "the maker's time not said"
    yield Entry(
        "so here",
        f"at least {shown.duration(found.time_s)}",
        "computed",
        f"{own}, the part at {shown.temp_c(at_c)} as the shop",
        "joint.penetrant",
        tuple(source for ruling in found.rows for source in by(ruling)),
    )
    longest_s = standard.values["time_s"][1]
    if found.time_s > longest_s:
        yield Step(
            f"{shown.duration(found.time_s)} is more than the {shown.duration(longest_s)} that "
            "ISO 3452-1 goes up to: warm the part, so that the maker's own time holds, or ask "
            "him.",
            by(standard),
            "decide",
        )
    for narrower in outside(at_c):
        low_c, high_c = narrower.values["temp_c"]
        yield Step(
            f"Another rule is for a part at {shown.temp_c(low_c)} to {shown.temp_c(high_c)}; "
            f"the shop is at {shown.temp_c(at_c)}.",
            by(narrower),
            "decide",
        )
    if given is None:
        yield Step(
            "Read the maker's time on the can: if it is longer, that holds (joint.penetrant).",
            by(standard),
            "decide",
        )


def _developer(shown: Shown) -> Iterator[Line]:
    iso, code = row("penetrant", "N06"), row("penetrant", "N07")
    for known, label in ((iso, "look after"), (code, "look after, ASME V")):
        first, last = (shown.duration(time_s) for time_s in known.values["developer_s"])
        yield published(known, label, f"{first} to {last}")
    yield Step(
        "Look as soon as the developer is dry, again after the first time, and once more before "
        "the last: later marks mean little.",
        by(iso),
        "do",
    )


def has_ends(job: Job) -> bool:
    """Tell whether the joint ends somewhere in the wall, so that stop holes are drilled."""
    return job.joint.repair != "patch" and way_of(job) != "outward"


def stop_holes(job: Job, shown: Shown) -> Iterator[Line]:
    """Yield where the stop holes go, or why there are none."""
    if not has_ends(job):
        yield Step("No stop holes: the joint has no end in the wall.", PRACTICE)
        return
    where = "one beyond each end" if way_of(job) == "inward" else "one beyond the end in the wall"
    bare = row("crack_ends", "N10")
    yield Step(
        f"Drill the stop holes, {where}: past the true end that penetrant shows, not at the end "
        f"that the eye sees; about {shown.length_m(bare.values['hole_mm'] / 1e3)} wide, by one source. "
        "Before any heat: a crack runs on when it is heated.",
        by(row("repair", "R06")) + by(bare),
        "do",
    )
    drilled = fact(job, "joint.stop_holes", "stop holes")
    if drilled is not None:
        yield drilled
    else:
        yield Step(
            "Where the holes are and how wide is not said (joint.stop_holes).", mark="decide"
        )
