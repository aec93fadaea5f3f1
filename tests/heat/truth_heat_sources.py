"""An iron plate and four ways to heat it, finer than the program's own model.

Two-dimensional cells with a thickness each and a thick boss, conductivity and specific
heat that change with temperature; a grill (gas that warms up, film below, a hood that is
opened), a torch (a spot moved by hand, with pauses), an oven (controlled air and walls), a
hot plate (patchy contact below, limited power, a thermostat).

Sizes and strengths are estimates; `truth_heatup` makes stories of them.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pacer.heat.preheat.target import SourceName

Floats = npt.NDArray[np.float64]
Flux = Callable[[float, Floats], Floats]
"(time s, temperatures °C) -> heat into each cell, W per m² of one face"

Turns = tuple[tuple[float, float], ...]
"(from when in s, share of the flame)"

TARGET_C = 260.0
SOURCES: tuple[SourceName, ...] = ("gas grill", "oven", "torch", "hot plate")
CELL_M = 0.010

_RHO_KG_M3, _SIGMA_W_M2K4 = 7250.0, 5.670374419e-8


@dataclass(frozen=True, eq=False)
class Plate:
    """The iron: cells of 10 mm with a thickness each, and its losses to the air."""

    thickness_m: Floats
    "(x, y)"
    ambient_c: float
    emissivity: float
    draught: float
    k_w_mk: float = 47.0
    k_fall_w_mk2: float = 0.02
    c_j_kgk: float = 460.0
    c_rise_j_kgk2: float = 0.42

    @property
    def mass_kg(self) -> float:
        """Mass of all cells."""
        return float(self.thickness_m.sum()) * CELL_M**2 * _RHO_KG_M3

    def conducted_w_m2(self, temp_c: Floats) -> Floats:
        """Return what flows into each cell from its neighbours, W per m² of one face."""
        d, gain = self.thickness_m, np.zeros_like(temp_c)
        k = self.k_w_mk - self.k_fall_w_mk2 * temp_c
        for axis in (0, 1):
            a, b = _pair(temp_c.shape, axis)
            flow = 0.5 * (k[a] + k[b]) * np.minimum(d[a], d[b]) * (temp_c[b] - temp_c[a])
            gain[a] += flow / CELL_M**2
            gain[b] -= flow / CELL_M**2
        return gain

    def lost_w_m2(self, temp_c: Floats) -> Floats:
        """Return what one bare face loses to the room, W/m²."""
        over_dc = temp_c - self.ambient_c
        film = 6.5 * self.draught * (np.abs(over_dc) / 100.0) ** 0.25
        return film * over_dc + radiated_w_m2(temp_c, self.ambient_c, self.emissivity)

    def step(self, temp_c: Floats, into_w_m2: Floats, step_s: float) -> Floats:
        """Return the temperatures `step_s` later (explicit; 1 s is below the limit of 1.6 s)."""
        heat = _RHO_KG_M3 * self.thickness_m * (self.c_j_kgk + self.c_rise_j_kgk2 * temp_c)
        return temp_c + step_s * (into_w_m2 + self.conducted_w_m2(temp_c)) / heat


def _pair(shape: tuple[int, ...], axis: int) -> tuple[tuple[slice, ...], tuple[slice, ...]]:
    """Return the slices of all cells but the last and all but the first along `axis`."""
    whole = [slice(0, n) for n in shape]
    first, second = list(whole), list(whole)
    first[axis], second[axis] = slice(0, shape[axis] - 1), slice(1, shape[axis])
    return tuple(first), tuple(second)


def radiated_w_m2(temp_c: Floats, round_c: float, emissivity: float) -> Floats:
    """Return the radiation from a face to surroundings at `round_c`, W/m²."""
    fourth = (temp_c + 273.15) ** 4 - (round_c + 273.15) ** 4
    return np.asarray(emissivity * _SIGMA_W_M2K4 * fourth, dtype=np.float64)


def invent_plate(chance: np.random.Generator) -> Plate:
    """Return a plate of 2.5-5 kg, wall 8-18 mm, with a boss two to three times as thick."""
    mass, wall = chance.uniform(2.5, 5.0), chance.uniform(0.008, 0.018)
    area = mass / (_RHO_KG_M3 * wall * 1.15)
    ratio = chance.uniform(1.0, 2.0)
    nx = max(8, round(math.sqrt(area * ratio) / CELL_M))
    ny = max(6, round(math.sqrt(area / ratio) / CELL_M))
    x, y = np.meshgrid(np.arange(nx), np.arange(ny), indexing="ij")
    at = chance.uniform(0.15, 0.85) * nx, chance.uniform(0.15, 0.85) * ny
    boss = np.hypot(x - at[0], y - at[1]) * CELL_M < chance.uniform(0.02, 0.035)
    thick = np.where(boss, wall * chance.uniform(2.0, 3.0), wall)
    return Plate(
        thickness_m=thick,
        ambient_c=chance.uniform(12.0, 28.0),
        emissivity=chance.uniform(0.62, 0.9),
        draught=chance.uniform(0.8, 1.5),
    )


def _uneven(chance: np.random.Generator, shape: tuple[int, ...], most: float) -> Floats:
    """Return a smooth pattern of mean 1 that leans by up to `most` each way."""
    x = np.linspace(-1.0, 1.0, shape[0])[:, None]
    y = np.linspace(-1.0, 1.0, shape[1])[None, :]
    along, across, edge = chance.uniform(-most, most, 3)
    pattern = 1.0 + along * x + across * y + edge * (x**2 + y**2 - 2.0 / 3.0)
    return np.asarray(np.maximum(pattern, 0.1), dtype=np.float64)


def grill(plate: Plate, chance: np.random.Generator) -> Flux:
    """Return a grill: gas that warms up and creeps higher, film below, a hood above or none."""
    ambient = plate.ambient_c
    gas, warm_s = chance.uniform(380.0, 620.0), chance.uniform(60.0, 300.0)
    creep = chance.uniform(0.0, 0.10)
    film = chance.uniform(22.0, 42.0) * _uneven(chance, plate.thickness_m.shape, 0.2)
    hood = chance.uniform(0.4, 0.75) if chance.random() < 0.7 else 0.0
    above = chance.uniform(8.0, 14.0)
    opened = np.cumsum(chance.uniform(150.0, 700.0, 60))
    open_s = chance.uniform(10.0, 40.0, 60)

    def flux(t_s: float, temp_c: Floats) -> Floats:
        burning = 1.0 - math.exp(-t_s / warm_s) + creep * (1.0 - math.exp(-t_s / 1500.0))
        gas_c = ambient + (gas - ambient) * burning
        into = film * (gas_c - temp_c)
        lifted = bool(np.any((opened <= t_s) & (t_s < opened + open_s)))
        if not hood or lifted:
            return np.asarray(into - plate.lost_w_m2(temp_c), dtype=np.float64)
        hood_c = ambient + hood * (gas_c - ambient)
        into += above * (hood_c - temp_c) - radiated_w_m2(temp_c, hood_c, 0.5 * plate.emissivity)
        return np.asarray(into, dtype=np.float64)

    return flux


def torch(plate: Plate, chance: np.random.Generator) -> Flux:
    """Return a torch moved by hand round the joint, now and then taken away."""
    nx, ny = plate.thickness_m.shape
    x, y = np.arange(nx)[:, None] * CELL_M, np.arange(ny)[None, :] * CELL_M
    power = float(np.exp(chance.normal(math.log(1500.0), 0.3))) * plate.mass_kg / 3.5
    sigma = chance.uniform(0.02, 0.032)
    turn_s, reach = chance.uniform(7.0, 16.0), chance.uniform(0.25, 0.42)
    wander = np.cumsum(chance.normal(0.0, 0.02, (4000, 2)), axis=0)
    wander -= np.linspace(0.0, 1.0, 4000)[:, None] * wander[-1]
    strength = 1.0 + 0.12 * np.sin(2.0 * math.pi * np.arange(4000) / chance.uniform(80.0, 400.0))
    away = np.cumsum(chance.uniform(40.0, 160.0, 200))
    away_s = chance.uniform(2.0, 12.0, 200)

    def flux(t_s: float, temp_c: Floats) -> Floats:
        into = -2.0 * plate.lost_w_m2(temp_c)
        if np.any((away <= t_s) & (t_s < away + away_s)):
            return np.asarray(into, dtype=np.float64)
        i, turn = int(t_s) % 4000, 2.0 * math.pi * t_s / turn_s
        cx = nx * CELL_M * (0.5 + reach * math.cos(turn) + 0.15 * math.tanh(wander[i, 0]))
        cy = ny * CELL_M * (0.5 + reach * math.sin(1.3 * turn) + 0.15 * math.tanh(wander[i, 1]))
        spot = np.exp(-0.5 * ((x - cx) ** 2 + (y - cy) ** 2) / sigma**2)
        into += power * strength[i] * spot / (2.0 * math.pi * sigma**2)
        return np.asarray(into, dtype=np.float64)

    return flux


def oven(plate: Plate, chance: np.random.Generator) -> Flux:
    """Return an oven set 15-90 °C above the target, cold or warmed up, its control swinging."""
    set_c = TARGET_C + chance.uniform(15.0, 90.0)
    start_c = plate.ambient_c if chance.random() < 0.5 else set_c - chance.uniform(20.0, 60.0)
    warm_s, swing = chance.uniform(200.0, 700.0), chance.uniform(2.0, 8.0)
    film, period_s = chance.uniform(7.0, 22.0), chance.uniform(60.0, 240.0)
    walls = chance.uniform(0.85, 1.0)

    def flux(t_s: float, temp_c: Floats) -> Floats:
        air_c = set_c - (set_c - start_c) * math.exp(-t_s / warm_s)
        air_c += swing * math.sin(2.0 * math.pi * t_s / period_s)
        wall_c = plate.ambient_c + walls * (air_c - plate.ambient_c)
        into = film * (air_c - temp_c) - radiated_w_m2(temp_c, wall_c, plate.emissivity)
        return np.asarray(2.0 * into, dtype=np.float64)

    return flux


class _HotPlate:
    """A heated plate with a thermostat, in patchy contact with the part's lower face."""

    def __init__(self, plate: Plate, chance: np.random.Generator) -> None:
        shape = plate.thickness_m.shape
        self._plate = plate
        self._set_c = chance.uniform(330.0, 430.0)
        self._power_w = chance.uniform(1300.0, 2600.0)
        self._heat_j_k = chance.uniform(1500.0, 4500.0)
        touching = chance.random(shape) < chance.uniform(0.4, 0.95)
        self._contact = np.where(touching, chance.uniform(60.0, 220.0), 15.0)
        self._c = plate.ambient_c
        self._on = True

    def flux(self, t_s: float, temp_c: Floats) -> Floats:
        """Return the heat from below less what the upper face loses; called once a second."""
        into = self._contact * (self._c - temp_c)
        self._on = self._c < self._set_c + (4.0 if self._on else -4.0)
        given_w = float(into.sum()) * CELL_M**2 + 1.0 * (self._c - self._plate.ambient_c)
        self._c += (self._on * self._power_w - given_w) / self._heat_j_k
        return np.asarray(into - self._plate.lost_w_m2(temp_c), dtype=np.float64)


def flux_of(source: SourceName, plate: Plate, chance: np.random.Generator) -> Flux:
    if source == "hot plate":
        return _HotPlate(plate, chance).flux
    return {"gas grill": grill, "torch": torch, "oven": oven}[source](plate, chance)


def turned(flux: Flux, plate: Plate, turns: Turns) -> Flux:
    """Return `flux` as it is after each turn of the tap; a share of 0 leaves two bare faces."""

    def after(t_s: float, temp_c: Floats) -> Floats:
        share = next((share for from_s, share in reversed(turns) if t_s >= from_s), 1.0)
        bare = -2.0 * plate.lost_w_m2(temp_c)
        return np.asarray(share * flux(t_s, temp_c) + (1.0 - share) * bare, dtype=np.float64)

    return after
