"""The bench card: the printed page's first sheet, large enough to be read at a metre.

It repeats what the sections behind it say with origin and source; it decides nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from pacer.job.job import Job
from pacer.job.plan import Plan
from pacer.job.sheet.forecasts import counted, span
from pacer.job.sheet.whole import title
from pacer.trade.rows import row
from pacer.units import Shown

_PEENED = {
    "all": "every run",
    "not root": "not the root run",
    "not root nor last": "not the root run nor the last",
}


def card(made: Plan, job: Job, shown: Shown, map_svg: str) -> str:
    """Return the card as HTML; `map_svg` is the drawing of the beads' order."""
    name, _, what = title(job).rpartition(": ")
    rows = "".join(
        f'<tr><th scope="row">{escape(word)}</th><td>{escape(value)}'
        f"<small>{escape(more)}</small></td></tr>"
        for word, value, more in _rows(made, job, shown)
    )
    return (
        f'<section class="card"><h1>{escape(name)}</h1><p>{escape(what)}</p>'
        f'<div class="band">{"".join(_number(*one, shown) for one in _band(job))}</div>'
        f"<table>{rows}</table><figure>{map_svg}</figure>"
        "<p>Where each number comes from stands on the pages behind. They say what was given, "
        "computed or forecast; none says that a repair is sound or a part safe.</p></section>"
    )


def _band(job: Job) -> list[tuple[str, float]]:
    band = job.band
    if band.floor_c is None or band.preheat_c is None:
        return [("ceiling, no preheat", band.ceiling_c)]
    return [("floor", band.floor_c), ("preheat", band.preheat_c), ("ceiling", band.ceiling_c)]


def _number(word: str, temp_c: float, shown: Shown) -> str:
    number, unit = shown.temp_c(temp_c).split()
    return (
        f'<div><div class="word">{word}</div><span class="number">{number}</span>'
        f'<span class="unit"> {unit}</span></div>'
    )


def _rows(made: Plan, job: Job, shown: Shown) -> Iterator[tuple[str, str, str]]:
    """Yield word, value and small print."""
    bead, cooldown = job.bead, job.cooldown
    if job.method == "hot":
        yield (
            "soak",
            shown.duration(job.band.soak_s),
            "once the coldest known place is at the floor",
        )
    yield (
        "bead",
        f"{shown.length_m(bead.length_m)}, {bead.planned_s:.3g} s of arc",
        f"{made.beads} beads, likely {counted(made.beads_range)}",
    )
    if bead.peen_s > 0.0:
        begin = f"begin within {shown.duration(bead.peen_within_s)}, too late: leave it"
        yield "peen", f"{shown.duration(bead.peen_s)}, {_PEENED[bead.peen_runs]}", begin
    if job.method == "cold":
        yield "wait", span(made.wait_s, shown), "from one bead to the next, at the ceiling"
    else:
        hold = (
            f"{shown.duration(job.postheat.hold_s)} at {shown.temp_c(job.postheat.temperature_c)}"
        )
        yield "hold", hold, "evens the heat out, no stress relief"
    forecast = "the part is below it already when the last bead is laid"
    if made.cooldown_s.value > 0.0:
        forecast = f"forecast: {span(made.cooldown_s, shown)}"
    until = shown.temp_c(cooldown.until_c)
    yield "cover", f"{cooldown.cover}, until {until}", f"at the probe; {forecast}"
    watch = row("cautions", "fire watch")
    watch_s = shown.duration(watch.values["watch_s"])
    more = "after the last arc or flame; longer in some codes"
    yield "fire watch", f"{watch_s} at least", more
