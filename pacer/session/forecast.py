"""What is forecast at a moment, from the state alone: the cool-down's end, the next limits.

Pure; memoised at the edge (screen, `cool`), asked at most every few seconds.
Cool-down: the fitted models of `heat/cooldown/`. Heating: `heat/preheat/target.py`. Between
beads: what `session/learning.py` has learned, carried forward by `heat/pauses/ahead.py`.
Where nothing has been read the plan's figures stand in, and say so.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from pacer.heat.pauses import belief
from pacer.heat.preheat.prior import VERSION as HEAT_UP_VERSION
from pacer.job.job import Job
from pacer.job.preheat import cooling_part, power_w
from pacer.job.walk import beat_s
from pacer.session.cooling import (
    cooldown_prior,
    fitted,
    planned_start_c,
    reading_sd_dc,
    refitted,
)
from pacer.session.learning import FOLLOWED, bare, target_c
from pacer.session.state import State, Warming
from pacer.session.track import believed
from pacer.session.work import LAYING, Phase

if TYPE_CHECKING:
    from pacer.heat.cooldown.fitted import Fit
    from pacer.heat.pauses.ahead import Ahead

_OPEN_S = 7200.0
"A time this long without an upper bound says nothing."


def priors(job: Job) -> dict[str, str]:
    """Return model versions and the cool-down's prior as words, for the recording's head.

    A prior is ``name mean sd`` for each parameter, from the planned start; a forecast asked
    for with another version than the head's may differ from what was shown then.
    """
    believed_of = cooldown_prior(job, job.cooldown.cover, planned_start_c(job))
    rows = zip(believed_of.names, believed_of.mean, believed_of.sd, strict=True)
    return {
        "cool-down": believed_of.label,
        "between beads": f"plate/{belief.VERSION}",
        "heating": f"heat-up/{HEAT_UP_VERSION}",
        "cool-down prior": "; ".join(f"{name} {mean:.5g} {sd:.3g}" for name, mean, sd in rows),
    }


@dataclass(frozen=True)
class Cooldown:
    """When the cool-down reaches a temperature, in whole s since it began."""

    eta_s: float
    low_s: float
    high_s: float | None
    "None where no upper bound can be given."
    model: str
    planned: bool
    "True where no reading stands behind it: only the plan."
    fit: Fit
    "The fitted model, for what else is asked of it."
    lag_s: float = 0.0
    "By how much the fit's own time is ahead, where a gap was longer than the clock said."


@dataclass(frozen=True)
class Range:
    """A forecast with its 80 % range."""

    value: float
    low: float
    high: float | None
    "None where no bound can be given."


def cooldown(state: State, t_s: float, until_c: float | None = None) -> Cooldown | None:
    """Return when `until_c` (default: the job's) is reached, or None outside a cool-down.

    Seconds count from the last covering, also where the part was uncovered since and the
    model starts anew.
    """
    cooling, began_s, job = state.cooling, state.work.covered_s, state.job
    if cooling is None or began_s is None:
        return None
    goal_c = job.cooldown.until_c if until_c is None else until_c
    now_s, lag_s = max(0.0, t_s - cooling.start_s), 0.0
    if cooling.gap is None:
        from pacer.heat.cooldown.eta import forecast_eta

        found = fitted(state, cooling)
        eta = forecast_eta(found, goal_c, now_s)
    else:
        from pacer.heat.cooldown.bridge import forecast_bridged

        refit = refitted(state, cooling)
        bridged = forecast_bridged(cooling.bins, cooling.bounds, cooling.gap, refit, goal_c, now_s)
        found, eta, lag_s = bridged.fit, bridged.eta, bridged.lag_s
    shift_s = cooling.start_s - began_s
    return Cooldown(
        eta_s=eta.eta_s + shift_s,
        low_s=eta.low_s + shift_s,
        high_s=None if eta.high_s is None else eta.high_s + shift_s,
        model=eta.model,
        planned=not (cooling.bins or cooling.bounds),
        fit=found,
        lag_s=lag_s,
    )


@dataclass(frozen=True)
class Course:
    """How a cool-down goes: its rate beside the cover's usual one, and what comes."""

    rate_c_h: float | None
    "Mean fall of the last 30 min; None before there are 15."
    usual_c_h: tuple[float, float, float] | None
    "Low, likely and high rate of this cover at this temperature (80 %), from the prior."
    curve: tuple[tuple[float, float, float, float], ...]
    "(session time s, °C, low °C, high °C) from now to the forecast's end; 80 %."


def course(state: State, found: Cooldown, t_s: float) -> Course:
    """Return how the cool-down goes and will go, for a forecast made at `t_s`."""
    from pacer.heat.cooldown.ahead import curve_ahead
    from pacer.heat.cooldown.rate import rate_c_h, usual_rate_c_h

    cooling, began_s = state.cooling, state.work.covered_s
    assert cooling is not None
    assert began_s is not None
    now_s, gap = max(0.0, t_s - cooling.start_s), cooling.gap
    # A mean over a gap would be one over a time that nobody measured.
    bins = cooling.bins if gap is None else tuple(b for b in cooling.bins if b[0] >= gap.from_s)
    rate = rate_c_h(bins, now_s)
    usual = None if rate is None else usual_rate_c_h(found.fit.prior, cooling.bins[-1][1])
    end_s = max(found.eta_s + began_s - cooling.start_s, now_s + 60.0)
    curve = curve_ahead(found.fit, now_s + found.lag_s, end_s + found.lag_s)
    zero_s = cooling.start_s - found.lag_s
    return Course(rate, usual, tuple((zero_s + row[0], *row[1:]) for row in curve))


@dataclass(frozen=True)
class Outlook:
    """What lies ahead between beads, in s and beads from a moment on."""

    to_floor_s: Range | None
    "Until the probe reads the floor if nothing more is done."
    to_ceiling_s: Range | None
    "Until it has cooled to the ceiling."
    to_target_s: Range | None
    "Until the heat source has the part at the phase's target."
    beads_left: Range | None
    "Planned beads that fit in before the part is too near the floor."
    planned: bool
    "True where no reading stands behind it: only the plan."


def outlook(state: State, t_s: float) -> Outlook:
    """Return what lies ahead at `t_s`, as far as it has a meaning in this phase."""
    estimate, band = _estimate(state, t_s), state.job.band
    to_target, warming = _to_target(state, t_s), _warming(state)
    if estimate is None:
        return Outlook(None, None, to_target, None, planned=warming is None or not warming.bins)
    from pacer.heat.pauses.ahead import beads_left, paths, time_to

    ahead, now = paths(bare(state.job), estimate, t_s), believed(state, t_s)
    temp_c = now.temp_c if now is not None else float(ahead.probe_c[:, 0].mean())
    floor = ceiling = left = None
    if band.floor_c is not None and temp_c >= band.floor_c:
        floor = _range(time_to(ahead, band.floor_c))
    if temp_c > band.ceiling_c:
        ceiling = _range(time_to(ahead, band.ceiling_c))
    if band.floor_c is not None and state.phase in _BEADS_TO_COME:
        job, filler = state.job, state.job.filler
        bead_s, power_w = job.bead.planned_s, filler.voltage_v * filler.current_a
        most = max(0, job.plan.beads - state.work.laid)
        left = _range(beads_left(ahead, band.floor_c, power_w * bead_s, bead_s, beat_s(job), most))
    planned = estimate.readings == 0
    if target_c(state) is not None:
        planned = warming is None or not warming.bins
    return Outlook(floor, ceiling, to_target, left, planned)


def _estimate(state: State, t_s: float) -> belief.Estimate | None:
    """Return what is known of the part between beads, made up for the moment where not followed."""
    if state.phase in {Phase.COOL_DOWN, Phase.DONE} or state.cold_yet:
        return None
    if state.learned is not None and state.phase in FOLLOWED:
        return state.learned.estimate
    now = believed(state, t_s)
    if now is None:
        return None
    sd_dc = reading_sd_dc(now.typed)
    made_up = belief.begin(bare(state.job), t_s, now.temp_c, sd_dc, heated=False)
    return made_up._replace(readings=1)


def _range(ahead: Ahead | None) -> Range | None:
    return None if ahead is None else Range(ahead.value, ahead.low, ahead.high)


def _warming(state: State) -> Warming | None:
    """Return the readings of the present heating, not those of an earlier one."""
    warming = state.warming
    return warming if warming is not None and warming.start_s == state.work.entered_s else None


def _to_target(state: State, t_s: float) -> Range | None:
    """Return in how many s the heat source has the part at the phase's target."""
    goal_c, warming, job = target_c(state), _warming(state), state.job
    if goal_c is None:
        return None
    from pacer.heat.preheat.target import heating_prior, time_to_target

    now = believed(state, t_s)
    if now is not None and now.temp_c >= goal_c:
        return None
    start_c, ambient_c = job.cooldown.ambient_c, job.cooldown.ambient_c
    if warming is not None and warming.start_c is not None:
        start_c = warming.start_c
    elif now is not None:
        start_c = now.temp_c
    heating = heating_prior(
        job.heating.source,
        power_w(job, goal_c),
        job.part.mass_kg,
        cooling_part(job).plate_area_m2,
        ambient_c,
        start_c,
        goal_c,
        warm=state.phase is not Phase.PREHEAT,
    )
    began_s = state.work.entered_s if warming is None else warming.start_s
    found = time_to_target(
        heating,
        () if warming is None else warming.bins,
        goal_c,
        max(0.0, t_s - began_s),
        reading_sd_dc(warming is not None and warming.typed),
        () if warming is None else warming.bounds,
    )
    # A source too weak for its target, or not lit yet, has no time worth telling.
    if found is None or found.never or (found.high_s is None and found.value_s > _OPEN_S):
        return None
    return Range(found.value_s, found.low_s, found.high_s)


_BEADS_TO_COME = LAYING | {Phase.SOAK}
