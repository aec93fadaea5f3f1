"""The arc's and the forecasts' rows of the printed plan: value, range, what it rests on."""

from __future__ import annotations

import math

from pacer.heat import t85
from pacer.job.columns import row_of
from pacer.job.forecast import Forecast
from pacer.job.job import Job
from pacer.job.plan import RED_C, Plan, laid_at_c, run_shape
from pacer.units import Shown

_J_PER_KWH = 3.6e6
_J_PER_BTU = 1055.056
"International Table (from memory)."
_AN = {"oven": "an"}


def arc_rows(made: Plan, job: Job, shown: Shown) -> list[str]:
    """Return what the arc does to the part; each energy says whether k is in it."""
    return [
        row_of("arc energy", f"{made.arc_energy_kj_mm:.3f} kJ/mm", "computed: U I / v, without k"),
        row_of(
            "heat input",
            f"{made.heat_input_kj_mm:.3f} kJ/mm",
            "computed: k U I / v, as EN 1011-1; k of trade row H03",
        ),
        row_of(
            "one bead's heat",
            shown.temp_dc(made.bead_rise_dc, 1),
            "computed: rise of the whole part without losses; near the joint more",
        ),
        row_of("t8/5", *_t85(made, job, shown)),
        row_of("weld metal red", *_red(made, shown)),
    ]


def _t85(made: Plan, job: Job, shown: Shown) -> tuple[str, str]:
    at = shown.temp_c(laid_at_c(job))
    if not math.isfinite(made.t85.time_s):
        return "none", f"the part is at {at} before the bead, it does not cool to 500 °C"
    thin, thick = t85.SHAPE_FACTORS[run_shape(job)]
    factor = thin if made.t85.flow == "thin plate" else thick
    return f"{made.t85.time_s:.1f} s", (
        f"EN 1011-2 at {at}, {made.t85.flow} (they part at "
        f"{shown.length_m(made.t85.transition_m)}), shape factor {factor:g} from memory. For "
        "ferritic steel: on cast iron it only compares beads, longer is slower"
    )


def _red(made: Plan, shown: Shown) -> tuple[str, str]:
    behind_s, end_s = made.red_s
    if not math.isfinite(behind_s):
        return "always", "the part itself is red"
    return ("under 1 s" if end_s < 1.0 else f"{end_s:.0f} s"), (
        f"at the bead's end after the arc stops; {behind_s:.0f} s behind the burning arc: above "
        f"{shown.temp_c(RED_C)}, Rosenthal's point source; a real pool stays red a little longer. "
        "Peen at once"
    )


def forecast_rows(made: Plan, job: Job, shown: Shown) -> list[str]:
    """Return the forecasts, a row each: likely, range, what it rests on."""
    rows = [_arc_time(made, job, shown), _filler(made, shown)]
    if job.method == "hot":
        rows += _heat(made, job, shown)
    else:
        rows.append(
            row_of(
                "waiting governs",
                shown.duration(made.wait_s.value),
                f"{_span(made.wait_s, shown)} from one bead to the next once the part is at the "
                "ceiling; computed from its loss in still air",
            )
        )
    begin = "from the first flame" if job.method == "hot" else "from the first bead"
    rows.append(
        row_of(
            "session",
            shown.duration(made.session_s.value),
            f"{_span(made.session_s, shown)}: {begin} to covering the part; handling 10-60 s a "
            "bead assumed, no source",
        )
    )
    return [*rows, _cooldown(made, job, shown)]


def _arc_time(made: Plan, job: Job, shown: Shown) -> str:
    low, high = made.beads_range.low, made.beads_range.high or made.beads_range.value
    ends = [shown.duration(count * job.bead.planned_s) for count in (low, high)]
    return row_of(
        "arc time",
        shown.duration(made.arc_time_s),
        f"{ends[0]} to {ends[1]}: {made.beads} beads, likely {counted(made.beads_range)}",
    )


def _filler(made: Plan, shown: Shown) -> str:
    if not made.rods:
        wire = "computed: groove and cap, spatter taken off"
        return row_of("wire", shown.length_m(made.filler_m), wire)
    return row_of(
        "rods",
        f"{made.rods}",
        f"{counted(made.rods_range)}: groove and cap, spatter and stubs taken off; the most if no "
        "bead is made of two rods' ends",
    )


def _heat(made: Plan, job: Job, shown: Shown) -> list[str]:
    energy = made.preheat_energy_j
    likely, low = _energy(energy.value, shown), _energy(energy.low, shown)
    high = _energy(energy.high or energy.value, shown)
    return [
        row_of(
            "preheat",
            shown.duration(made.preheat_s.value),
            f"{_span(made.preheat_s, shown)}: {_AN.get(job.heating.source, 'a')} {job.heating.source} of a size that fits the "
            "part, assumed power, no source",
        ),
        row_of(
            "heat for it",
            likely,
            f"{low} to {high}, that is {energy.value / 1e6:.2g} MJ: "
            f"{_energy(made.iron_heat_j, shown)} stay in the iron, the rest is lost to the air "
            "meanwhile. What a flame wastes is not in it",
        ),
        row_of(
            "reheats",
            f"{made.reheats.value:.0f}",
            f"{counted(made.reheats)} times down to the floor: "
            "by the part's loss, the arc's heat and handling; bare in still air, burner off",
        ),
    ]


def _cooldown(made: Plan, job: Job, shown: Shown) -> str:
    if made.cooldown_s.value <= 0.0:
        return "cool-down: the part is below its end temperature when the last bead is laid"
    return row_of(
        "cool-down",
        shown.duration(made.cooldown_s.value),
        f"{_span(made.cooldown_s, shown)} in {job.cooldown.cover} to "
        f"{shown.temp_c(job.cooldown.until_c)} at the probe: 80 % interval before any reading, "
        "not checked against measured castings",
    )


def _span(forecast: Forecast, shown: Shown) -> str:
    high = "no bound" if forecast.high is None else shown.duration(forecast.high)
    return f"{shown.duration(forecast.low)} to {high}"


def counted(forecast: Forecast) -> str:
    """Return the range of a count, such as "40 to 65", or its one value."""
    low, high = round(forecast.low), round(forecast.high or forecast.value)
    return f"{low}" if low == high else f"{low} to {high}"


def _energy(energy_j: float, shown: Shown) -> str:
    if shown.system == "us":
        return f"{energy_j / _J_PER_BTU:,.0f} BTU"
    return f"{energy_j / _J_PER_KWH:.2g} kWh"
