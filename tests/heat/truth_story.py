"""A welder's whole run of beads on the true plate: what the sensor showed, what was told.

After every bead the plate is also run on with nothing more done, which is the truth of
"how long until the floor". The arc's times are told to the sample, the flame's up to 3 s
wrong (an estimate).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from truth_plate import Plate
from truth_world import Floats, Told, World, invent, told_by_the_user

FLOOR_C, REHEAT_C, CEILING_C = 200.0, 260.0, 300.0
PERIOD_S = 0.25
LONGEST_S = 2400.0
ORDER = (0, 4, 1, 3, 2)
"From the ends to the middle."

What = Literal["arc on", "arc off", "flame on", "flame off"]


@dataclass(frozen=True, eq=False)
class Pause:
    """What came after a bead, had nothing more been done."""

    bead: int
    "Counted from 0."
    place: int
    apart_m: float
    "The sensor from the bead's middle."
    off_s: float
    "When the arc went out, session time."
    arc_s: float
    "How long it had burnt."
    net_j: float
    "Heat the bead brought in."
    bulk_rise_dc: float
    "That heat over the plate's heat capacity."
    next_s: float
    "Session time of whatever the welder did next: from then on readings leave the branch."
    times_s: Floats
    "Session time, a second apart, from arc-off until the floor is well passed or 40 min."
    sensor_c: Floats
    "With lag and bias, without noise."
    joint_c: Floats
    "Mean over 10 mm at the bead's place."

    @property
    def peak_s(self) -> float:
        """How long after arc-off the sensor is hottest."""
        return float(self.times_s[np.argmax(self.sensor_c)] - self.off_s)

    def after_s(self, limit_c: float, asked_s: float) -> float:
        """Return the seconds from session time `asked_s` until the sensor stays at or below.

        0 if it never is above from then on; inf if it still is at the branch's end.
        """
        later = self.times_s > asked_s
        now_c = float(np.interp(asked_s, self.times_s, self.sensor_c))
        times = np.concatenate([[asked_s], self.times_s[later]])
        temps = np.concatenate([[now_c], self.sensor_c[later]])
        above = np.flatnonzero(temps > limit_c)
        if len(above) == 0:
            return 0.0
        last = int(above[-1])
        if last == len(temps) - 1:
            return float("inf")
        share = (temps[last] - limit_c) / (temps[last] - temps[last + 1])
        return float(times[last] + share * (times[last + 1] - times[last]) - asked_s)

    def floor_after_s(self, floor_c: float, asked_s: float) -> float:
        """Return the seconds from session time `asked_s` until the sensor reads the floor."""
        return self.after_s(floor_c, asked_s)

    def cool_after_s(self, ceiling_c: float, asked_s: float) -> float:
        """Return the seconds from session time `asked_s` until the ceiling is kept."""
        return self.after_s(ceiling_c, asked_s)


@dataclass(frozen=True, eq=False)
class Story:
    """One run: the world, what was told, the readings, the acts and the pauses."""

    world: World
    told: Told
    readings: list[tuple[float, float]]
    "(session time s, °C) at 4 Hz, with noise and spikes."
    acts: list[tuple[float, What]]
    "Arc to the sample, flame up to 3 s wrong; in order of time."
    places: list[int]
    "The place of each bead, in order."
    pauses: list[Pause]


@dataclass
class _Welder:
    """Carries the plate through the run and writes down what is seen and told."""

    plate: Plate
    chance: np.random.Generator
    flame_w: float
    readings: list[tuple[float, float]] = field(default_factory=list)
    acts: list[tuple[float, What]] = field(default_factory=list)
    now_s: float = 0.0
    flame_at_s: float = 0.0
    "When the flame truly was lit last."

    def read(self) -> None:
        """Take one reading."""
        often = 0.003 if self.plate.arc is None else 0.08
        temp_c = self.plate.sensor_c + self.chance.normal(0.0, self.plate.world.noise_dc)
        if self.chance.random() < often:
            temp_c += self.chance.uniform(-60.0, 60.0)
        self.readings.append((self.now_s, round(float(temp_c), 1)))

    def go_on(self, stop: Callable[[], bool], longest_s: float) -> None:
        """Let time pass until `stop` or `longest_s`."""
        for _ in range(round(longest_s / PERIOD_S)):
            if stop():
                return
            self.plate.advance(PERIOD_S)
            self.now_s += PERIOD_S
            self.read()

    def rest(self, seconds: float) -> None:
        """Let time pass."""
        self.go_on(lambda: False, seconds)

    def bead(self, place: int) -> float:
        """Lay a bead of 10-15 s; return how long it took."""
        arc_s = round(self.chance.uniform(10.0, 15.0) / PERIOD_S) * PERIOD_S
        self.acts.append((self.now_s, "arc on"))
        self.plate.arc = place
        self.rest(arc_s)
        self.plate.arc = None
        self.acts.append((self.now_s, "arc off"))
        return arc_s

    def reheat(self) -> None:
        """Heat to the reheat target; the press comes up to 3 s early or late."""
        self.flame_at_s = self.now_s
        told_s = self.now_s + self.chance.uniform(-3.0, 3.0)
        self.acts.append((max(told_s, self.acts[-1][0]), "flame on"))
        self.plate.flame_w = self.flame_w
        self.go_on(lambda: self.plate.sensor_c >= REHEAT_C, 1200.0)
        self.plate.flame_w = 0.0
        told_s = self.now_s + self.chance.uniform(-3.0, 3.0)
        self.acts.append((max(told_s, self.acts[-1][0]), "flame off"))
        # The flame is put away and the rod taken up; keeps acts in order of time.
        self.rest(self.chance.uniform(8.0, 20.0))

    def get_ready(self, sink: bool) -> float:
        """Peen, wait, reheat until a bead may be laid; return when the part was touched."""
        cold = FLOOR_C if sink else FLOOR_C + 8.0
        self.rest(15.0)
        if sink:
            self.go_on(lambda: self.plate.sensor_c <= FLOOR_C, LONGEST_S)
        else:
            self.rest(round(self.chance.uniform(25.0, 105.0)))
        touched_s = float("inf")
        # A torch beside the sensor can leave the part cold: then it is heated again.
        for _ in range(4):
            if self.plate.sensor_c > cold:
                break
            self.reheat()
            touched_s = min(touched_s, self.flame_at_s)
            cold = FLOOR_C + 8.0
        self.go_on(lambda: self.plate.sensor_c < CEILING_C - 10.0, LONGEST_S)
        return min(touched_s, self.now_s)


def _branch(plate: Plate, start_s: float, place: int) -> tuple[Floats, Floats, Floats]:
    """Run a copy on, nothing more done, until the sensor is 2 degrees below the floor."""
    branch = plate.copy()
    times, sensor, joint = [start_s], [branch.sensor_c], [branch.local_c(place)]
    peaked = False
    while not (peaked and sensor[-1] < FLOOR_C - 2.0) and times[-1] < start_s + LONGEST_S:
        branch.advance(1.0)
        times.append(times[-1] + 1.0)
        sensor.append(branch.sensor_c)
        joint.append(branch.local_c(place))
        peaked = times[-1] > start_s + 120.0
    return np.array(times), np.array(sensor), np.array(joint)


def story(seed: int, beads: int = 8) -> Story:
    """Return the run of one seed; every third pause is left to sink to the floor."""
    world = invent(seed)
    plate = Plate(world)
    chance = np.random.default_rng(seed + 6000)
    # A flame that raises the whole plate by 15-40 degrees a minute against its loss.
    net_w = plate.heat_capacity_j_k * chance.uniform(15.0, 40.0) / 60.0
    welder = _Welder(plate, chance, flame_w=float(net_w + plate.loss_w))
    welder.read()
    welder.rest(60.0)
    places, pauses = [], []
    for bead in range(beads):
        place = ORDER[bead % len(ORDER)]
        places.append(place)
        given_j = plate.given_j
        arc_s = welder.bead(place)
        off_s, net_j = welder.now_s, plate.given_j - given_j
        rise_dc = net_j / plate.heat_capacity_j_k
        branch = _branch(plate, off_s, place)
        next_s = welder.get_ready(sink=bead % 3 == 2)
        apart_m = world.apart_m(place)
        pauses.append(Pause(bead, place, apart_m, off_s, arc_s, net_j, rise_dc, next_s, *branch))
    told = told_by_the_user(world, plate.mass_kg, seed)
    return Story(world, told, welder.readings, welder.acts, places, pauses)
