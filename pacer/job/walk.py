"""The planned beads walked one after another: reheats, waits and the time they all take.

The part is one temperature, as in `heat/lumped.py`: it loses heat during bead, peen and
handling and gets the arc's heat back, spread through the whole of it. Near the joint it
is hotter, so a sensor there waits more and reheats less than is forecast here. Of the
band only what the session goes by is used: no bead that would end below the floor, a
reheat up to the preheat target, a wait down from the ceiling.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from pacer.heat import arc, lumped
from pacer.job.forecast import Cause, Forecast, rounded, spread
from pacer.job.job import Band, Job
from pacer.job.layers import unpeened_runs
from pacer.job.preheat import LOSS, POWER, cooling_part, heating_time_s

HANDLING_S: Cause = (25.0, 10.0, 60.0)
"Slag, brush, look, next rod: for each bead, s (common practice, no source)."
_ARC: Cause = (1.0, *arc.EFFICIENCY_RANGE)

_MOST_BEADS = 200
"Walked one by one; a longer job goes on as these did."


class Walk(NamedTuple):
    """What happened on the way through all beads."""

    time_s: float
    "From the first arc to the end of the last peen and handling, reheats and waits included."
    reheats: float
    end_c: float


def beat_s(job: Job) -> float:
    """Return the mean time from one bead to the next where nothing has to be waited for, s."""
    return job.bead.planned_s + _peen_s(job) + HANDLING_S[0]


def waited_beat_s(job: Job) -> float:
    """Return the mean time from one bead to the next, s; cold: at the ceiling, its wait included."""
    waited_s = 0.0 if job.method == "hot" else bead_wait_s(job, job.band.ceiling_c)
    return max(beat_s(job), job.bead.planned_s + waited_s)


def _peen_s(job: Job) -> float:
    """Return the peening of a bead, s, the mean over the runs that are peened and those left."""
    return job.bead.peen_s * (1.0 - len(unpeened_runs(job)) / job.plan.runs)


def bead_heat_j(job: Job) -> float:
    """Return the heat one planned bead leaves in the part, J."""
    filler = job.filler
    return arc.bead_heat_j(filler.voltage_v, filler.current_a, job.bead.planned_s, filler.process)


def bead_rise_dc(job: Job) -> float:
    """Return by how much one bead warms the whole part where the beads are laid, K."""
    at_c = job.band.preheat_c if job.band.preheat_c is not None else job.band.ceiling_c
    cp_j_kgk = lumped.heat_capacity_j_kgk(at_c)
    return arc.bulk_rise_dc(bead_heat_j(job), job.part.mass_kg, cp_j_kgk)


def walk(
    job: Job,
    beads: float,
    handling_s: float = HANDLING_S[0],
    loss: float = 1.0,
    share: float = 1.0,
    heat: float = 1.0,
) -> Walk:
    """Return what `beads` beads take; factors against the loss, source power and arc heat."""
    band, bead = job.band, job.bead
    worked_s = bead.planned_s + _peen_s(job)
    air = _Air(job, loss)
    heat_j = heat * bead_heat_j(job)
    temp_c = band.preheat_c if band.preheat_c is not None else job.cooldown.ambient_c
    time_s, reheats, count = 0.0, 0, min(round(beads), _MOST_BEADS)
    for _ in range(count):
        if _too_cold(band, air.sunk_c(temp_c, bead.planned_s)):
            target_c = max(temp_c, (band.preheat_c or 0.0) - band.deadband_dc)
            time_s += air.heat_s(temp_c, target_c, share)
            temp_c, reheats = target_c, reheats + 1
        temp_c += arc.bulk_rise_dc(heat_j, job.part.mass_kg, lumped.heat_capacity_j_kgk(temp_c))
        temp_c = air.sunk_c(temp_c, worked_s)
        below_c = band.ceiling_c - band.deadband_dc
        wait_s = air.cool_s(temp_c, below_c) if temp_c > band.ceiling_c else 0.0
        # Slag and brush are done while the part cools.
        temp_c = below_c if wait_s > handling_s else air.sunk_c(temp_c, handling_s)
        time_s += worked_s + max(wait_s, handling_s)
    return Walk(time_s * beads / count, reheats * beads / count, temp_c)


def _too_cold(band: Band, end_c: float) -> bool:
    return band.floor_c is not None and end_c < band.floor_c


class _Air:
    """The bare part in still air, in steps short enough to take at once.

    Beads soon repeat each other exactly, so that the two long integrals are remembered.
    """

    def __init__(self, job: Job, loss: float) -> None:
        self._job, self._known_s = job, dict[tuple[float, float], float]()
        self._ambient_c, self._mass_kg = job.cooldown.ambient_c, job.part.mass_kg
        self._area_m2, self._loss = cooling_part(job).plate_area_m2, loss

    def sunk_c(self, temp_c: float, time_s: float) -> float:
        """Return the temperature after `time_s`, °C; as `lumped.temp_after_c` in one step.

        Good to 0.1 K for the ten or twenty degrees between two beads.
        """
        over_dc = temp_c - self._ambient_c
        half_dc = over_dc * math.exp(-0.5 * time_s * self._decay_1_s(over_dc))
        return self._ambient_c + over_dc * math.exp(-time_s * self._decay_1_s(half_dc))

    def _decay_1_s(self, over_dc: float) -> float:
        temp_c = self._ambient_c + over_dc
        film = lumped.film_w_m2k(temp_c, self._ambient_c, scale=self._loss)
        return self._area_m2 * film / (self._mass_kg * lumped.heat_capacity_j_kgk(temp_c))

    def cool_s(self, temp_c: float, target_c: float) -> float:
        """Return how long it takes down to `target_c`, s."""
        if (temp_c, target_c) not in self._known_s:
            self._known_s[temp_c, target_c] = lumped.time_to_cool_s(
                temp_c, target_c, self._ambient_c, self._mass_kg, self._area_m2, scale=self._loss
            )
        return self._known_s[temp_c, target_c]

    def heat_s(self, temp_c: float, target_c: float, share: float) -> float:
        """Return how long the job's source takes up to `target_c`, s; one `share` a walk."""
        if (temp_c, target_c) not in self._known_s:
            taken_s = heating_time_s(self._job, temp_c, target_c, share, self._loss)
            self._known_s[temp_c, target_c] = taken_s
        return self._known_s[temp_c, target_c]


