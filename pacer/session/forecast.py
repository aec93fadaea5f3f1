"""What is forecast at a moment, from the state alone: the cool-down's end, the next limits.

Pure; memoised at the edge (screen, `cool`), asked at most every few seconds.
Cool-down: the fitted models of `heat/cooldown.py`.
While welding, first version: a bare part losing heat to still air with the published
priors of `heat/lumped.py`, no fit yet; the range is the prior's. It leaves out the arc's
heat still on its way to the sensor, so just after a bead it is early, the safe side.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import cast

from pacer.heat import lumped
from pacer.heat.arc import bead_heat_j, bulk_rise_dc
from pacer.heat.prior import VERSION, Prior, prior
from pacer.job.job import CoverName, Job
from pacer.job.plan import POWER_RANGE, cooling_part, cover_of, heating_time_s
from pacer.session.state import Phase, State
from pacer.session.track import believed

PRIORS = {"cool-down": f"heat/{VERSION}", "between beads": "bare part, prior only/1"}
"""Model versions, for the recording's head."""

TYPED_SD_C = 10.0
"""Error of a hand-entered reading (heat.md section 4.5)."""

LOSS_RANGE = (0.65, 1.45)
"""80 % range of a bare part's loss against the model: emissivity 0.55-0.95 around 0.8,
area 22 %, draught (heat.md section 7)."""


@dataclass(frozen=True)
class Cooldown:
    """When the cool-down reaches a temperature, in whole s since it began."""

    eta_s: float
    low_s: float
    high_s: float | None
    "None where no upper bound can be given."
    model: str


@dataclass(frozen=True)
class Range:
    """A forecast with its 80 % range."""

    value: float
    low: float
    high: float


def cooldown_prior(job: Job, cover_name: str, start_c: float) -> Prior:
    """Return what is believed of a cool-down under `cover_name` from `start_c` before a reading."""
    # A job's cover or still air: both are names the models know.
    cover = replace(cover_of(job), name=cast("CoverName", cover_name))
    return prior(cooling_part(job), cover, job.cooldown.ambient_c, start_c)


def cooldown(state: State, t_s: float, until_c: float | None = None) -> Cooldown | None:
    """Return when `until_c` (default: the job's) is reached, or None outside a cool-down.

    Seconds count from the last covering, also where the part was uncovered since and the
    model starts anew.
    """
    cooling, began_s = state.cooling, state.work.covered_s
    if cooling is None or began_s is None or cooling.start_c is None:
        return None
    from pacer.heat.cooldown import fit, forecast_eta

    fitted = fit(
        cooldown_prior(state.job, cooling.cover, cooling.start_c),
        cooling.bins,
        TYPED_SD_C if cooling.typed else 1.0,
    )
    target_c = state.job.cooldown.until_c if until_c is None else until_c
    eta = forecast_eta(fitted, target_c, max(0.0, t_s - cooling.start_s))
    shift_s = cooling.start_s - began_s
    return Cooldown(
        eta_s=eta.eta_s + shift_s,
        low_s=eta.low_s + shift_s,
        high_s=None if eta.high_s is None else eta.high_s + shift_s,
        model=eta.model,
    )


def to_floor(state: State, t_s: float) -> Range | None:
    """Return in how many s the part falls to the floor if nothing more is done."""
    now, floor_c = believed(state, t_s), state.job.band.floor_c
    if now is None or floor_c is None or now.temp_c < floor_c or _covered(state):
        return None
    return _cooling_time(state.job, now.temp_c, floor_c)


def to_ceiling(state: State, t_s: float) -> Range | None:
    """Return in how many s the part has cooled to the ceiling, where it is above."""
    now, band = believed(state, t_s), state.job.band
    if now is None or now.temp_c <= band.ceiling_c or _covered(state):
        return None
    return _cooling_time(state.job, now.temp_c, band.ceiling_c)


def to_preheat(state: State, t_s: float) -> Range | None:
    """Return in how many s the preheat target is reached, from the plan's heating powers.

    A rough range: the burner's real power is not known and nothing is fitted yet.
    """
    now, job = believed(state, t_s), state.job
    target_c = job.band.preheat_c
    if now is None or target_c is None or now.temp_c >= target_c:
        return None
    times_s = [heating_time_s(job, now.temp_c, target_c, share) for share in (1.0, *POWER_RANGE)]
    return _ranged(times_s[0], times_s[2], times_s[1])


def _covered(state: State) -> bool:
    return state.phase in {Phase.COOL_DOWN, Phase.DONE}


def _cooling_time(job: Job, start_c: float, target_c: float) -> Range | None:
    area_m2 = cooling_part(job).plate_area_m2

    def time_s(scale: float) -> float:
        return lumped.time_to_cool_s(
            start_c, target_c, job.cooldown.ambient_c, job.part.mass_kg, area_m2, scale=scale
        )

    return _ranged(time_s(1.0), time_s(LOSS_RANGE[1]), time_s(LOSS_RANGE[0]))


def _ranged(value: float, low: float, high: float) -> Range | None:
    if not all(number < 1e9 for number in (value, low, high)):
        return None
    return Range(value=round(value), low=round(low), high=round(high))


def beads_left(state: State, t_s: float) -> Range | None:
    """Return how many planned beads fit in before the part is too near the floor.

    Each bead and its peen take their planned time of bare cooling and give back the arc's
    heat spread through the part (`heat/arc.py`).
    """
    now, floor_c = believed(state, t_s), state.job.band.floor_c
    if now is None or floor_c is None or state.phase not in _LAYING:
        return None
    left = max(0, state.job.plan.beads - state.work.laid)
    count = _bead_counter(state.job, floor_c, left)
    return Range(
        value=count(now.temp_c, 1.0),
        low=count(now.temp_c, LOSS_RANGE[1]),
        high=count(now.temp_c, LOSS_RANGE[0]),
    )


_LAYING = frozenset(
    {Phase.SOAK, Phase.READY, Phase.BEAD, Phase.PEEN, Phase.WAIT, Phase.REHEAT, Phase.HOLD}
)


def _bead_counter(job: Job, floor_c: float, most: int) -> Callable[[float, float], float]:
    filler = job.filler
    heat_j = bead_heat_j(filler.voltage_v, filler.current_a, job.bead.planned_s, filler.process)
    area_m2, mass_kg = cooling_part(job).plate_area_m2, job.part.mass_kg
    cycle_s = job.bead.planned_s + job.bead.peen_s

    def count(temp_c: float, scale: float) -> float:
        for beads in range(most):
            rate_c_s = lumped.cooling_rate_c_s(
                temp_c, job.cooldown.ambient_c, mass_kg, area_m2, scale=scale
            )
            if temp_c - rate_c_s * job.bead.planned_s < floor_c:
                return float(beads)
            rise_dc = bulk_rise_dc(heat_j, mass_kg, lumped.heat_capacity_j_kgk(temp_c))
            temp_c += rise_dc - rate_c_s * cycle_s
        return float(most)

    return count
