"""A finer cool-down than the program's own model, to test its forecasts against.

Two-dimensional axisymmetric finite volumes: an iron disc, ring, cup or block in a
cylindrical box of medium. What the fitted model leaves out is here: conductivity and
specific heat that change with temperature, moisture boiling off, contact at every iron
face, corners, a lid nearer than the wall, a start that isn't even, a part that isn't its
bounding box, a user who errs and a sensor that lies.
The sizes of those errors are those of heat.md 4.1; they are estimates, no field data.

It shares its physics with the model (no air gaps opening, no shifting sand), so what it
measures is the cost of simplification and wrong input, not accuracy in a workshop.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt
from scipy.sparse import csc_matrix, diags
from scipy.sparse.linalg import splu

from pacer.heat.bins import Bins, add
from pacer.heat.part import CoolingPart, Cover, CoverName

Floats = npt.NDArray[np.float64]
Shape = Literal["disc", "ring", "cup", "block", "ball", "rod"]
"The last two are for checking this truth itself: rod has insulated ends."

SHAPES: tuple[Shape, ...] = ("disc", "ring", "cup", "block")

RHO_IRON = 7250.0


@dataclass(frozen=True)
class World:
    """One true cool-down: geometry in m, properties in SI."""

    shape: Shape
    cover: CoverName
    radius: float
    height: float
    wall: float
    clearance: float
    "Between the part and the box, sideways and below; above it 0.8 of that."
    k0: float
    k_slope: float
    "Relative rise of the medium's conductivity a degree."
    rho: float
    cp: float
    contact: float
    moisture: float
    outer: float
    ambient: float
    start: float
    unevenness: float
    medium_start: float
    cp_slope: float = 0.0006
    "Relative rise of the medium's specific heat a degree."
    iron_k: float = 46.0
    iron_cp_slope: float = 0.4


@dataclass(frozen=True, eq=False)
class Truth:
    """What happened, what the user said of it, and what the sensor showed."""

    world: World
    mass: float
    times_s: Floats
    part_c: Floats
    "At the sensor's place."
    part: CoolingPart
    cover: Cover
    ambient_c: float
    bias_dc: float

    def reached_s(self, until_c: float) -> float:
        """Return when the sensor's place was at `until_c`, s; inf if it wasn't."""
        if self.part_c[-1] > until_c:
            return float("inf")
        return float(np.interp(-until_c, -self.part_c, self.times_s))

    def bins_until(self, now_s: float, seed: int, every_s: float = 5.0) -> Bins:
        """Return the bins of a sensor with bias, 1 °C noise and 0.4 % spikes."""
        chance = np.random.default_rng(seed + 1000)
        times = np.arange(0.0, now_s + 1e-6, every_s)
        seen = np.interp(times, self.times_s, self.part_c) + self.bias_dc
        seen = seen + chance.normal(0.0, 1.0, len(times))
        spikes = chance.random(len(times)) < 0.004
        seen = np.where(spikes, seen + chance.uniform(-60.0, 60.0, len(times)), seen)
        bins: Bins = ()
        for t, temp in zip(times, seen, strict=True):
            bins = add(bins, float(t), float(temp))
        return bins

    def typed_until(self, now_s: float, seed: int) -> Bins:
        """Return the bins of readings typed every 5-10 min, each up to 10 °C wrong."""
        chance = np.random.default_rng(seed + 2000)
        bins: Bins = ()
        t = 0.0
        while t <= now_s:
            temp = float(np.interp(t, self.times_s, self.part_c)) + chance.uniform(-10.0, 10.0)
            bins = add(bins, t, temp)
            t += chance.uniform(300.0, 600.0)
        return bins


def invent(seed: int, cover: CoverName) -> World:
    """Return a world drawn from the ranges of heat.md 4.1 (estimates, marked there)."""
    chance = np.random.default_rng(seed)
    shape: Shape = SHAPES[seed % 4]
    mass = chance.uniform(2.5, 5.0)
    wall = chance.uniform(0.009, 0.018)
    if shape == "block":
        radius = (mass / RHO_IRON / np.pi / 1.6) ** (1.0 / 3.0) * chance.uniform(0.9, 1.1)
        height = mass / RHO_IRON / np.pi / radius**2
        wall = height
    elif shape == "cup":
        radius = chance.uniform(0.075, 0.10)
        side = mass / RHO_IRON - np.pi * radius**2 * wall
        height = wall + max(side, 1e-5) / (np.pi * (2.0 * radius - wall) * wall)
    else:
        hole = 0.5 if shape == "ring" else 0.0
        radius = np.sqrt(mass / RHO_IRON / wall / np.pi / (1.0 - hole**2))
        height = wall
    ambient = chance.uniform(12.0, 28.0)
    sand = cover == "dry sand"
    blanket = cover == "ceramic blanket"
    return World(
        shape=shape,
        cover=cover,
        radius=float(radius),
        height=float(height),
        wall=float(wall),
        clearance=chance.uniform(0.02, 0.06) if blanket else chance.uniform(0.06, 0.18),
        k0=float(np.exp(chance.normal(np.log(0.28), 0.25)))
        if sand
        else float(np.exp(chance.normal(np.log(0.05 if blanket else 0.068), 0.2))),
        k_slope=chance.uniform(0.0005, 0.0015) if sand else chance.uniform(0.002, 0.004),
        rho=chance.uniform(1450, 1650) if sand else chance.uniform(80, 140),
        cp=chance.uniform(780, 880) if sand else chance.uniform(850, 1150),
        contact=float(np.exp(chance.uniform(np.log(40), np.log(400 if sand else 120)))),
        moisture=chance.uniform(0.0, 0.005),
        outer=chance.uniform(5.0, 12.0),
        ambient=ambient,
        start=chance.uniform(230.0, 290.0),
        unevenness=chance.uniform(-15.0, 15.0),
        medium_start=ambient + chance.normal(0.0, 2.0),
    )


def told_by_the_user(world: World, mass: float, seed: int) -> tuple[CoolingPart, Cover, float]:
    """Return part, cover and ambient as typed: 5 % mass and sizes, 15 % volume, 1 °C."""
    chance = np.random.default_rng(seed + 500)

    def about(value: float, sd: float) -> float:
        return float(value * np.exp(chance.normal(0.0, sd)))

    # Half the castings are rectangular: same plan area, other overall sizes.
    across = 2.0 * world.radius * (1.0 if chance.random() < 0.5 else np.sqrt(np.pi) / 2.0)
    size = (about(across, 0.05), about(across, 0.05), about(world.height, 0.05))
    part = CoolingPart(about(mass, 0.05), size, about(world.wall, 0.1))
    outer_r = world.radius + world.clearance
    volume = np.pi * outer_r**2 * (world.height + 1.8 * world.clearance)
    if world.cover == "ceramic blanket":
        cover = Cover(world.cover, thickness_m=about(world.clearance, 0.15))
    else:
        cover = Cover(world.cover, volume_m3=about(float(volume), 0.15))
    return part, cover, world.ambient + float(chance.normal(0.0, 1.0))


def _edges(length: float, fine: float, beyond: float) -> Floats:
    """Return faces from 0: even ones over `length`, then growing by 25 % to the end."""
    inside = np.linspace(0.0, length, max(2, round(length / fine)) + 1)
    count = max(3, round(np.log(1.0 + beyond * 0.25 / fine) / np.log(1.25)))
    steps = 1.25 ** np.arange(1, count + 1)
    return np.concatenate([inside, length + beyond * np.cumsum(steps) / np.sum(steps)])


class Grid:
    """Cells of the box: radii outward, heights upward from the box's floor."""

    def __init__(self, world: World, fine: float) -> None:
        """Lay the grid and say which cells are iron."""
        w = world
        self.r = _edges(w.radius, 1.7 * fine, w.clearance)
        above = _edges(w.height, fine, 0.8 * w.clearance)
        below = _edges(fine, fine, w.clearance - fine)
        self.z = np.concatenate([-below[::-1], above[1:]])
        if w.shape == "rod":
            self.z = np.array([0.0, w.height])
        rc, zc = 0.5 * (self.r[1:] + self.r[:-1]), 0.5 * (self.z[1:] + self.z[:-1])
        self.shape = (len(rc), len(zc))
        r, z = np.meshgrid(rc, zc, indexing="ij")
        iron = (r < w.radius) & (z > 0.0) & (z < w.height)
        if w.shape == "ring":
            iron &= r > 0.5 * w.radius
        if w.shape == "cup":
            iron &= (z < w.wall) | (r > w.radius - w.wall)
        if w.shape == "ball":
            iron = r**2 + (z - w.radius) ** 2 < w.radius**2
        self.iron = iron.ravel()
        self.radius = r.ravel()
        ring = np.pi * (self.r[1:] ** 2 - self.r[:-1] ** 2)
        self.volume = np.outer(ring, np.diff(self.z)).ravel()
        self._faces(ring)

    def _faces(self, ring: Floats) -> None:
        """List inner faces (cells, area, half distances) and the outer surface."""
        nr, nz = self.shape
        number = np.arange(nr * nz).reshape(nr, nz)
        dr, dz = np.diff(self.r), np.diff(self.z)
        side = 2.0 * np.pi * self.r[1:-1, None] * dz[None, :]
        self.a = np.concatenate([number[:-1].ravel(), number[:, :-1].ravel()])
        self.b = np.concatenate([number[1:].ravel(), number[:, 1:].ravel()])
        flat = np.repeat(ring[:, None], nz - 1, axis=1)
        self.area = np.concatenate([side.ravel(), flat.ravel()])
        half_r = np.repeat(0.5 * dr[:, None], nz, axis=1)
        half_z = np.repeat(0.5 * dz[None, :], nr, axis=0)
        self.half_a = np.concatenate([half_r[:-1].ravel(), half_z[:, :-1].ravel()])
        self.half_b = np.concatenate([half_r[1:].ravel(), half_z[:, 1:].ravel()])
        self.out = np.concatenate([number[-1], number[:, 0], number[:, -1]])
        rim = 2.0 * np.pi * self.r[-1] * dz
        ends = 0.0 * ring if nz == 1 else ring
        self.out_area = np.concatenate([rim, ends, ends])
        self.out_half = np.concatenate([half_r[-1], half_z[:, 0], half_z[:, -1]])


