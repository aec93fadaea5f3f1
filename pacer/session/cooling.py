"""Whether a cool-down goes as its cover makes it go: looked at from time to time, told once.

Looks are named timers on a schedule that grows with the time (some 65 in twelve hours), so
that their cost doesn't grow with the readings. A departure is told when two looks in a row
agree; a normal burial in any cover is silent.
"""

from __future__ import annotations

import math
from dataclasses import replace as remade
from typing import TYPE_CHECKING, cast

import msgspec

from pacer.heat.cooldown.gap import Gap
from pacer.heat.cooldown.prior import Prior, prior
from pacer.job.job import CoverName, Job
from pacer.job.preheat import cooling_part, cover_of
from pacer.session.cues import Cue, CueKind
from pacer.session.events import ClockGap
from pacer.session.state import Cooling, State
from pacer.session.timers import Timer, after

if TYPE_CHECKING:
    from pacer.heat.cooldown.bridge import Refit
    from pacer.heat.cooldown.fitted import Fit
    from pacer.heat.cooldown.watching import Departure

replace = msgspec.structs.replace

TYPED_SD_DC, READ_SD_DC = 10.0, 1.0
"""Error of a hand-entered reading and of an instrument's (heat.md sections 4.5 and 7)."""

FIRST_LOOK_S = 900.0
"""Nothing is judged in the first quarter of an hour (procedure.md section 9)."""
_LOOK_GROWS = 1.06
_MOST_LOOKS = 80


LOOK, TOLD = "look", "departs "
DEPARTURES = {
    "faster": CueKind.COOLING_FAST,
    "slower": CueKind.COOLING_SLOWLY,
    "jump": CueKind.PROBE_MOVED,
}


BRIDGED_LEAST_SD_S, BRIDGED_SD_SHARE = 60.0, 0.05
"""How wrong the wall clock's or the welder's word for a gap is taken to be (our choice, no
source)."""


UNTIMED_S = 3600.0
"""A gap of unknown length is put down as so long, so that what is read after it stays apart
from what was read before; the forecast takes any length for possible."""


def over_gap(cooling: Cooling | None, gap: ClockGap) -> Cooling | None:
    """Return the cool-down after time nobody watched: its length counts, marked as what it is."""
    if cooling is None or gap.by == "steady":
        return cooling
    if gap.by == "unknown":
        return _untimed(cooling, gap)
    gap_s = max(0.0, gap.to_s - gap.t_s)
    if gap.by == "wall":
        cooling = replace(cooling, by_wall_s=round(cooling.by_wall_s + gap_s, 3))
    else:
        cooling = replace(cooling, by_word_s=round(cooling.by_word_s + gap_s, 3))
    earlier_sd_s = 0.0 if cooling.gap is None else cooling.gap.sd_s
    if earlier_sd_s is None:
        # What nobody knows at all is the larger doubt.
        return cooling
    sd_s = math.hypot(earlier_sd_s, max(BRIDGED_LEAST_SD_S, BRIDGED_SD_SHARE * gap_s))
    from_s = round(gap.to_s - cooling.start_s, 3)
    return replace(cooling, gap=Gap(from_s, round(gap_s, 3), round(sd_s, 3)))


def _untimed(cooling: Cooling, gap: ClockGap) -> Cooling:
    """Return the cool-down after a gap of unknown length.

    After an earlier gap one unknown length holds both: what was read between them is left out.
    """
    began_s = gap.t_s - cooling.start_s if cooling.gap is None else cooling.gap.from_s
    back_s = UNTIMED_S
    if cooling.gap is not None:
        bins = tuple(row for row in cooling.bins if row[0] < began_s)
        bounds = tuple(row for row in cooling.bounds if row[0] < began_s)
        began_s -= cooling.gap.length_s
        back_s = max(0.0, UNTIMED_S - (gap.t_s - cooling.start_s - began_s))
        cooling = replace(cooling, bins=bins, bounds=bounds)
    start_s = round(cooling.start_s - back_s, 3)
    from_s = round(max(gap.to_s, gap.t_s) - start_s, 3)
    return replace(
        cooling, start_s=start_s, gap=Gap(from_s, round(from_s - began_s, 3), None), departs=""
    )


