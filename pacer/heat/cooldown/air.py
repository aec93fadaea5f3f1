"""A part in still air: curves for many parameter sets.

Still air is the balance of `lumped` with its convection and its radiation scaled apart:
with one common scale the forecast is as good but its interval far too narrow. Integrated
over the logarithm of the difference to ambient, where it is smooth, then interpolated.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pacer.heat.lumped import CONVECTION_W_M2K, STEFAN_BOLTZMANN_W_M2K4, ZERO_CELSIUS_K

Floats = npt.NDArray[np.float64]

_STEPS = 120
_FALL = 7.0
"The table ends where 1/1100 of the difference to ambient is left, below any noise."

AREA, CONVECTION, EMISSIVITY, START, AMBIENT, POWER = range(6)
"Columns of a still-air parameter array, as `prior` orders them."


@dataclass(frozen=True, eq=False)
class Table:
    """Tabulated still-air curves: time against the logarithm of the difference."""

    ambient_c: Floats
    "(sets,)"
    start_dc: Floats
    "(sets,), signed"
    times_s: Floats
    "(sets, steps), rising from 0"
    fall: Floats
    "(steps,), logarithm of start difference over difference"

    def at(self, times_s: Floats) -> Floats:
        """Return the temperature, °C, shape (sets, times); times as in `burial.Modes`."""
        rows = []
        for i, table_s in enumerate(self.times_s):
            wanted = times_s[i] if times_s.ndim == 2 else times_s
            fall = np.interp(wanted, table_s, self.fall)
            # Beyond the table the loss is Newton's: the last slope goes on.
            slope = (self.fall[-1] - self.fall[-2]) / (table_s[-1] - table_s[-2])
            fall += np.maximum(wanted - table_s[-1], 0.0) * slope
            rows.append(self.ambient_c[i] + self.start_dc[i] * np.exp(-fall))
        return np.array(rows)


def still_air(params: Floats, mass_kg: float) -> Table:
    """Return the curves of `params`, shape (sets, 6) in the order named above."""
    ambient = params[:, AMBIENT]
    start_dc = params[:, START] - ambient
    fall = np.linspace(0.0, _FALL, _STEPS)
    temp = ambient[:, None] + start_dc[:, None] * np.exp(-fall)[None, :]
    hot, cold = temp + ZERO_CELSIUS_K, (ambient + ZERO_CELSIUS_K)[:, None]
    convection = (
        CONVECTION_W_M2K * (np.abs(temp - ambient[:, None]) / 100.0) ** params[:, POWER, None]
    )
    radiation = STEFAN_BOLTZMANN_W_M2K4 * (hot + cold) * (hot**2 + cold**2)
    film = params[:, CONVECTION, None] * convection + params[:, EMISSIVITY, None] * radiation
    heat = mass_kg * (450.0 + 0.4 * np.clip(temp, 0.0, 700.0))
    slowness = heat / (params[:, AREA, None] * film)
    pieces = 0.5 * (slowness[:, 1:] + slowness[:, :-1]) * np.diff(fall)
    times = np.concatenate([np.zeros((len(params), 1)), np.cumsum(pieces, axis=1)], axis=1)
    return Table(ambient, start_dc, times, fall)
