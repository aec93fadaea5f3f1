"""Forecasts of the plan: the likely value, its range, and what it rests on."""

from __future__ import annotations

from pacer.job.forecast import Forecast
from pacer.job.job import Job
from pacer.job.plan import Plan
from pacer.job.sheet.records import Entry, Line, Step
from pacer.units import Shown

_J_PER_KWH = 3.6e6
_J_PER_BTU = 1055.056
"International Table (from memory)."


def lines(made: Plan, job: Job, shown: Shown) -> tuple[Line, ...]:
    """Return arc time, filler, heat, session and cool-down, each with its range."""
    return (
        _arc_time(made, job, shown),
        filler(made, shown),
        *(_heat(made, job, shown) if job.method == "hot" else _waiting(made, shown)),
        session(made, job, shown),
        cooldown(made, job, shown),
    )


def _arc_time(made: Plan, job: Job, shown: Shown) -> Entry:
    low, high = made.beads_range.low, made.beads_range.high or made.beads_range.value
    ends = [shown.duration(count * job.bead.planned_s) for count in (low, high)]
    return Entry(
        "arc time",
        _ranged(shown.duration(made.arc_time_s), *ends),
        "computed",
        f"{made.beads} beads, likely {counted(made.beads_range)}",
    )


def filler(made: Plan, shown: Shown) -> Entry:
    """Return the rods, or the length of wire, that the weld takes."""
    if not made.rods:
        wire = "groove and cap, spatter counted in"
        return Entry("wire", shown.length_m(made.filler_m), "computed", wire)
    ends = [f"{count:.0f}" for count in (made.rods_range.low, made.rods_range.high or made.rods)]
    return Entry(
        "rods",
        _ranged(f"{made.rods} rods" if made.rods > 1 else "1 rod", *ends),
        "computed",
        "spatter and stubs counted in; most if no bead is made of two rods' ends",
    )


def _heat(made: Plan, job: Job, shown: Shown) -> list[Line]:
    heat = made.preheat_energy_j
    source = ("an " if job.heating.source == "oven" else "a ") + job.heating.source
    times = [
        f"{count:.0f}" for count in (made.reheats.low, made.reheats.high or made.reheats.value)
    ]
    return [
        Entry(
            "preheat",
            span(made.preheat_s, shown),
            "computed",
            f"{source} of a size that fits the part, assumed power, no source",
        ),
        Entry(
            "heat for it",
            _ranged(*(_energy(j, shown) for j in (heat.value, heat.low, heat.high or heat.value))),
            "computed",
            f"that is {heat.value / 1e6:.2g} MJ: {_energy(made.iron_heat_j, shown)} stay in the "
            "iron, the rest is lost to the air meanwhile. What a flame wastes is not in it",
        ),
        Entry(
            "reheats",
            _ranged(f"{made.reheats.value:.0f} times", *times),
            "computed",
            "down to the floor, by loss in still air, the arc's heat and handling",
        ),
    ]


def _waiting(made: Plan, shown: Shown) -> list[Line]:
    return [
        Entry(
            "waiting governs",
            span(made.wait_s, shown),
            "computed",
            "from one bead to the next once the part is at the ceiling; from its loss in still air",
        )
    ]


def session(made: Plan, job: Job, shown: Shown) -> Entry:
    """Return how long it takes until the part is covered."""
    begin = "from the first flame" if job.method == "hot" else "from the first bead, at its beat,"
    return Entry(
        "session",
        span(made.session_s, shown),
        "computed",
        f"{begin} to covering; handling of 10-60 s a bead assumed, no source",
    )


def cooldown(made: Plan, job: Job, shown: Shown) -> Line:
    """Return the cool-down's forecast before any reading, or why there is none."""
    if made.cooldown_s.value <= 0.0:
        return Step(
            "No cool-down: the part is below its end temperature when the last bead is laid."
        )
    return Entry(
        "cool-down",
        span(made.cooldown_s, shown),
        "computed",
        f"in {job.cooldown.cover} to {shown.temp_c(job.cooldown.until_c)} at the probe: 80 % "
        "interval before any reading, not checked against measured castings",
    )


def span(forecast: Forecast, shown: Shown) -> str:
    """Return a time's likely value and its range.

    >>> span(Forecast(3600.0, 1800.0, None), Shown())
    '1 h (30 min to no bound)'
    """
    high = "no bound" if forecast.high is None else shown.duration(forecast.high)
    return _ranged(shown.duration(forecast.value), shown.duration(forecast.low), high)


def counted(forecast: Forecast) -> str:
    """Return the range of a count, such as "40 to 65", or its one value."""
    low, high = round(forecast.low), round(forecast.high or forecast.value)
    return f"{low}" if low == high else f"{low} to {high}"


def _ranged(likely: str, low: str, high: str) -> str:
    same = low == high == likely or low == high == likely.split()[0]
    return likely if same else f"{likely} ({low} to {high})"


def _energy(energy_j: float, shown: Shown) -> str:
    if shown.system == "us":
        return f"{energy_j / _J_PER_BTU:,.0f} BTU"
    return f"{energy_j / _J_PER_KWH:.2g} kWh"
