"""From a prior and standardised parameters to cooling curves, whatever the model."""

from __future__ import annotations

from typing import Protocol

import numpy as np
import numpy.typing as npt

from pacer.heat.cooldown import air, anybody, burial
from pacer.heat.cooldown.prior import Prior

Floats = npt.NDArray[np.float64]

FARTHEST_SD = 6.0
"No parameter is tried farther from its prior than this: numbers stay finite."


COVERED = frozenset({"buried", "wrapped", "furnace"})
"Models of a medium round the part, see `burial`."


class Curves(Protocol):
    """Cooling curves of several parameter sets."""

    def at(self, times_s: Floats) -> Floats:
        """Return °C, shape (sets, times), for times of shape (times,) or (sets, times)."""


def params_of(prior: Prior, z: Floats) -> Floats:
    """Return physical parameters at ``mean + sd * z``, (sets, parameters), logarithms taken off.

    `z` is cut to `FARTHEST_SD`.
    """
    bounded = np.clip(z, -FARTHEST_SD, FARTHEST_SD)
    values = np.asarray(prior.mean) + np.asarray(prior.sd) * bounded
    logs = np.array([name.startswith("ln ") for name in prior.names])
    values[:, logs] = np.exp(values[:, logs])
    return np.asarray(values, dtype=np.float64)


def curves_of(prior: Prior, z: Floats) -> Curves:
    """Return the curves at `z`, shape (sets, parameters), as `params_of` takes it."""
    params = params_of(prior, z)
    if prior.model == "still air":
        return air.still_air(params, prior.shape)
    if prior.model == "any body":
        return anybody.AnyBody(params)
    return burial.modes(params, prior.shape, blanket=prior.model != "buried")
