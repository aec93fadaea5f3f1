"""The practice part's own burial as a second truth that the forecasts weren't made for.

`pacer.sensor.practice.burial` was written apart from the models of `pacer.heat`: another
grid, another time stepping, moisture that is gone once boiled, warm sand, another geometry
of cups and plates, the probe at an inner place. Its draws are cut off at two standard
deviations of the shared priors. The draws of one seed are the same in every job and cover:
two jobs of one seed are one draw, not two.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import msgspec
import numpy as np
import numpy.typing as npt

from pacer.heat.bins import Bins, add
from pacer.heat.part import CoolingPart, Cover, CoverName
from pacer.job.file.read import job_from_text
from pacer.job.preheat import cooling_part, cover_of
from pacer.sensor.practice.buried import bury
from pacer.sensor.practice.truth import draw

Floats = npt.NDArray[np.float64]

ROOT = Path(__file__).parents[2]
JOBS = {
    # File and box, m3.
    "pump foot": ("configs/pump-foot-hot-sand.toml", 0.03),
    "gear cover": ("configs/gear-cover-hot-vermiculite.toml", 0.06),
    "practice": ("pacer/sensor/practice/job.toml", 0.02),
}
BLANKET_M = 0.05


@dataclass(frozen=True, eq=False)
class BuriedTruth:
    """What happened and what the job says of it."""

    times_s: Floats
    part_c: Floats
    part: CoolingPart
    cover: Cover
    ambient_c: float
    bias_dc: float

    def reached_s(self, until_c: float) -> float:
        """Return when the probe's place was at `until_c`, s; inf if it wasn't."""
        if self.part_c[-1] > until_c:
            return float("inf")
        return float(np.interp(-until_c, -self.part_c, self.times_s))

    def bins_until(self, now_s: float, seed: int) -> Bins:
        """Return the bins of a sensor with bias and 1 °C noise, every 10 s."""
        chance = np.random.default_rng(seed + 1000)
        bins: Bins = ()
        for t in np.arange(0.0, now_s + 1e-6, 10.0):
            temp = float(np.interp(t, self.times_s, self.part_c)) + self.bias_dc
            bins = add(bins, float(t), temp + float(chance.normal(0.0, 1.0)))
        return bins


def truth(seed: int, name: str, cover: CoverName, until_c: float = 43.0) -> BuriedTruth:
    """Return the whole story of one seed of one of `JOBS` in `cover`."""
    path, volume_m3 = JOBS[name]
    job = job_from_text((ROOT / path).read_text(encoding="utf-8"), path)
    blanket = cover == "ceramic blanket"
    cooldown = msgspec.structs.replace(
        job.cooldown,
        cover=cover,
        volume_m3=None if blanket else volume_m3,
        thickness_m=BLANKET_M if blanket else None,
    )
    job = msgspec.structs.replace(job, cooldown=cooldown)
    drawn = draw(job, seed)
    chance = np.random.default_rng(seed + 6000)
    burial = bury(job, drawn)
    share = np.linspace(0.0, 1.0, 11)
    uneven_dc, start_c = chance.uniform(-12.0, 12.0), chance.uniform(245.0, 285.0)
    burial.put_in(share, start_c + uneven_dc * (2.0 * share - 1.0))
    place = float(chance.uniform(0.05, 0.9))
    times, temps = [0.0], [burial.at_c(place)]
    while temps[-1] > max(until_c, drawn.ambient_c + 5.0) and times[-1] < 60 * 3600.0:
        step_s = 10.0 if times[-1] < 3600.0 else 40.0
        burial.step(step_s)
        times.append(times[-1] + step_s)
        temps.append(burial.at_c(place))
    bias = float(chance.uniform(-1.5, 1.5))
    told = (cooling_part(job), cover_of(job), job.cooldown.ambient_c)
    return BuriedTruth(np.array(times), np.array(temps), *told, bias)
