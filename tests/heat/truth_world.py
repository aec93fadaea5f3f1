"""What a true plate is like, and what its user says of it.

The ranges are estimates, no field data. What the user says is wrong in the way users are:
5 % in mass and sizes, 10 % in the wall, up to 5 mm in the sensor's distance, 1 °C in the
air, 8 % in voltage times current.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Wave = tuple[float, float, float, float]
"Half waves and phase along x, the same across."

VOLTAGE_V = 22.0


@dataclass(frozen=True)
class World:
    """One true plate with its shop; SI and °C, x along the joint, origin in a corner."""

    length_m: float
    width_m: float
    wall_m: float
    joint_x_m: float
    "The joint's middle."
    joint_y_m: float
    sensor_x_m: float
    sensor_y_m: float
    places: int = 5
    bead_m: float = 0.025
    "A place's length, so places times this is the joint's."
    boss_m: tuple[float, float, float, float] = (0.0, 0.0, 0.01, 0.0)
    "x, y, radius, and the height it adds."
    rib_m: tuple[float, float, float] = (0.0, 0.01, 0.0)
    "x, half width, and the height it adds; it runs across the whole plate."
    groove_m: tuple[float, float] = (0.0, 0.006)
    "Depth and half width of a V as long as the joint."
    rho_kg_m3: float = 7250.0
    k20_w_mk: float = 49.0
    k_fall: float = 3e-4
    "k = k20 / (1 + k_fall (T - 20))."
    cp0_j_kgk: float = 450.0
    cp_slope_j_kgk2: float = 0.4
    emissivity: float = 0.8
    upper: float = 1.2
    "Factor on the film of the upper face and the rim."
    lower: float = 0.6
    film_height_m: float = 0.1
    draught: tuple[float, float, float] = (0.0, 900.0, 0.0)
    "Swing about 1, period s, phase."
    ambient_c: float = 20.0
    arc_va: float = 1700.0
    "True voltage times current."
    efficiency: float = 0.7
    "The share of it that reaches the iron."
    arc_sigma_m: float = 0.005
    travel_m_s: float = 0.002
    flame: Literal["grill", "torch"] = "grill"
    flame_wave: Wave = (1.0, 0.0, 1.0, 0.0)
    start_c: float = 260.0
    start_swing_dc: float = 0.0
    start_wave: Wave = (1.0, 0.0, 1.0, 0.0)
    lag_s: float = 3.0
    bias_dc: float = 0.0
    noise_dc: float = 0.8

    @property
    def arc_w(self) -> float:
        """Return the heat that reaches the iron while the arc burns."""
        return self.arc_va * self.efficiency

    @property
    def distance_m(self) -> float:
        """Return how far the sensor is from the joint."""
        return abs(self.sensor_y_m - self.joint_y_m)

    def place_x_m(self, place: int) -> float:
        """Return the middle of a place, counted from 0, along the joint."""
        return self.joint_x_m + (place - (self.places - 1) / 2) * self.bead_m

    def apart_m(self, place: int) -> float:
        """Return how far the sensor is from the middle of a place."""
        across = self.sensor_y_m - self.joint_y_m
        return float(np.hypot(self.sensor_x_m - self.place_x_m(place), across))

    def thickness_m(self, x_m: Floats, y_m: Floats) -> Floats:
        """Return the thickness at points; edges of boss and rib are some 6 mm soft."""

        def inside(gap_m: Floats) -> Floats:
            return np.asarray(0.5 * (1.0 + np.tanh(gap_m / 0.003)), dtype=np.float64)

        bx, by, radius, high = self.boss_m
        thick = self.wall_m + high * inside(radius - np.hypot(x_m - bx, y_m - by))
        rx, half, high = self.rib_m
        thick = thick + high * inside(half - np.abs(x_m - rx))
        depth, half = self.groove_m
        along = inside(0.5 * self.places * self.bead_m - np.abs(x_m - self.joint_x_m))
        return thick - depth * along * np.maximum(0.0, 1.0 - np.abs(y_m - self.joint_y_m) / half)


@dataclass(frozen=True)
class Told:
    """What the user said, SI and °C."""

    mass_kg: float
    size_m: tuple[float, float, float]
    wall_m: float
    distance_m: float
    "Sensor to joint."
    ambient_c: float
    voltage_v: float
    current_a: float
    bead_m: float
    places: int


def invent(seed: int) -> World:
    """Return a world drawn from wide ranges (estimates, no field data)."""
    chance = np.random.default_rng(seed + 4000)
    draw = chance.uniform
    cp_error = 1.0 + chance.normal(0.0, 0.04)
    return replace(
        _shape(chance),
        rho_kg_m3=draw(7150.0, 7350.0),
        k20_w_mk=draw(46.0, 52.0),
        k_fall=draw(2e-4, 5e-4),
        cp0_j_kgk=450.0 * cp_error,
        cp_slope_j_kgk2=0.4 * cp_error,
        emissivity=draw(0.60, 0.92),
        upper=draw(1.0, 1.6),
        lower=draw(0.5, 0.9),
        film_height_m=draw(0.06, 0.15),
        draught=(draw(0.0, 0.2), draw(400.0, 1500.0), draw(0.0, 6.28)),
        ambient_c=draw(10.0, 30.0),
        arc_va=VOLTAGE_V * draw(65.0, 90.0),
        efficiency=draw(0.55, 0.90),
        arc_sigma_m=draw(0.004, 0.006),
        flame="grill" if chance.random() < 0.6 else "torch",
        flame_wave=(draw(0.5, 1.5), draw(0.0, 6.28), draw(0.5, 1.5), draw(0.0, 6.28)),
        start_c=draw(250.0, 270.0),
        start_swing_dc=draw(4.0, 10.0),
        start_wave=(draw(0.5, 1.5), draw(0.0, 6.28), draw(0.5, 1.5), draw(0.0, 6.28)),
        lag_s=draw(2.0, 5.0),
        bias_dc=draw(-1.5, 1.5),
        noise_dc=draw(0.7, 1.0),
    )


def _shape(chance: np.random.Generator) -> World:
    """Return a plate with its joint, sensor, boss, rib and groove."""
    draw = chance.uniform
    mass, wall = draw(2.5, 6.0), draw(0.008, 0.016)
    # Boss and rib add some 8 % to the mass of the bare plate.
    area = mass / (7250.0 * wall * 1.08)
    # The shortest plate just holds the joint.
    length = max(0.137, float(np.sqrt(area * draw(1.0, 1.8))))
    width = area / length
    joint_x = 0.5 * length + draw(-1.0, 1.0) * (0.5 * length - 0.0675)
    near_edge = chance.random() < 0.3
    joint_y = draw(0.025, 0.040) if near_edge else width * draw(0.38, 0.62)
    distance = min(draw(0.020, 0.045), width - joint_y - 0.008)
    side = -1.0 if joint_y - distance > 0.01 and chance.random() < 0.5 else 1.0
    boss_x = length * (draw(0.1, 0.3) if joint_x > 0.5 * length else draw(0.7, 0.9))
    boss_y = width * (0.8 if joint_y < 0.5 * width else 0.2)
    return World(
        length_m=length,
        width_m=width,
        wall_m=wall,
        joint_x_m=joint_x,
        joint_y_m=joint_y,
        sensor_x_m=float(np.clip(joint_x + draw(-0.06, 0.06), 0.008, length - 0.008)),
        sensor_y_m=joint_y + side * distance,
        boss_m=(boss_x, boss_y, draw(0.015, 0.030), draw(0.5, 1.5) * wall),
        rib_m=(length * draw(0.1, 0.9), draw(0.003, 0.008), draw(0.0, 1.2) * wall),
        groove_m=(draw(0.3, 0.6) * wall, draw(0.005, 0.008)),
    )


def told_by_the_user(world: World, mass_kg: float, seed: int) -> Told:
    """Return what the user says of a world."""
    chance = np.random.default_rng(seed + 5000)

    def about(value: float, sd: float) -> float:
        return float(value * np.exp(chance.normal(0.0, sd)))

    height = world.wall_m + max(world.boss_m[3], world.rib_m[2])
    return Told(
        mass_kg=about(mass_kg, 0.05),
        size_m=(about(world.length_m, 0.05), about(world.width_m, 0.05), about(height, 0.05)),
        wall_m=about(world.wall_m, 0.10),
        distance_m=world.distance_m + chance.uniform(-0.005, 0.005),
        ambient_c=world.ambient_c + float(chance.normal(0.0, 1.0)),
        voltage_v=VOLTAGE_V,
        current_a=about(world.arc_va / VOLTAGE_V, 0.08),
        bead_m=world.bead_m,
        places=world.places,
    )