def _system(grid: Grid, w: World, temp: Floats) -> tuple[Floats, csc_matrix, Floats]:
    """Return heat capacities, conductances and inflow from the room at `temp`."""
    k = np.where(grid.iron, w.iron_k, w.k0 * (1.0 + w.k_slope * (temp - 40.0)))
    # Water leaves over some 30 degrees; its latent heat counts as specific heat there.
    boiling = np.exp(-(((temp - 100.0) / 12.0) ** 2)) / (12.0 * np.sqrt(np.pi))
    wet = w.cp * (1.0 + w.cp_slope * (temp - 40.0)) + w.moisture * 2.26e6 * boiling
    iron = RHO_IRON * (450.0 + w.iron_cp_slope * np.maximum(temp, 0.0))
    heat = grid.volume * np.where(grid.iron, iron, w.rho * wet)
    resistance = grid.half_a / k[grid.a] + grid.half_b / k[grid.b]
    resistance = resistance + (grid.iron[grid.a] != grid.iron[grid.b]) / w.contact
    flow = grid.area / resistance
    out = grid.out_area / (1.0 / w.outer + grid.out_half / k[grid.out])
    n = len(temp)
    total = np.bincount(grid.a, flow, n) + np.bincount(grid.b, flow, n)
    total = total + np.bincount(grid.out, out, n)
    rows = np.concatenate([grid.a, grid.b, np.arange(n)])
    columns = np.concatenate([grid.b, grid.a, np.arange(n)])
    matrix = csc_matrix((np.concatenate([flow, flow, -total]), (rows, columns)), (n, n))
    inflow = np.asarray(np.bincount(grid.out, out, n) * w.ambient, dtype=np.float64)
    return heat, matrix, inflow


