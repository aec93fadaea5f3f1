"""A body that isn't what the job says: a cooling curve with no physics but decay.

``T = Ta + (T0 - Ta) [a exp(-r t/tau) + (1 - a) (1 + s t/tau)^(-1/s)]``: a quick share (skin,
contents, a part of its own) and a rest that decays from an exponential (small s) to a
power law. With wide priors its forecasts are wide: what is left to say of a measured curve
that the cover's model can't be right about.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

TIME, SLOWING, QUICK, RATIO, START, AMBIENT = range(6)
"Columns of a parameter array, as `prior` orders them."

_STRAIGHT, _LEAST = 1e-6, -0.4
"A slowing so small is none: an exponential; a negative one quickens towards the end."


@dataclass(frozen=True, eq=False)
class AnyBody:
    """Curves by formula."""

    params: Floats
    "(sets, 6)"

    def at(self, times_s: Floats) -> Floats:
        """Return the temperature, °C, shape (sets, times); times as in `burial.Modes`."""
        times = times_s if times_s.ndim == 2 else times_s[None, :]
        time, slowing, odds, ratio, start, ambient = (self.params[:, i, None] for i in range(6))
        scaled = times / time
        slowing = np.where(np.abs(slowing) < _STRAIGHT, _STRAIGHT, np.maximum(slowing, _LEAST))
        slow = np.exp(-np.log1p(np.maximum(slowing * scaled, -1.0 + 1e-12)) / slowing)
        quick = np.exp(-np.minimum(ratio * scaled, 60.0))
        share = odds / (1.0 + odds)
        left = share * quick + (1.0 - share) * slow
        return np.asarray(ambient + (start - ambient) * left, dtype=np.float64)
