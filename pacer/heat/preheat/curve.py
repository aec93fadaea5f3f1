"""Heating curves of a part on a flame, in an oven or on a hot plate, many at once.

``dT/dt = r [ w(t) - f((T - Ta) / u) ] c(Ta) / c(T)``

* r: how fast the cold part rises once the source is hot, °C/s;
* u: how far above the air it would stop, °C; ``f(x) = (1 - g) x + g x |x|``, with the bend
  g because radiation and natural convection grow with temperature;
* w: the source's own warming up, ``1 - exp(-t / tau)`` since heating began;
* c(T): specific heat of grey iron, as in `lumped`.

With g, tau and the slope of c at zero it is the exponential approach. It takes the part as
one temperature; what is local (a torch's spot, a boss) is left to the fit's discrepancy.
Each step follows the tangent's own exponential, so no step is too long to be stable.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pacer.heat.lumped import heat_capacity_j_kgk

Floats = npt.NDArray[np.float64]

_C_J_KGK, _C_RISE_J_KGK2 = heat_capacity_j_kgk(0.0), 0.4
"Of `lumped.heat_capacity_j_kgk`; here without its bounds, which no preheat reaches."


@dataclass(frozen=True, eq=False)
class Curves:
    """Parameters of several heating curves, each array of shape (sets,)."""

    rate_c_s: Floats
    approach_dc: Floats
    warmup_s: Floats
    bend: float
    ambient_c: float

    def through(self, start_c: Floats, times_s: Floats) -> Floats:
        """Return °C of each curve that is at `start_c` at ``times_s[0]``, (sets, times).

        `times_s` counts since heating began and rises, (times,).
        """
        temps = [start_c]
        for step_s, warmth in self._steps(times_s):
            rate, decay = self._tangent(temps[-1], warmth)
            temps.append(temps[-1] + rate * step_s * _phi(decay * step_s))
        return np.array(temps).T

    def reached_s(self, start_c: Floats, target_c: Floats, times_s: Floats) -> Floats:
        """Return when each curve is first at its target, s after ``times_s[0]``, (sets,).

        0 where it is there at the start, ``inf`` where it isn't by the last of `times_s`.
        """
        temp, ago_s = start_c, 0.0
        found = np.where(start_c >= target_c, 0.0, math.inf)
        for step_s, warmth in self._steps(times_s):
            rate, decay = self._tangent(temp, warmth)
            then = temp + rate * step_s * _phi(decay * step_s)
            now = np.isinf(found) & (then >= target_c)
            if now.any():
                within_s = np.clip(_moment_s(rate, decay, target_c - temp), 0.0, step_s)
                found = np.where(now, ago_s + within_s, found)
                if np.isfinite(found).all():
                    break
            temp, ago_s = then, ago_s + step_s
        return found

    def _steps(self, times_s: Floats) -> list[tuple[float, Floats]]:
        """Return each step's length and the mean of w over it, (sets,)."""
        steps_s = np.diff(times_s)
        missing = np.exp(-times_s[:, None] / self.warmup_s)
        warmth = 1.0 + np.diff(missing, axis=0) * self.warmup_s / steps_s[:, None]
        return list(zip(steps_s.tolist(), warmth, strict=True))

    def _tangent(self, temp_c: Floats, warmth: Floats) -> tuple[Floats, Floats]:
        """Return dT/dt and its own slope (never positive), °C/s and 1/s."""
        x = (temp_c - self.ambient_c) / self.approach_dc
        bent = self.bend * np.abs(x)
        straight = 1.0 - self.bend
        heat = _C_J_KGK + _C_RISE_J_KGK2 * temp_c
        rate = self.rate_c_s * (_C_J_KGK + _C_RISE_J_KGK2 * self.ambient_c) / heat
        rise = rate * (warmth - x * (straight + bent))
        fall = rate * (straight + 2.0 * bent) / self.approach_dc
        # Of a falling curve the last term would have the other sign: left out, it can't run away.
        return rise, -fall - np.maximum(rise, 0.0) * _C_RISE_J_KGK2 / heat


def _phi(z: Floats) -> Floats:
    """Return ``(e^z - 1) / z`` for z at or below 0."""
    small = np.minimum(z, -1e-9)
    return np.asarray(np.expm1(small) / small, dtype=np.float64)


def _moment_s(rate: Floats, decay: Floats, rise_dc: Floats) -> Floats:
    """Return when ``rate (e^(decay t) - 1) / decay`` is at `rise_dc`, s; exact for a step."""
    slow = np.minimum(decay, -1e-12)
    share = np.maximum(rise_dc * slow / np.maximum(rate, 1e-9), -1.0 + 1e-12)
    return np.asarray(np.log1p(share) / slow, dtype=np.float64)
