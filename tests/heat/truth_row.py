"""A row of beads on the finer plate, to see how hot each place truly is just before its bead.

The plate is `truth_plate.py`; here are three joints, a welder who keeps the band by the
sensor and doesn't keep a beat, and the orders to compare. Everything is simulated.
All beads are drawn from left to right; back-step is the same places one after the other,
each drawn toward the one before: the mirror of going from right to left.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from truth_plate import Plate
from truth_world import World, invent

FLOOR_C, PREHEAT_C, CEILING_C = 200.0, 260.0, 300.0
FLAME_W_M2 = 9000.0


@dataclass(frozen=True)
class Case:
    """A joint to be welded."""

    name: str
    places: int
    wall_m: float
    plate_m: tuple[float, float]
    "Along and across the joint; with the wall it makes the mass."
    ends: str = "both in the wall"
    current_a: float = 65.0
    fine_m: float = 0.004
    "Cells; 6 mm for a large plate changes the hottest place by under 1 K."

    @property
    def job_text(self) -> str:
        """What the user writes of it."""
        long_m, wide_m = self.plate_m
        mass_kg = 7250.0 * long_m * wide_m * self.wall_m
        return (
            '[job]\nmethod = "hot"\n'
            f'[part]\nmetal = "grey iron"\nmass = "{mass_kg:.2f} kg"\n'
            f'size = ["{long_m * 1e3:g} mm", "{wide_m * 1e3:g} mm", "40 mm"]\n'
            f'wall = "{self.wall_m * 1e3:g} mm"\n'
            f'[joint]\ncrack_length = "{self.places * 25 - 5} mm"\nends = "{self.ends}"\n'
            f'[filler]\nvoltage = "22 V"\ncurrent = "{self.current_a:g} A"\n'
            '[bead]\nlength = "25 mm"\n'
        )


CASES = (
    Case("120 mm, wall 12 mm, 3.2 kg", 5, 0.012, (0.225, 0.156)),
    Case("120 mm, wall 6 mm, 1.6 kg", 5, 0.006, (0.225, 0.156)),
    Case("300 mm, wall 12 mm, 8 kg", 12, 0.012, (0.44, 0.20), fine_m=0.006),
    Case("120 mm to an edge, wall 12 mm, 3.2 kg", 5, 0.012, (0.225, 0.156), "one at an edge"),
    Case(
        "300 mm to an edge, wall 12 mm, 8 kg",
        12,
        0.012,
        (0.44, 0.20),
        "one at an edge",
        fine_m=0.006,
    ),
)


@dataclass(frozen=True)
class Hottest:
    """The highest of all places just before their beads."""

    local_c: float
    over_mean_dc: float
    over_sensor_dc: float


def world_of(case: Case, seed: int) -> World:
    """Return a drawn world with this joint in it."""
    chance = np.random.default_rng(seed + 7000)
    long_m, wide_m = case.plate_m
    free_m = long_m - case.places * 0.025
    aside_m = 0.5 * free_m if case.ends == "one at an edge" else chance.uniform(-0.1, 0.1) * free_m
    joint_x_m = 0.5 * long_m + aside_m
    joint_y_m = wide_m * chance.uniform(0.45, 0.55)
    drawn = invent(seed)
    return replace(
        drawn,
        length_m=long_m,
        width_m=wide_m,
        wall_m=case.wall_m,
        joint_x_m=joint_x_m,
        joint_y_m=joint_y_m,
        sensor_x_m=min(joint_x_m + chance.uniform(-0.03, 0.03), long_m - 0.01),
        sensor_y_m=joint_y_m + chance.uniform(0.035, 0.045),
        places=case.places,
        boss_m=(long_m * chance.uniform(0.1, 0.9), 0.15 * wide_m, 0.02, case.wall_m),
        rib_m=(long_m * chance.uniform(0.1, 0.9), 0.005, chance.uniform(0.0, 1.0) * case.wall_m),
        groove_m=(chance.uniform(0.3, 0.6) * case.wall_m, 0.006),
        arc_va=22.0 * case.current_a * chance.uniform(0.92, 1.08),
        start_c=PREHEAT_C,
    )


def mirrored(world: World) -> World:
    """Return the world seen from the other side: what was left is right."""
    long_m = world.length_m
    half_waves, phase, across, across_phase = world.start_wave
    return replace(
        world,
        joint_x_m=long_m - world.joint_x_m,
        sensor_x_m=long_m - world.sensor_x_m,
        boss_m=(long_m - world.boss_m[0], *world.boss_m[1:]),
        rib_m=(long_m - world.rib_m[0], *world.rib_m[1:]),
        start_wave=(half_waves, -phase - np.pi * half_waves, across, across_phase),
        flame_wave=(
            world.flame_wave[0],
            -world.flame_wave[1] - np.pi * world.flame_wave[0],
            *world.flame_wave[2:],
        ),
    )


def orders(places: int, chosen: Sequence[int]) -> dict[str, list[int]]:
    """Return the orders to compare, one run (the chosen one maybe two); back-step is marked."""
    row = list(range(places))
    return {
        "chosen": list(chosen),
        "left to right": row,
        "back-step": row[::-1],
        "every second": row[0::2] + row[1::2],
    }


def hottest(case: Case, name: str, order: Sequence[int], seed: int, runs: int = 3) -> Hottest:
    """Weld `runs` runs in an order and return the hottest place before a bead."""
    world = world_of(case, seed)
    if name == "back-step":
        world = mirrored(world)
    chance, plate = np.random.default_rng(seed + 8000), Plate(world, case.fine_m)
    found: list[tuple[float, float, float]] = []
    for bead in range(runs * case.places):
        place = order[bead % len(order)]
        _bring_into_band(plate)
        local_c = plate.local_c(place)
        found.append((local_c, local_c - plate.mean_c, local_c - plate.sensor_c))
        plate.arc = place
        plate.advance(world.bead_m / world.travel_m_s)
        plate.arc = None
        # Peen, then slag, brush, look, next rod: never twice the same.
        plate.advance(15.0 + 25.0 * float(np.exp(chance.normal(0.0, 0.25))))
    return Hottest(*(max(values) for values in zip(*found, strict=True)))


def _bring_into_band(plate: Plate) -> None:
    if plate.sensor_c < FLOOR_C + 8.0:
        plate.flame_w = FLAME_W_M2 * 2.0 * plate.world.length_m * plate.world.width_m
        while plate.sensor_c < PREHEAT_C:
            plate.advance(1.0)
        plate.flame_w = 0.0
    while plate.sensor_c > CEILING_C - 5.0:
        plate.advance(1.0)
