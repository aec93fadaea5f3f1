"""A finer plate than the program's own model of a pause, to test its forecasts against.

Two-dimensional finite volumes over the plan of an iron plate, x along the joint, y across.
What a radial model leaves out is here: edges, a boss, a rib and a groove, properties that
change with temperature, a bead that moves, faces that lose heat differently, a draught that
drifts, a flame that heats unevenly.

It has no gradient through the thickness, no melting, no metal added to the groove, and it
shares its physics with any model of iron in air: it measures the cost of simplification
and wrong input, not accuracy in a workshop.
"""

from __future__ import annotations

import copy

import numpy as np
import numpy.typing as npt
from truth_air import film_w_m2k
from truth_world import Floats, Wave, World

SIGMA_W_M2K4 = 5.670374419e-8


class Plate:
    """The plate's temperatures, moved on in time; set `arc`, `flame_w`, `wrapped` freely."""

    def __init__(self, world: World, fine_m: float = 0.004) -> None:
        """Lay cells of about `fine_m`; the start temperatures are the world's."""
        self.world = w = world
        self.arc: int | None = None
        "The place the arc burns at; it goes along the place while it burns."
        self.flame_w = 0.0
        self.wrapped = False
        self.t_s = self.given_j = self.lost_j = 0.0
        nx, ny = round(w.length_m / fine_m), round(w.width_m / fine_m)
        self.dx_m, self.dy_m = w.length_m / nx, w.width_m / ny
        self.x_m: Floats = (np.arange(nx, dtype=np.float64) + 0.5) * self.dx_m
        self.y_m: Floats = (np.arange(ny, dtype=np.float64) + 0.5) * self.dy_m
        self._lay(nx, ny)
        self._warm()
        self._burning: int | None = None
        self._arc_s = self._film_due_s = 0.0
        self._sensor = self._corners(w.sensor_x_m, w.sensor_y_m)
        self._seen_c = self._lagged_c = self.true_c(w.sensor_x_m, w.sensor_y_m)

    def _lay(self, nx: int, ny: int) -> None:
        """Set masses, conductance factors, areas and the longest stable step."""
        w = self.world
        # Thickness is a cell's mean, so that another grid has the same mass.
        fine_x = (np.arange(4 * nx) + 0.5) * self.dx_m / 4
        fine_y = (np.arange(4 * ny) + 0.5) * self.dy_m / 4
        thick = w.thickness_m(fine_x[:, None], fine_y[None, :])
        thick = thick.reshape(nx, 4, ny, 4).mean(axis=(1, 3))
        cell_m2 = self.dx_m * self.dy_m
        self._kg = w.rho_kg_m3 * thick * cell_m2
        a, b = thick[1:], thick[:-1]
        self._across_x = 2.0 * a * b / (a + b) * self.dy_m / self.dx_m
        a, b = thick[:, 1:], thick[:, :-1]
        self._across_y = 2.0 * a * b / (a + b) * self.dx_m / self.dy_m
        slope_x, slope_y = np.gradient(thick, self.dx_m, self.dy_m)
        rim = np.zeros_like(thick)
        rim[[0, -1]] += thick[[0, -1]] * self.dy_m
        rim[:, [0, -1]] += thick[:, [0, -1]] * self.dx_m
        self._upper_m2 = cell_m2 * np.sqrt(1.0 + slope_x**2 + slope_y**2) + rim
        self._lower_m2 = np.full_like(thick, cell_m2)
        leaving = np.zeros_like(thick)
        leaving[1:] += self._across_x
        leaving[:-1] += self._across_x
        leaving[:, 1:] += self._across_y
        leaving[:, :-1] += self._across_y
        steepest_k = w.k20_w_mk / (1.0 - 20.0 * w.k_fall)
        self._step_s = 0.9 * float(np.min(self._kg * w.cp0_j_kgk / (leaving * steepest_k)))

    def _warm(self) -> None:
        """Set the start temperatures and where a flame's heat goes."""
        w = self.world
        self._temp_c = w.start_c + w.start_swing_dc * self._waves(w.start_wave)
        self._j_kg = self._temp_c * (w.cp0_j_kgk + 0.5 * w.cp_slope_j_kgk2 * self._temp_c)
        share = 1.0 + 0.35 * self._waves(w.flame_wave)
        if w.flame == "torch":
            # Played about a point beside the joint; the rest washes over the plate.
            spot = self._spot(w.joint_x_m, w.joint_y_m + 0.01, 0.045)
            share = 0.4 * share / np.sum(share) + 0.6 * spot
        self._flame_share = share / np.sum(share)

    def _waves(self, wave: Wave) -> Floats:
        """Return a slow pattern over the cells, -1 to 1."""
        w = self.world
        along = np.cos(np.pi * wave[0] * self.x_m / w.length_m + wave[1])
        across = np.cos(np.pi * wave[2] * self.y_m / w.width_m + wave[3])
        return np.asarray(0.5 * (along[:, None] + across[None, :]), dtype=np.float64)

    def _spot(self, x_m: float, y_m: float, sigma_m: float) -> Floats:
        """Return the share of each cell of a round Gaussian source; they sum to 1."""
        along = np.exp(-0.5 * ((self.x_m - x_m) / sigma_m) ** 2)
        across = np.exp(-0.5 * ((self.y_m - y_m) / sigma_m) ** 2)
        return np.outer(along / np.sum(along), across / np.sum(across))

    def advance(self, dt_s: float) -> None:
        """Move on by `dt_s`, in explicit steps short enough to be stable."""
        count = max(1, int(np.ceil(dt_s / self._step_s)))
        for _ in range(count):
            self._step(dt_s / count)

    def _step(self, dt_s: float) -> None:
        """Move on by one stable step; what a cell gives its neighbour gets."""
        w = self.world
        if self.t_s >= self._film_due_s:
            self._loss_w_k = self._losses()
            self._film_due_s = self.t_s + 1.0
        # The integral of k over temperature makes the flow exact for this k(T).
        potential = w.k20_w_mk * self._temp_c
        if w.k_fall > 0.0:
            rise = 1.0 + w.k_fall * (self._temp_c - 20.0)
            potential = w.k20_w_mk / w.k_fall * np.log(rise)
        kept = 0.35 if self.wrapped else 1.0
        gain_w = self._loss_w_k * (kept * (w.ambient_c - self._temp_c))
        self.lost_j -= dt_s * float(np.sum(gain_w))
        flow_w = self._across_x * (potential[1:] - potential[:-1])
        gain_w[:-1] += flow_w
        gain_w[1:] -= flow_w
        flow_w = self._across_y * (potential[:, 1:] - potential[:, :-1])
        gain_w[:, :-1] += flow_w
        gain_w[:, 1:] -= flow_w
        if self.flame_w > 0.0:
            gain_w += self.flame_w * self._flame_share
            self.given_j += self.flame_w * dt_s
        self._take(dt_s * gain_w)
        self._burn(dt_s)
        self.t_s += dt_s
        before_c = self._seen_c
        self._seen_c = float(self._sensor[1] @ self._temp_c.ravel()[self._sensor[0]])
        middle_c = 0.5 * (before_c + self._seen_c)
        self._lagged_c += (middle_c - self._lagged_c) * (1.0 - float(np.exp(-dt_s / w.lag_s)))

    def _burn(self, dt_s: float) -> None:
        """Give the arc's heat where it is now."""
        w = self.world
        if self.arc != self._burning:
            self._burning, self._arc_s = self.arc, 0.0
        if self.arc is None:
            return
        gone_m = (self._arc_s + 0.5 * dt_s) * w.travel_m_s - 0.5 * w.bead_m
        self.strike(w.place_x_m(self.arc) + gone_m, w.joint_y_m, w.arc_w * dt_s)
        self._arc_s += dt_s

    def strike(self, x_m: float, y_m: float, heat_j: float) -> None:
        """Give `heat_j` at once around a point."""
        self.given_j += heat_j
        self._take(heat_j * self._spot(x_m, y_m, self.world.arc_sigma_m))

    def _take(self, heat_j: Floats) -> None:
        """Add heat to the cells and find their temperatures."""
        w = self.world
        self._j_kg += heat_j / self._kg
        root = np.sqrt(w.cp0_j_kgk**2 + 2.0 * w.cp_slope_j_kgk2 * self._j_kg)
        self._temp_c = 2.0 * self._j_kg / (w.cp0_j_kgk + root)

    def _losses(self) -> Floats:
        """Return the loss of each cell a degree above ambient, W/K."""
        w = self.world
        swing, period_s, phase = w.draught
        draught = 1.0 + swing * np.sin(2.0 * np.pi * self.t_s / period_s + phase)
        film = film_w_m2k(self._temp_c, w.ambient_c, w.film_height_m)
        hot, cold = self._temp_c + 273.15, w.ambient_c + 273.15
        radiated = w.emissivity * SIGMA_W_M2K4 * (hot**2 + cold**2) * (hot + cold)
        faces = w.upper * self._upper_m2 + w.lower * self._lower_m2
        loss = draught * film * faces + radiated * (self._upper_m2 + self._lower_m2)
        return np.asarray(loss, dtype=np.float64)

    def _corners(self, x_m: float, y_m: float) -> tuple[npt.NDArray[np.intp], Floats]:
        """Return the four cells around a point and their bilinear weights."""
        nx, ny = self._kg.shape
        u = float(np.clip(x_m / self.dx_m - 0.5, 0.0, nx - 1.001))
        v = float(np.clip(y_m / self.dy_m - 0.5, 0.0, ny - 1.001))
        i, j = int(u), int(v)
        along, across = np.array([1.0 - u + i, u - i]), np.array([1.0 - v + j, v - j])
        cells = np.array([i * ny + j, i * ny + j + 1, (i + 1) * ny + j, (i + 1) * ny + j + 1])
        return cells, np.outer(along, across).ravel()

    @property
    def sensor_c(self) -> float:
        """What the sensor says, with lag and bias, without noise."""
        return self._lagged_c + self.world.bias_dc

    @property
    def mean_c(self) -> float:
        """The mean over the mass."""
        return float(np.sum(self._kg * self._temp_c) / np.sum(self._kg))

    @property
    def mass_kg(self) -> float:
        """The plate's mass."""
        return float(np.sum(self._kg))

    @property
    def heat_j(self) -> float:
        """The heat in the plate above 0 °C."""
        return float(np.sum(self._kg * self._j_kg))

    @property
    def heat_capacity_j_k(self) -> float:
        """What a degree more would take now."""
        w = self.world
        return float(np.sum(self._kg * (w.cp0_j_kgk + w.cp_slope_j_kgk2 * self._temp_c)))

    @property
    def loss_w(self) -> float:
        """The loss now, unwrapped."""
        return float(np.sum(self._losses() * (self._temp_c - self.world.ambient_c)))

    def true_c(self, x_m: float, y_m: float) -> float:
        """Return the temperature at a point."""
        cells, weights = self._corners(x_m, y_m)
        return float(weights @ self._temp_c.ravel()[cells])

    def local_c(self, place: int) -> float:
        """Return the mean over 10 mm by 10 mm at the middle of a place."""

        def covered(middles: Floats, size_m: float, at_m: float) -> Floats:
            low = np.maximum(middles - 0.5 * size_m, at_m - 0.005)
            high = np.minimum(middles + 0.5 * size_m, at_m + 0.005)
            return np.asarray(np.maximum(0.0, high - low), dtype=np.float64)

        along = covered(self.x_m, self.dx_m, self.world.place_x_m(place))
        across = covered(self.y_m, self.dy_m, self.world.joint_y_m)
        return float(along @ self._temp_c @ across / (np.sum(along) * np.sum(across)))

    def copy(self) -> Plate:
        """Return a plate that goes its own way from here."""
        other = copy.copy(self)
        # The only array changed in place.
        other._j_kg = self._j_kg.copy()
        return other
