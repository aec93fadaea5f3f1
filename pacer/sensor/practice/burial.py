"""The part in its cover: heat in two dimensions, round an axis, iron and medium together.

Finite volumes in r and z, cells growing away from the part. The state is heat a volume;
conductivities change with temperature and are taken at the start of each step. Iron and
medium touch through a contact conductance. Moisture boils away at 100 °C where the medium
gets so hot, once, and is gone. The outside loses heat to the room through `outer`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pacer.sensor.practice.march import Floats, march, stages
from pacer.sensor.practice.truth import RHO_KG_M3, Iron, Medium

_BOILS_C = 100.0


@dataclass(frozen=True, eq=False)
class Grid:
    """Cell edges and what each cell is made of."""

    r_m: Floats
    "Edges from the axis outward, (nr + 1,)."
    z_m: Floats
    "Edges from the floor upward, (nz + 1,)."
    iron: npt.NDArray[np.bool_]
    "(nr, nz)"


@dataclass(frozen=True)
class Outside:
    """Conductances to the room, W/m2K; 0 keeps all heat in."""

    ambient_c: float
    wall_w_m2k: float
    top_w_m2k: float
    floor_w_m2k: float


class Burial:
    """Temperatures of a part in its cover."""

    def __init__(self, grid: Grid, iron: Iron, medium: Medium, outside: Outside) -> None:
        self.grid = grid
        self._outside = outside
        r, z = grid.r_m, grid.z_m
        self._ring = np.pi * np.diff(r**2)[:, None]
        self._high = np.diff(z)[None, :]
        self._volume = self._ring * self._high
        of = grid.iron
        self._k0 = np.where(of, iron.k_w_mk, medium.k_w_mk * (1.0 - 25.0 * medium.k_rise_1_k))
        self._k1 = np.where(of, -iron.k_fall_w_mk2, medium.k_w_mk * medium.k_rise_1_k)
        self._c0 = np.where(of, RHO_KG_M3 * iron.c_j_kgk, medium.rho_c_j_m3k)
        self._c1 = np.where(
            of, RHO_KG_M3 * iron.c_rise_j_kgk2, medium.rho_c_j_m3k * medium.c_rise_1_k
        )
        self._c0_squared, self._two_c1 = self._c0**2, 2.0 * self._c1
        self._water = np.where(of, 0.0, medium.water_j_m3)
        touch = 1.0 / medium.contact_w_m2k
        self._touch_r = np.where(of[1:] != of[:-1], touch, 0.0)
        self._touch_z = np.where(of[:, 1:] != of[:, :-1], touch, 0.0)
        self._heat = self._heat_at(np.full(of.shape, medium.start_c))

    def _heat_at(self, temp_c: Floats) -> Floats:
        return np.asarray((self._c0 + 0.5 * self._c1 * temp_c) * temp_c, dtype=np.float64)

    def _temps_of(self, heat: Floats) -> Floats:
        # In this form it holds for a specific heat that doesn't rise, too.
        root = self._two_c1 * heat
        root += self._c0_squared
        np.sqrt(root, out=root)
        root += self._c0
        return np.asarray(2.0 * heat / root, dtype=np.float64)

    def put_in(self, share: Floats, temp_c: Floats) -> None:
        """Give the iron the temperatures of a part: `temp_c` against share of area further in."""
        r = self.grid.r_m
        middle = 0.5 * (r[1:] + r[:-1])
        outer_m = float(r[1:][self.grid.iron.any(axis=1)].max())
        wanted = np.interp((middle / outer_m) ** 2, share, temp_c)[:, None]
        self._heat = np.where(self.grid.iron, self._heat_at(wanted), self._heat)

    @property
    def temps_c(self) -> Floats:
        """Temperature of every cell, °C, shape (r, z)."""
        return self._temps_of(self._heat)

    @property
    def heat_j(self) -> float:
        """Heat content above 0 °C, without what the moisture took, J."""
        return float((self._heat * self._volume).sum())

    @property
    def part_c(self) -> float:
        """Mean temperature of the iron, by volume, °C."""
        iron = self.grid.iron
        return float((self.temps_c * self._volume)[iron].sum() / self._volume[iron].sum())

    def at_c(self, share: float) -> float:
        """Return the iron's lowest layer at a share of the area further in (0 axis, 1 rim), °C."""
        r, iron = self.grid.r_m, self.grid.iron
        column = iron.any(axis=1)
        outer_m = float(r[1:][column].max())
        i = min(int(np.searchsorted(r, share**0.5 * outer_m, side="right")) - 1, column.sum() - 1)
        j = int(np.argmax(iron[i]))
        return float(self.temps_c[i, j])

    def step(self, step_s: float) -> None:
        """Move on by `step_s`."""
        along, up, outer, total = self._conductances()
        # Every rate is at most twice the sum of a cell's conductances over its heat capacity.
        limit_s = float(np.min(self._c0 * self._volume / total))
        ambient_c = self._outside.ambient_c

        def rate(heat: Floats) -> Floats:
            temp = self._temps_of(heat)
            change = outer * (ambient_c - temp)
            flow = along * (temp[1:] - temp[:-1])
            change[:-1] += flow
            change[1:] -= flow
            flow = up * (temp[:, 1:] - temp[:, :-1])
            change[:, :-1] += flow
            change[:, 1:] -= flow
            change /= self._volume
            return np.asarray(change, dtype=np.float64)

        self._heat = march(self._heat, rate, step_s, stages(step_s, limit_s))
        if self._water.any():
            self._boil()

    def _conductances(self) -> tuple[Floats, Floats, Floats, Floats]:
        """Return W/K between cells in r and in z, to the room, and each cell's sum."""
        k = self._k0 + self._k1 * self._temps_of(self._heat)
        r, high = self.grid.r_m, self._high
        half_r = 0.5 * np.diff(r)[:, None] / k
        half_z = 0.5 * high / k
        rim = 2.0 * np.pi * r[1:, None] * high
        along = rim[:-1] / (half_r[1:] + half_r[:-1] + self._touch_r)
        up = self._ring / (half_z[:, 1:] + half_z[:, :-1] + self._touch_z)
        outer = np.zeros_like(k)
        outer[-1] += _through(rim[-1], half_r[-1], self._outside.wall_w_m2k)
        outer[:, -1] += _through(self._ring[:, 0], half_z[:, -1], self._outside.top_w_m2k)
        outer[:, 0] += _through(self._ring[:, 0], half_z[:, 0], self._outside.floor_w_m2k)
        total = outer.copy()
        total[:-1] += along
        total[1:] += along
        total[:, :-1] += up
        total[:, 1:] += up
        return along, up, outer, total

    def _boil(self) -> None:
        excess = self._heat - self._heat_at(np.full_like(self._heat, _BOILS_C))
        taken = np.clip(excess, 0.0, self._water)
        self._heat -= taken
        self._water -= taken


def _through(area_m2: Floats, half_m2k_w: Floats, film_w_m2k: float) -> Floats:
    """Return W/K from a cell's middle to the room."""
    if film_w_m2k <= 0.0:
        return np.zeros_like(half_m2k_w)
    return np.asarray(area_m2 / (half_m2k_w + 1.0 / film_w_m2k), dtype=np.float64)
