"""What it takes to heat the part: the source's power, the time, the energy.

Powers are assumed, for nobody knows his grill's; hence the wide range.
"""

from __future__ import annotations

from pacer.heat import lumped
from pacer.heat.part import CoolingPart, Cover
from pacer.job.forecast import Cause, Forecast, spread
from pacer.job.job import Job

# Heat into each m² of iron by a source of a size that fits the part, W/m². Chosen so
# that a 3 kg plate takes what heat.md's simulated heat-ups took (grill some 16 min and
# torch 4 min from 80 to 260 °C); oven and hot plate are estimates. No source.
SOURCE_W_M2 = {"gas grill": 7000.0, "oven": 8000.0, "torch": 20000.0, "hot plate": 7000.0}
POWER_RANGE = (0.6, 1.6)
"A source's power against the assumed one; no source."
_SPARE, _LEAST_SPARE = 1.3, 1.15
"A source that fits the part can hold it at its target with this much to spare."

LOSS: Cause = (1.0, 0.65, 1.45)
"""A bare part's loss against the model's: emissivity 0.55-0.95 round 0.8 (two tables,
SEEN-S), area 22 % and draught (estimates)."""
_HEAT: Cause = (1.0, 0.87, 1.13)
"Heat capacity: mass and specific heat together 10 % (estimate), as in `heat/cooldown/prior.py`."
POWER: Cause = (1.0, *POWER_RANGE)


def cooling_part(job: Job) -> CoolingPart:
    """Return the part as the heat models take it."""
    return CoolingPart(job.part.mass_kg, job.part.size_m, job.part.wall_m)


def cover_of(job: Job) -> Cover:
    """Return the cover as the heat models take it."""
    return Cover(job.cooldown.cover, job.cooldown.volume_m3, job.cooldown.thickness_m)


def power_w(job: Job, target_c: float, share: float = 1.0, loss: float = 1.0) -> float:
    """Return the heat a source of fitting size puts into the part, W.

    `share` of its assumed power; `loss` is the part's loss against the model's.
    """
    area_m2 = cooling_part(job).plate_area_m2
    loss_w = lumped.loss_w(target_c, job.cooldown.ambient_c, area_m2, scale=loss)
    spare = _SPARE if share >= 1.0 else _LEAST_SPARE
    return max(share * SOURCE_W_M2[job.heating.source] * area_m2, spare * loss_w)


def heating_time_s(
    job: Job,
    start_c: float,
    target_c: float,
    share: float = 1.0,
    loss: float = 1.0,
    heat: float = 1.0,
) -> float:
    """Return how long the job's heat source takes, s.

    `share` as in `power_w`; `heat` is the part's heat capacity against the model's.
    """
    return lumped.time_to_heat_s(
        power_w(job, target_c, share, loss),
        start_c,
        target_c,
        job.cooldown.ambient_c,
        heat * job.part.mass_kg,
        cooling_part(job).plate_area_m2,
        scale=loss,
    )


def preheat_time(job: Job) -> Forecast:
    """Return how long the preheat takes, s; nothing in the cold method."""
    target_c = job.band.preheat_c
    if target_c is None:
        return Forecast(0.0, 0.0, 0.0)

    def time_s(share: float, loss: float, heat: float) -> float:
        return heating_time_s(job, job.cooldown.ambient_c, target_c, share, loss, heat)

    return spread(time_s, POWER, LOSS, _HEAT)


def preheat_energy(job: Job) -> Forecast:
    """Return the heat the part has to be given until it is at its preheat target, J.

    What stays in the iron and what it loses to the air meanwhile. Not what the source
    burns: a flame wastes the larger part of its heat.
    """
    target_c = job.band.preheat_c
    if target_c is None:
        return Forecast(0.0, 0.0, 0.0)

    def energy_j(share: float, loss: float, heat: float) -> float:
        time_s = heating_time_s(job, job.cooldown.ambient_c, target_c, share, loss, heat)
        return power_w(job, target_c, share, loss) * time_s

    # Nothing lost at all, with the least iron, is less than any preheat takes.
    return spread(energy_j, POWER, LOSS, _HEAT, least=_HEAT[1] * heat_in_iron_j(job))


def heat_in_iron_j(job: Job) -> float:
    """Return the heat that is in the part at its preheat target, above the shop's, J."""
    target_c, ambient_c = job.band.preheat_c, job.cooldown.ambient_c
    if target_c is None or target_c <= ambient_c:
        return 0.0
    # Specific heat is a straight line, so its mean is that of the mean temperature.
    mean_j_kgk = lumped.heat_capacity_j_kgk(0.5 * (ambient_c + target_c))
    return job.part.mass_kg * mean_j_kgk * (target_c - ambient_c)
