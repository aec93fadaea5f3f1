"""How fast a hot part begins to cool in its cover, before any reading of it."""

from __future__ import annotations

from pacer.job.job import Job
from pacer.job.preheat import cooling_part, cover_of


def first_rate(job: Job) -> tuple[float, float, float]:
    """Return low, likely and high greatest half-hour mean, K/h, of a hot job's cool-down.

    80 %, from the prior: its own part, cover and shop, from the post-heat temperature.
    """
    from pacer.heat.cooldown.prior import prior
    from pacer.heat.cooldown.rate import first_rate_c_h

    start_c = job.postheat.temperature_c
    return first_rate_c_h(prior(cooling_part(job), cover_of(job), job.cooldown.ambient_c, start_c))
