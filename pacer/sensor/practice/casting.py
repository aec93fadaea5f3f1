"""The practice part as a whole: plate, flame, arc and probe, later its cover.

`to(t_s)` moves everything on to a time; what the welder does changes it from then on.
"""

from __future__ import annotations

import math

from pacer.job.job import Job
from pacer.sensor.practice.burial import Burial
from pacer.sensor.practice.buried import bury
from pacer.sensor.practice.flame import Flame
from pacer.sensor.practice.march import Floats
from pacer.sensor.practice.planted.course import Course
from pacer.sensor.practice.plate import Air, Plate
from pacer.sensor.practice.probe import Probe
from pacer.sensor.practice.truth import RHO_KG_M3, Truth, draw

_CELLS = 1600
_LEAST_CELL_M = 0.0043
"At 4 Hz the plain explicit step is still stable: three times as fast as any finer cell."
_LEAST_SIDE_M = 0.04
_STEP_S = 0.25
_COVERED_STEP_S = 10.0
_SETTLED_AFTER_S, _SETTLED_STEP_S = 3600.0, 40.0
"An hour after covering the sand moves so slowly that longer steps and lines between them do."
_ARC_SIGMA_M = 0.004
"The pool and what the plate's thickness spreads at once (our choice)."
_FURNACE_FALL_S = 10_800.0
"The furnace left to itself loses 1 - 1/e of its heat in so long (invented)."
_FURNACE_FILM_W_M2K = 40.0


def plate_m(job: Job, mass_kg: float) -> tuple[float, float]:
    """Return the plate's sides along and across the joint, m: right mass, sizes' proportion."""
    area = mass_kg / RHO_KG_M3 / job.part.wall_m
    joint = job.joint.crack_length_m
    aspect = 1.0
    if job.part.size_m is not None:
        _, middle, wide = sorted(job.part.size_m)
        # The joint runs along the shorter side that has room for it.
        aspect = middle / wide if middle >= joint else wide / middle
    along = max(math.sqrt(area * aspect), joint, _LEAST_SIDE_M)
    across = max(area / along, _LEAST_SIDE_M)
    return area / across, across


