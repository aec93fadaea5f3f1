"""The arc: volts and travel, and what it does to the part; each energy says whether k is in it."""

from __future__ import annotations

import math

from pacer.heat import t85
from pacer.job.job import Job
from pacer.job.plan import RED_C, Plan, laid_at_c, run_shape
from pacer.job.sheet.making import entry
from pacer.job.sheet.records import Entry, Line
from pacer.units import Shown, affine


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return voltage, travel, energies, cooling time and how long the bead is red."""
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
            "k U I / v, as EN 1011-1; k of trade row H03",
        ),
        Entry(
            "one bead's heat",
            shown.temp_dc(made.bead_rise_dc, 1),
            "computed",
            "rise of the whole part without losses; near the joint more",
        ),
        _t85(made, job, shown),
        _red(made, shown),
    )


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


def _red(made: Plan, shown: Shown) -> Entry:
    behind_s, end_s = made.red_s
    if not math.isfinite(behind_s):
        return Entry("weld metal red", "always", "computed", "the part itself is red")
    return Entry(
        "weld metal red",
        "under 1 s" if end_s < 1.0 else f"{end_s:.0f} s",
        "computed",
        f"at the bead's end after the arc stops; {behind_s:.0f} s behind the burning arc: above "
        f"{shown.temp_c(RED_C)}, Rosenthal's point source; a real pool stays red a little longer. "
        "Peen at once",
    )
