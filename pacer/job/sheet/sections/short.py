"""What decides the day, a dozen values: the plan's first section, and the bench card.

Both show these same entries; their reasons stand in full in the sections behind.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from pacer.job.cover import amount
from pacer.job.job import Job
from pacer.job.plan import Plan
from pacer.job.sheet.brief import apart, joined
from pacer.job.sheet.making import arc_time, by, entry, published, some
from pacer.job.sheet.records import Entry, Line, Step
from pacer.job.sheet.sections import forecasts
from pacer.job.sheet.sections.afterwards import cover_needed
from pacer.job.sheet.sections.hold import BRIEFLY, kind_of_hold
from pacer.job.warn import briefs
from pacer.text import clean
from pacer.trade.rows import row
from pacer.units import Shown

_PEENED = {
    "all": "every run",
    "not root": "not the root run",
    "not root nor last": "not the root run nor the last",
}
_MOST = 3
"So many words that change the day have room on the card; where there are more they are counted."
ON_TOP = ("metal", "method", "band")
"Labels of what the card has in its title and in large figures."


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return what to decide first, metal, method, band, filler, beads, peen, hold or wait, cover, times, fire watch."""
    hot = job.method == "hot"
    return (
        *_first(job),
        entry(job, "part.metal", "metal", job.part.metal),
        entry(job, "job.method", "method", job.method),
        _band(job, shown),
        *([_soak(job, shown)] if hot else []),
        _filler(job, shown),
        *_beads(made, job, shown),
        *_peen(made, job, shown),
        _hold(job, shown) if hot else _wait(made, shown),
        *_cover(job, shown),
        forecasts.session(made, job, shown),
        forecasts.cooldown(made, job, shown),
        _fire_watch(shown),
    )


def _first(job: Job) -> Iterator[Step]:
    found = briefs(job)
    shown, more = found[:_MOST], len(found) - _MOST
    for one in shown:
        yield Step(one.text, by(one.row) if one.row is not None else (), "decide")
    if more > 0:
        yield Step(f"And {more} more: see the plan.", mark="decide")


def _band(job: Job, shown: Shown) -> Entry:
    band, ceiling = job.band, shown.temp_c(job.band.ceiling_c)
    if band.floor_c is None or band.preheat_c is None:
        return joined(job, "band", [("band.ceiling", f"at most {ceiling}, no preheat")])
    parts = [
        ("band.preheat", f"preheat {shown.temp_c(band.preheat_c)}"),
        ("band.floor", f"floor {shown.temp_c(band.floor_c)}"),
        ("band.ceiling", f"ceiling {ceiling}"),
    ]
    return joined(job, "band", parts)


def _soak(job: Job, shown: Shown) -> Entry:
    soak = shown.duration(job.band.soak_s)
    return joined(job, "soak", [("band.soak", soak)], "once the coldest place is at the floor")


def _filler(job: Job, shown: Shown) -> Entry:
    filler = job.filler
    parts = [
        ("filler.designation", clean(filler.designation)),
        ("filler.diameter", shown.stock_m(filler.diameter_m)),
        ("filler.current", f"{filler.current_a:g} A"),
    ]
    if "filler.polarity" in job.facts:
        parts.append(("filler.polarity", clean(job.facts["filler.polarity"])))
    return joined(job, "filler", parts)


def _beads(made: Plan, job: Job, shown: Shown) -> Iterator[Line]:
    runs, places = job.plan.runs, job.plan.places
    counted = f"{some(runs, 'run')} of {some(places, 'place')}"
    likely = forecasts.counted(made.beads_range)
    if likely != str(made.beads):
        counted += f"; likely {likely}, by how thick they come out"
    yield Entry("beads", some(made.beads, "bead"), "computed", counted)
    yield forecasts.filler(made, shown)
    length = shown.length_m(job.bead.length_m)
    parts = [("bead.length", length), ("bead.travel", f"{arc_time(job, shown)} of arc")]
    yield joined(job, "bead", parts, "time by travel")


def _peen(made: Plan, job: Job, shown: Shown) -> Iterator[Entry]:
    bead = job.bead
    if bead.peen_s <= 0.0:
        yield entry(job, "bead.peen", "peen", "no peening")
        return
    parts = [
        ("bead.peen", shown.duration(bead.peen_s)),
        ("bead.peen_runs", _PEENED[bead.peen_runs]),
        ("bead.peen_within", f"begin within {shown.duration(bead.peen_within_s)}"),
    ]
    yield from apart(job, "peen", parts, f"{_red(made, job, shown)}; too late: leave it")


def _red(made: Plan, job: Job, shown: Shown) -> str:
    """Say how the time to begin and the time the weld metal is red go together."""
    _, red_s = made.red_s
    if not math.isfinite(red_s):
        return "red all the while"
    if red_s >= job.bead.peen_within_s:
        return "red until then by calculation"
    red = "under 1 s" if red_s < 1.0 else f"some {red_s:.0f} s"
    within = shown.duration(job.bead.peen_within_s)
    return f"at once: the bead's end is red {red} (calculated), by {within} it is only warm"


def _hold(job: Job, shown: Shown) -> Entry:
    parts = [
        ("postheat.hold", shown.duration(job.postheat.hold_s)),
        ("postheat.temperature", f"at {shown.temp_c(job.postheat.temperature_c)}"),
    ]
    return joined(job, "hold", parts, BRIEFLY[kind_of_hold(job)])


def _wait(made: Plan, shown: Shown) -> Entry:
    why = "from one bead to the next, once the part is at the ceiling"
    return Entry("wait", forecasts.span(made.wait_s, shown), "computed", why)


def _cover(job: Job, shown: Shown) -> Iterator[Entry]:
    until = shown.temp_c(job.cooldown.until_c)
    parts = [("cooldown.cover", job.cooldown.cover), ("cooldown.until", f"until {until}")]
    yield joined(job, "cover", parts, "at the probe")
    needed = amount(job)
    if needed is not None:
        yield cover_needed(needed, shown)


def _fire_watch(shown: Shown) -> Entry:
    watch = row("cautions", "fire watch")
    least = f"{shown.duration(watch.values['watch_s'])} at least"
    return published(watch, "fire watch", least, "after the last arc; longer in some codes")
