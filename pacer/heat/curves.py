"""From a prior and standardised parameters to cooling curves, whatever the model."""

from __future__ import annotations

from typing import Protocol

import numpy as np
import numpy.typing as npt

from pacer.heat import air, burial
from pacer.heat.prior import Prior

Floats = npt.NDArray[np.float64]

FARTHEST_SD = 6.0
"No parameter is tried farther from its prior than this: numbers stay finite."


class Curves(Protocol):
    """Cooling curves of several parameter sets."""

    def at(self, times_s: Floats) -> Floats:
        """Return °C, shape (sets, times), for times of shape (times,) or (sets, times)."""


def curves_of(prior: Prior, z: Floats) -> Curves:
    """Return the curves at ``mean + sd * z``, `z` of shape (sets, parameters).

    `z` is cut to `FARTHEST_SD`; logarithms are taken off.
    """
    bounded = np.clip(z, -FARTHEST_SD, FARTHEST_SD)
    values = np.asarray(prior.mean) + np.asarray(prior.sd) * bounded
    logs = [name.startswith("ln ") for name in prior.names]
    params = np.where(logs, np.exp(np.where(logs, values, 0.0)), values)
    if prior.model == "still air":
        return air.still_air(params, prior.shape)
    if prior.model == "furnace":
        return air.Slowing(params)
    return burial.modes(params, prior.shape, blanket=prior.model == "wrapped")