def simulate(
    world: World, until_c: float, longest_s: float, fine: float = 0.003
) -> tuple[Floats, Floats, float]:
    """Return times, temperature at the sensor's place, and the iron's mass.

    Two-stage implicit Runge-Kutta (L-stable, second order), properties of the step's
    start, steps of 4 %.
    """
    grid = Grid(world, fine)
    temp = np.where(
        grid.iron,
        world.start + world.unevenness * (2.0 * grid.radius / world.radius - 1.0),
        world.medium_start,
    )
    place = int(np.flatnonzero(grid.iron)[np.argmax(grid.radius[grid.iron])])
    gamma = 1.0 - np.sqrt(0.5)
    times, part = [0.0], [float(temp[place])]
    while part[-1] > until_c and times[-1] < longest_s:
        step = max(4.0, 0.04 * times[-1])
        heat, matrix, inflow = _system(grid, world, temp)
        solver = splu(csc_matrix(diags(heat / (gamma * step)) - matrix))
        first = solver.solve(heat * temp / (gamma * step) + inflow)
        slope = (first - temp) / (gamma * step)
        start = temp + (1.0 - gamma) * step * slope
        temp = solver.solve(heat * start / (gamma * step) + inflow)
        times.append(times[-1] + step)
        part.append(float(temp[place]))
    mass = float(RHO_IRON * np.sum(grid.volume[grid.iron]))
    return np.array(times), np.array(part), mass


def truth(seed: int, cover: CoverName, until_c: float = 43.0, longest_h: float = 24.0) -> Truth:
    """Return the whole story of one seed."""
    world = invent(seed, cover)
    times, temps, mass = simulate(world, until_c, longest_h * 3600.0)
    part, told, ambient = told_by_the_user(world, mass, seed)
    bias = float(np.random.default_rng(seed + 700).uniform(-1.5, 1.5))
    return Truth(world, mass, times, temps, part, told, ambient, bias)
