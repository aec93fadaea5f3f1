"""The plate: heat in two dimensions along the plate, through the whole welding.

Finite volumes of equal size. The state is heat a volume (J/m3 above 0 °C), so that no
step loses or makes heat; temperature follows from ``h = rho (c0 T + c1 T^2 / 2)``. With
``k = k0 - b T`` the flow is the gradient of ``k0 T - b T^2/2``, exactly.
Through the thickness the plate is one temperature, which is wrong for the first seconds
after an arc (``d^2 / alpha`` is 8 s for 10 mm).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pacer.sensor.practice.march import Floats, march, stages
from pacer.sensor.practice.truth import RHO_KG_M3, STEFAN_BOLTZMANN_W_M2K4, ZERO_K, Iron


@dataclass(frozen=True)
class Air:
    """What the faces and the rim lose heat to; no loss: both numbers 0."""

    ambient_c: float
    emissivity: float
    convection_w_m2k: float
    "At a difference of 100 K; grows with its fourth root."


class Plate:
    """Temperatures of a rectangular plate, x along the joint, y across it, 0 at one corner."""

    def __init__(
        self,
        size_m: tuple[float, float],
        thickness_m: float,
        cell_m: float,
        iron: Iron,
        air: Air,
        start_c: float,
    ) -> None:
        """Cells are `cell_m` wide or a little more."""
        self.size_m = size_m
        self.thickness_m = thickness_m
        self.air = air
        nx, ny = (max(3, int(side / cell_m + 1e-9)) for side in size_m)
        self._dx, self._dy = size_m[0] / nx, size_m[1] / ny
        self.x_m = (np.arange(nx) + 0.5) * self._dx
        self.y_m = (np.arange(ny) + 0.5) * self._dy
        self._k0, self._half_b = iron.k_w_mk, 0.5 * iron.k_fall_w_mk2
        self._c0, self._c1 = RHO_KG_M3 * iron.c_j_kgk, RHO_KG_M3 * iron.c_rise_j_kgk2
        self._rim = self._rim_share(nx, ny)
        self._heat = np.empty((nx, ny))
        self.fill(start_c)
        coldest = min(start_c, air.ambient_c)
        alpha = self._k0 / (self._c0 + self._c1 * max(coldest, 0.0))
        self._limit_s = 0.5 / (alpha * (self._dx**-2 + self._dy**-2))

    def _rim_share(self, nx: int, ny: int) -> Floats:
        """Return each cell's outer rim area over the area of one of its faces."""
        rim = np.zeros((nx, ny))
        rim[0] += self.thickness_m / self._dx
        rim[-1] += self.thickness_m / self._dx
        rim[:, 0] += self.thickness_m / self._dy
        rim[:, -1] += self.thickness_m / self._dy
        return rim

    def fill(self, temp_c: float) -> None:
        """Bring the whole plate to one temperature."""
        self._heat[:] = self._c0 * temp_c + 0.5 * self._c1 * temp_c**2

    def shift(self, by_dc: float) -> None:
        """Make every cell hotter by some kelvin, or colder."""
        temp_c = self.temps_c + by_dc
        self._heat = self._c0 * temp_c + 0.5 * self._c1 * temp_c**2

    @property
    def heat_j(self) -> float:
        """Heat content above 0 °C, J."""
        return float(self._heat.sum()) * self._dx * self._dy * self.thickness_m

    @property
    def temps_c(self) -> Floats:
        """Temperature of every cell, °C, shape (x, y)."""
        return self._temps_of(self._heat)

    def _temps_of(self, heat: Floats) -> Floats:
        # In this form it holds for a specific heat that doesn't rise, too.
        root = (2.0 * self._c1) * heat
        root += self._c0**2
        np.sqrt(root, out=root)
        root += self._c0
        return np.asarray(2.0 * heat / root, dtype=np.float64)

    def at_c(self, x_m: float, y_m: float) -> float:
        """Return the temperature at a place, °C, between the four nearest cells."""
        nx, ny = self._heat.shape
        u = min(max(x_m / self._dx - 0.5, 0.0), nx - 1.000001)
        v = min(max(y_m / self._dy - 0.5, 0.0), ny - 1.000001)
        i, j = int(u), int(v)
        u, v = u - i, v - j
        heat = self._heat
        near = (1.0 - u) * ((1.0 - v) * heat[i, j] + v * heat[i, j + 1])
        near += u * ((1.0 - v) * heat[i + 1, j] + v * heat[i + 1, j + 1])
        root = (self._c0**2 + 2.0 * self._c1 * float(near)) ** 0.5
        return float(2.0 * near / (self._c0 + root))

    def spot(self, x_m: float, y_m: float, sigma_m: float) -> Floats:
        """Return a round Gaussian patch, 1/m2, that adds up to 1 over the plate."""
        sigma = max(sigma_m, 0.7 * max(self._dx, self._dy))
        across = np.exp(-0.5 * ((self.y_m - y_m) / sigma) ** 2)
        along = np.exp(-0.5 * ((self.x_m - x_m) / sigma) ** 2)
        patch = np.outer(along, across)
        return np.asarray(patch / (patch.sum() * self._dx * self._dy), dtype=np.float64)

    def loss_w_m2(self, temp_c: Floats, faces: float, rim: float = 1.0) -> Floats:
        """Return what each cell loses to the air by its faces and its rim, W per area of one face."""
        air = self.air
        over = temp_c - air.ambient_c
        film = air.convection_w_m2k * np.sqrt(np.sqrt(np.abs(over) * 0.01))
        hot = temp_c + ZERO_K
        hot *= hot
        radiant = (air.emissivity * STEFAN_BOLTZMANN_W_M2K4) * (
            hot * hot - (air.ambient_c + ZERO_K) ** 4
        )
        return np.asarray((film * over + radiant) * (rim * self._rim + faces), dtype=np.float64)

    def step(
        self,
        step_s: float,
        flux_w_m2: Floats | float = 0.0,
        film_w_m2k: Floats | float = 0.0,
        gas_c: float = 0.0,
        bare_faces: float = 2.0,
        bare_rim: float = 1.0,
    ) -> None:
        """Move on by `step_s` with heat put in and lost as at its start.

        `flux_w_m2` goes in as it is, ``film (gas - T)`` as the part takes it;
        `bare_faces` of the two faces lose heat to the air, and `bare_rim` of the rim.
        """
        temp_c = self.temps_c
        into = (
            flux_w_m2 + film_w_m2k * (gas_c - temp_c) - self.loss_w_m2(temp_c, bare_faces, bare_rim)
        )
        into = into / self.thickness_m
        self._heat = march(
            self._heat,
            lambda heat: self._conduction(heat, into),
            step_s,
            stages(step_s, self._limit_s),
        )

    def _conduction(self, heat: Floats, into: Floats) -> Floats:
        """Return the change of heat, W/m3: `into` and what flows between cells."""
        temp = self._temps_of(heat)
        flow = self._k0 - self._half_b * temp
        flow *= temp
        change = into.copy()
        along = flow[1:] - flow[:-1]
        along *= self._dx**-2
        change[:-1] += along
        change[1:] -= along
        across = flow[:, 1:] - flow[:, :-1]
        across *= self._dy**-2
        change[:, :-1] += across
        change[:, 1:] -= across
        return change

    def rings_c(self) -> tuple[Floats, Floats]:
        """Return (share of the area further in, temperature) of all cells, centre first."""
        u = (self.x_m / self.size_m[0] - 0.5)[:, None]
        v = (self.y_m / self.size_m[1] - 0.5)[None, :]
        order = np.argsort((u**2 + v**2).ravel(), kind="stable")
        share = (np.arange(order.size) + 0.5) / order.size
        return share, self.temps_c.ravel()[order]
