"""How much colder a part is than its cover makes it, and how much of that the cover explains.

The fold tells that a cool-down departs from its cover's as soon as the fit strays from what was
believed: in a burial that began in warm sand, or with a part of another shape than its mass and
sizes say, by a few K. What it means for the iron is a matter of temperature. Here the part is laid
beside 80 burials in the same cover, drawn from what is believed of it before a reading.
"""

from __future__ import annotations

from typing import NamedTuple

from pacer.job.job import Job
from pacer.session.cooling import cooldown_prior, planned_start_c
from pacer.session.state import Cooling

BEYOND_SD = 2.4
"""Colder than the drawn burials by more than so many of their sd, in the logarithm of what is left
above the room, no cover as said explains it. Our choice, from 85 simulated burials in which the fold
told COOLING FAST: 26 clean ones (warm sand, a patched housing, furnaces) were colder by 2.1 sd at
most, 59 in damp sand, or with a part of the iron showing, by 2.8 at least. No real one was
measured."""

_LATEST = 5
"Bins whose median is compared, as the fold does (`heat/cooldown/watching.py`)."
_LEAST_DC = 1.0
"What is left above the room is never taken to be less: its logarithm is looked at."


class Explained(NamedTuple):
    """How cold a part is beside what its cover makes of it."""

    temp_c: float
    colder_dc: float
    "Than the cover makes it most probably."
    least_dc: float
    "So much colder the cover explains."

    @property
    def times(self) -> float:
        """How much colder it is, as a multiple of what the cover explains; 1 is at that limit."""
        return self.colder_dc / self.least_dc


def explained(job: Job, cooling: Cooling) -> Explained:
    """Compare the latest bins with the cover's cool-downs; costs some 80 curves at five times."""
    import numpy as np

    from pacer.heat.cooldown.curves import curves_of
    from pacer.heat.draws import normals

    start_c = planned_start_c(job) if cooling.start_c is None else cooling.start_c
    prior = cooldown_prior(job, cooling.cover, start_c)
    times_s, temps_c, _ = np.array(cooling.bins[-_LATEST:]).T
    count = len(prior.mean)
    z = np.concatenate([np.zeros((1, count)), normals(count)])
    curves_c = np.median(curves_of(prior, z).at(times_s), axis=1)
    left = np.log(np.maximum(curves_c - prior.ambient_c, _LEAST_DC))
    least_c = prior.ambient_c + float(np.exp(left[1:].mean() - BEYOND_SD * left[1:].std()))
    usual_c, temp_c = float(curves_c[0]), float(np.median(temps_c))
    return Explained(
        round(temp_c, 1),
        colder_dc=round(usual_c - temp_c, 1),
        least_dc=round(max(usual_c - least_c, _LEAST_DC), 1),
    )
