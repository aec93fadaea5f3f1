"""Whether a cool-down goes as its cover makes it go: looked at from time to time, told once.

Looks are named timers on a schedule that grows with the time (some 65 in twelve hours), so
that their cost doesn't grow with the readings. A departure is told when two looks in a row
agree; a normal burial in any cover is silent.
"""

from __future__ import annotations

from dataclasses import replace as remade
from typing import TYPE_CHECKING, cast

import msgspec

from pacer.heat.cooldown.prior import Prior, prior
from pacer.job.job import CoverName, Job
from pacer.job.preheat import cooling_part, cover_of
from pacer.session.cues import Cue, CueKind
from pacer.session.state import Cooling, State
from pacer.session.timers import Timer, after

if TYPE_CHECKING:
    from pacer.heat.cooldown.fitted import Fit

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

    job, start_c = state.job, cooling.start_c
    if start_c is None:
        start_c = planned_start_c(job)
    return fit(
        cooldown_prior(job, cooling.cover, start_c),
        cooling.bins,
        reading_sd_dc(cooling.typed),
        near=cooling.z or None,
        bounds=cooling.bounds,
    )


def timers(state: State) -> list[Timer]:
    """The next look, where there is something to look at."""
    cooling = state.cooling
    if cooling is None or not cooling.bins or cooling.looks >= _MOST_LOOKS:
        return []
    due_s = FIRST_LOOK_S * _LOOK_GROWS**cooling.looks
    return [Timer(after(cooling.start_s, due_s), LOOK)]


def look(state: State, t_s: float) -> tuple[State, tuple[Cue, ...]]:
    """Fit, keep where the fit ended, and tell a departure that the look before saw too."""
    from pacer.heat.cooldown.watching import watch

    cooling = state.cooling
    assert cooling is not None
    found = fitted(state, cooling)
    departure = watch(found, cooling.bins)
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