def reading_sd_dc(typed: bool) -> float:
    """Return the error of a reading, K."""
    return TYPED_SD_DC if typed else READ_SD_DC


def cooldown_prior(job: Job, cover_name: str, start_c: float) -> Prior:
    """Return what is believed of a cool-down under `cover_name` from `start_c` before a reading."""
    # A job's cover or still air: both are names the models know.
    cover = remade(cover_of(job), name=cast("CoverName", cover_name))
    return prior(cooling_part(job), cover, job.cooldown.ambient_c, start_c)


def planned_start_c(job: Job) -> float:
    """Return the temperature a cool-down is planned to begin at, °C."""
    return job.postheat.temperature_c if job.method == "hot" else job.band.ceiling_c


def fitted(state: State, cooling: Cooling) -> Fit:
    """Return the cover's model fitted to the readings so far; to none, the plan's."""
    from pacer.heat.cooldown.fitted import fit

    return fit(
        _prior(state, cooling),
        cooling.bins,
        reading_sd_dc(cooling.typed),
        near=cooling.z or None,
        bounds=cooling.bounds,
    )


def refitted(state: State, cooling: Cooling) -> Refit:
    """Return what fits the cover's model to readings whose times are moved."""
    from pacer.heat.cooldown.fitted import fit

    known, sd_dc = _prior(state, cooling), reading_sd_dc(cooling.typed)
    return lambda bins, bounds, near: fit(known, bins, sd_dc, near=near, bounds=bounds)


def _prior(state: State, cooling: Cooling) -> Prior:
    start_c = cooling.start_c
    if start_c is None:
        start_c = planned_start_c(state.job)
    return cooldown_prior(state.job, cooling.cover, start_c)


def timers(state: State) -> list[Timer]:
    """The next look, where there is something to look at."""
    cooling = state.cooling
    if cooling is None or not cooling.bins or cooling.looks >= _MOST_LOOKS:
        return []
    if cooling.untimed:
        # What is usual at a moment can't be told where nobody knows which moment it is.
        return []
    due_s = FIRST_LOOK_S * _LOOK_GROWS**cooling.looks
    return [Timer(after(cooling.start_s, due_s), LOOK)]


def look(state: State, t_s: float) -> tuple[State, tuple[Cue, ...]]:
    """Fit, keep where the fit ended, and tell a departure that the look before saw too."""
    cooling = state.cooling
    assert cooling is not None
    found = fitted(state, cooling)
    departure = _departure(state, cooling, found)
    kind = departure.kind if departure is not None else ""
    # After a pause longer than the schedule's steps one look is enough for all it missed.
    looks = cooling.looks + 1
    while cooling.start_s + FIRST_LOOK_S * _LOOK_GROWS**looks <= t_s and looks < _MOST_LOOKS:
        looks += 1
    seen = replace(cooling, z=found.z, looks=looks, departs=kind)
    state = replace(state, cooling=seen)
    name = f"{TOLD}{kind}"
    if departure is None or kind != cooling.departs or name in state.work.told:
        return state, ()
    state = replace(state, work=replace(state.work, told=state.work.told | {name}))
    values = {"temp_c": round(cooling.bins[-1][1], 1), "off_dc": round(departure.off_dc, 1)}
    return state, (Cue(kind=DEPARTURES[kind], t_s=t_s, values=values),)


def _departure(state: State, cooling: Cooling, found: Fit) -> Departure | None:
    """Return how it departs from what its cover makes of it, a wrong clock left aside."""
    from pacer.heat.cooldown.watching import watch

    departure, gap = watch(found, cooling.bins), cooling.gap
    if departure is None or gap is None:
        return departure
    from pacer.heat.cooldown.bridge import moved, weighed

    # Said to be an hour longer than it was a gap looks like a cover that isn't there.
    best = weighed(cooling.bins, cooling.bounds, gap, refitted(state, cooling))[0]
    return watch(best.fit, moved(cooling.bins, gap, best.lag_s))
