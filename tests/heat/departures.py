"""Cool-downs that go wrong: damp sand, a part uncovered, a probe that fell out.

Each is a curve of `truth2d`, changed from a moment on. Rates of an uncovered part are those
of `pacer.heat.lumped` (the published still-air balance), not of the fitted models.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
import truth2d

from pacer.heat.bins import Bins, add
from pacer.heat.cooldown.fitted import fit
from pacer.heat.cooldown.prior import prior
from pacer.heat.cooldown.watching import Departure, watch
from pacer.heat.lumped import cooling_rate_c_s
from pacer.heat.part import CoverName

Floats = npt.NDArray[np.float64]

EVERY_S = 10.0


@dataclass(frozen=True, eq=False)
class Course:
    """A course of temperatures and what was told of the job."""

    truth: truth2d.Truth
    times_s: Floats
    temps_c: Floats
    wrong_from_s: float | None


def as_said(seed: int, cover: CoverName, until_c: float = 45.0) -> Course:
    """Return a normal cool-down down to `until_c`."""
    truth = truth2d.truth(seed, cover, until_c, longest_h=40.0)
    times = np.arange(0.0, truth.times_s[-1], EVERY_S)
    return Course(truth, times, np.interp(times, truth.times_s, truth.part_c), None)


def damp(seed: int) -> Course:
    """Return one in damp sand said to be dry: 1.0-2.4 W/mK (range of damp sand, SEEN-S)."""
    told = truth2d.truth(seed, "dry sand", 200.0)
    chance = np.random.default_rng(seed + 8000)
    wet = replace(told.world, k0=chance.uniform(1.0, 2.4), moisture=chance.uniform(0.02, 0.05))
    seen_s, seen_c, _ = truth2d.simulate(wet, 40.0, 6 * 3600.0)
    times = np.arange(0.0, seen_s[-1], EVERY_S)
    return Course(told, times, np.interp(times, seen_s, seen_c), 0.0)


def uncovered(course: Course, at_s: float = 3600.0) -> Course:
    """Return `course` with the part dug out at `at_s` and left in still air."""
    part, room_c = course.truth.part, course.truth.world.ambient
    temps = course.temps_c.copy()
    first = int(np.searchsorted(course.times_s, at_s))
    for i in range(first + 1, len(temps)):
        now_c = float(temps[i - 1])
        rate = cooling_rate_c_s(now_c, room_c, part.mass_kg, part.plate_area_m2)
        temps[i] = now_c - EVERY_S * rate
    return replace(course, temps_c=temps, wrong_from_s=at_s)


def fallen_out(course: Course, seed: int) -> Course:
    """Return `course` with the probe out of the part: within a minute or so at the medium's."""
    chance = np.random.default_rng(seed + 9000)
    at_s = float(chance.uniform(1200.0, 0.5 * course.times_s[-1]))
    room_c = course.truth.world.ambient
    medium_c = room_c + chance.uniform(0.15, 0.6) * (course.temps_c - room_c)
    gone_s = np.maximum(course.times_s - at_s, 0.0)
    out = 1.0 - np.exp(-gone_s / chance.uniform(10.0, 60.0))
    temps = course.temps_c + (medium_c - course.temps_c) * out
    return replace(course, temps_c=temps, wrong_from_s=at_s)


def watched(course: Course, seed: int, moments_s: Floats) -> Iterator[tuple[float, Departure]]:
    """Yield every departure seen at `moments_s`, refitting each time as a session would."""
    chance = np.random.default_rng(seed + 1000)
    noisy = course.temps_c + course.truth.bias_dc + chance.normal(0.0, 1.0, len(course.temps_c))
    spikes = chance.random(len(noisy)) < 0.004
    noisy = np.where(spikes, noisy + chance.uniform(-60.0, 60.0, len(noisy)), noisy)
    bins: Bins = ()
    done = 0
    near: tuple[float, ...] | None = None
    told = course.truth
    p = prior(told.part, told.cover, told.ambient_c, float(noisy[0]))
    for now_s in moments_s:
        if now_s > course.times_s[-1]:
            return
        while done < len(noisy) and course.times_s[done] <= now_s:
            bins = add(bins, float(course.times_s[done]), float(noisy[done]))
            done += 1
        found = fit(p, bins, near=near)
        near = found.z
        seen = watch(found, bins)
        if seen is not None:
            yield float(now_s), seen


def moments(course: Course) -> Floats:
    """Return when to look: from 15 min on, every 5 % of the time and at least each 2 min."""
    times, now_s = [], 900.0
    while now_s < course.times_s[-1]:
        times.append(now_s)
        now_s += max(120.0, 0.05 * now_s)
    return np.array(times)
