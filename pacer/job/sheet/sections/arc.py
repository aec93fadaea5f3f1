"""The arc: volts, travel, what it does to the part. Each energy says whether k is in it."""

from __future__ import annotations

import math

from pacer.heat import t85
from pacer.job.job import Job
from pacer.job.plan import RED_C, Plan, laid_at_c, run_shape
from pacer.job.sheet.making import by, entry, in_one, side_source
from pacer.job.sheet.records import Entry, Line, Step
from pacer.trade.gaps import sides
from pacer.trade.rows import Row, row
from pacer.units import Shown, affine

_RED = "red at a bead's end"
_KEPT = row("disagreements", "D10")


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return voltage, travel, energies and cooling time."""
    return (
        entry(job, "filler.voltage", "voltage", f"{job.filler.voltage_v:g} V"),
        entry(job, "bead.travel", "travel", shown.speed_m_s(job.bead.travel_m_s)),
        Entry(
            "arc energy",
            energy(made.arc_energy_kj_mm, shown),
            "computed",
            "U I / v, without k",
        ),
        Entry(
            "heat input",
            energy(made.heat_input_kj_mm, shown),
            "computed",
            "k U I / v, as EN 1011-1",
            sources=by(_factor(job.filler.process)),
        ),
        in_one("D09", shown),
        Step(
            "Codes differ: heat input has k in it, or it is U I / v. Look which one a figure is.",
            tuple(side_source(_KEPT, side) for side in sides(_KEPT)),
        ),
        Entry(
            "one bead's heat",
            shown.temp_dc(made.bead_rise_dc, 1),
            "computed",
            "rise of the whole part without losses; near the joint more",
        ),
        _t85(made, job, shown),
    )


def _factor(process: str) -> Row:
    """The row that has the process's k: one page lists few, the others are from memory."""
    rows = (row("heat_input", name) for name in ("H03", "H03b"))
    return next(found for found in rows if process in found.values["k"])


def energy(kj_mm: float, shown: Shown) -> str:
    """Return an energy by length of weld in the user's unit, given in kJ/mm."""
    if shown.system == "us":
        return f"{kj_mm / affine('mm', 'in')[0]:.3g} kJ/in"
    return f"{kj_mm:.3f} kJ/mm"


def _t85(made: Plan, job: Job, shown: Shown) -> Entry:
    at = shown.temp_c(laid_at_c(job))
    if not math.isfinite(made.t85.time_s):
        why = f"the part is at {at} before the bead, it does not cool to {shown.temp_c(500.0)}"
        return Entry("t8/5", "none", "computed", why)
    thin, thick = t85.SHAPE_FACTORS[run_shape(job)]
    factor = thin if made.t85.flow == "thin plate" else thick
    return Entry(
        "t8/5",
        f"{made.t85.time_s:.1f} s",
        "computed",
        f"EN 1011-2 at {at}, {made.t85.flow} (they part at "
        f"{shown.length_m(made.t85.transition_m)}), shape factor {factor:g} from memory. For "
        "ferritic steel: on cast iron it only compares beads, longer is slower",
    )


def red(made: Plan, job: Job, shown: Shown) -> Entry:
    """Return how long a bead is red, which is how long it is peened hot."""
    behind_s, end_s = made.red_s
    if not math.isfinite(behind_s):
        return Entry(_RED, "always", "computed", "the part itself is red")
    return Entry(
        _RED,
        "under 1 s" if end_s < 1.0 else f"{end_s:.0f} s",
        "computed",
        f"after the arc stops, {behind_s:.0f} s behind the burning arc: above "
        f"{shown.temp_c(RED_C)}, by a point source; a pool stays red a little longer. Later it is "
        f"warm peening{_late(end_s, job, shown)}",
    )


def _late(end_s: float, job: Job, shown: Shown) -> str:
    within_s = job.bead.peen_within_s
    if job.bead.peen_s <= 0.0 or within_s <= end_s:
        return ""
    return f", and so is what begins at the latest, {shown.duration(within_s)} after the arc"