class Casting:
    """The part on the table and what is done to it."""

    def __init__(self, job: Job, seed: int) -> None:
        self.truth: Truth = draw(job, seed)
        truth = self.truth
        self._job = job
        size = plate_m(job, truth.mass_kg)
        cell = max(_LEAST_CELL_M, math.sqrt(size[0] * size[1] / _CELLS))
        air = Air(truth.ambient_c, truth.emissivity, truth.convection_w_m2k)
        self.plate = Plate(size, job.part.wall_m, cell, truth.iron, air, truth.ambient_c)
        self.flame = Flame(job.heating.source, self.plate, truth, job.band.ceiling_c)
        self.probe = Probe(seed, truth.ambient_c)
        self.furnace_fall_s = _FURNACE_FALL_S
        self.course: Course | None = None
        "Out of a cover with medium the place under the probe is brought along it, whatever else is done."
        self._t_s = 0.0
        self._arc: tuple[float, float] | None = None
        self._cover: Burial | None = None
        self._left_at: tuple[float, float] | None = None
        self._probe_line = ((0.0, 0.0), (0.0, 0.0))
        joint = min(job.joint.crack_length_m, size[0])
        self._joint = (0.5 * (size[0] - joint), joint / job.plan.places)
        across = 0.5 * size[1]
        self._probe_m = (0.5 * size[0], across + min(job.sensor.distance_m, across - 0.005))
        # How much of the part lies further in than the probe, where it is covered.
        self._probe_share = min(
            0.95, math.pi * (self._probe_m[1] - across) ** 2 / size[0] / size[1]
        )

    @property
    def arc(self) -> bool:
        """True while the arc burns."""
        return self._arc is not None

    @property
    def covered(self) -> bool:
        """True from covering to uncovering, in still air and in a furnace too."""
        return self._left_at is not None

    def strike(self, place: int) -> None:
        """Start the arc at the left end of a place (0-based)."""
        self._arc = (self._joint[0] + place * self._joint[1], self._t_s)
        self.probe.arc_started()

    def stop(self) -> None:
        """End the arc."""
        self._arc = None

    def cover(self) -> None:
        """Put the part into its cover as it is now."""
        self.flame.on = False
        self.stop()
        self._left_at = (self._t_s, self.probe_c)
        if self.truth.medium is not None:
            self._cover = bury(self._job, self.truth)
            self._cover.put_in(*self.plate.rings_c())
            start_c = self._cover.at_c(self._probe_share)
            self._probe_line = ((self._t_s, start_c), (self._t_s, start_c))

    def uncover(self) -> None:
        """Take the part out again, evened out."""
        self.lay_bare()
        self._left_at = None

    def lay_bare(self) -> None:
        """Take the medium off and leave the part where it is, in the air."""
        if self._cover is not None:
            self.plate.fill(self._cover.part_c)
        self._cover = None

    @property
    def probe_c(self) -> float:
        """True temperature under the probe, °C."""
        if self._cover is not None:
            (was_s, was_c), (next_s, next_c) = self._probe_line
            share = (self._t_s - was_s) / (next_s - was_s) if next_s > was_s else 1.0
            return was_c + (next_c - was_c) * share
        return self.plate.at_c(*self._probe_m)

    def to(self, t_s: float) -> None:
        """Move on to `t_s`; a time already past changes nothing."""
        while t_s - self._t_s > 1e-9:
            step_s = min(t_s - self._t_s, _COVERED_STEP_S)
            if not self.covered:
                step_s = min(step_s, _STEP_S)
                self.flame.step(self._t_s, step_s, self._arc_w_m2(step_s))
            elif self._cover is not None:
                self._march_cover(self._cover, self._t_s + step_s)
            else:
                self._left_alone(step_s)
            self._t_s += step_s
            if self.course is not None:
                self._bring_along(self.course)
            self.probe.follow(self.probe_c, step_s)

    def _bring_along(self, course: Course) -> None:
        wanted_c = course.at(self._t_s)
        if wanted_c is not None and self._cover is None:
            self.plate.shift(wanted_c - self.probe_c)

    def _march_cover(self, cover: Burial, t_s: float) -> None:
        """March the cover until it is at or past `t_s`; the probe's reading lies on the line."""
        assert self._left_at is not None
        while self._probe_line[1][0] < t_s - 1e-9:
            was_s, was_c = self._probe_line[1]
            settled = was_s - self._left_at[0] >= _SETTLED_AFTER_S
            step_s = _SETTLED_STEP_S if settled else _COVERED_STEP_S
            cover.step(step_s)
            after = (was_s + step_s, cover.at_c(self._probe_share))
            self._probe_line = ((was_s, was_c), after)

    def _left_alone(self, step_s: float) -> None:
        if self._job.cooldown.cover != "furnace":
            self.plate.step(step_s)
            return
        assert self._left_at is not None
        began_s, start_c = self._left_at
        over = (start_c - self.truth.ambient_c) * math.exp(
            (began_s - self._t_s) / self.furnace_fall_s
        )
        gas_c = self.truth.ambient_c + over
        self.plate.step(step_s, 0.0, _FURNACE_FILM_W_M2K, gas_c, 0.0, 0.0)

    def _arc_w_m2(self, step_s: float) -> Floats | None:
        if self._arc is None:
            return None
        left_m, struck_s = self._arc
        made_m = self._job.bead.travel_m_s * (self._t_s + 0.5 * step_s - struck_s)
        x_m = left_m + min(made_m, self._job.bead.length_m, self._joint[1])
        power_w = self.truth.arc_share * self._job.filler.voltage_v * self._job.filler.current_a
        return power_w * self.plate.spot(x_m, 0.5 * self.plate.size_m[1], _ARC_SIGMA_M)