def reheats(job: Job, beads: Cause) -> Forecast:
    """Return how often the part has to be heated again between beads.

    `beads` is the likely count and its ends.
    """

    def count(beads: float, handling_s: float, loss: float, heat: float) -> float:
        return walk(job, beads, handling_s, loss, heat=heat).reheats

    return spread(count, beads, HANDLING_S, LOSS, _ARC)


def session_time(job: Job, beads: Cause) -> Forecast:
    """Return the time from the first heat (cold: the first bead) to covering the part, s.

    Preheat, soak, beads with their reheats and waits, heating to the equalising hold, hold.
    """
    band, ambient_c = job.band, job.cooldown.ambient_c

    def time_s(beads: float, handling_s: float, loss: float, share: float, heat: float) -> float:
        walked = walk(job, beads, handling_s, loss, share, heat)
        if band.preheat_c is None:
            return walked.time_s
        before_s = heating_time_s(job, ambient_c, band.preheat_c, share, loss) + band.soak_s
        after_s = heating_time_s(job, walked.end_c, job.postheat.temperature_c, share, loss)
        return before_s + walked.time_s + after_s + job.postheat.hold_s

    return spread(time_s, beads, HANDLING_S, LOSS, POWER, _ARC)


def wait_time(job: Job) -> Forecast:
    """Return the cold method's time between beads, once the part is at the ceiling, s."""
    if job.method == "hot":
        return Forecast(0.0, 0.0, 0.0)
    likely_s, low_s, high_s = (
        bead_wait_s(job, job.band.ceiling_c, loss) for loss in (LOSS[0], LOSS[2], LOSS[1])
    )
    return rounded(likely_s, low_s, high_s)


def bead_wait_s(job: Job, at_c: float, loss: float = 1.0) -> float:
    """Return how long the part takes to lose one bead's heat down to `at_c` in still air, s.

    ``inf`` where `at_c` is not above the shop.
    """
    return _Air(job, loss).cool_s(at_c + bead_rise_dc(job), at_c)
