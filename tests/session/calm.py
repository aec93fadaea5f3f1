"""Sessions without a fault, and what the guard names and tells in them all the same.

Every state but live and checking that begins here is a false alarm, and so is every cue of
the sensor. Noise is what a sound meter has beside an arc: white, to its resolution, and in
the practice sessions a few readings off at each arc start. Invented, like the parts.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

import msgspec
import numpy as np
from noise import Kind, Noise
from nuisance import Still
from scenes import Meter, Scene, beads, cooling, heating, hold, played
from telling import opened
from verdict import DOUBTS, FINE

from pacer.job.job import Job
from pacer.sensor.practice.source import open_practice, practice_job
from pacer.session.cues import Cue
from pacer.session.events import AnyEvent, Reading
from pacer.session.fold import advance, begin, deadline, step
from pacer.session.guard.standing import standing
from pacer.session.state import State

SIGMAS_DC = (0.02, 0.1, 0.3)
STEPS_DC = (0.1, 0.25, 1.0)


@dataclass
class Calm:
    """What was named and told, and in how long a time."""

    hours: float = 0.0
    states: Counter[str] = field(default_factory=Counter)
    "How often each state began."
    cues: Counter[str] = field(default_factory=Counter)
    "How often each cue of the sensor was told, repeats left out."
    first: dict[str, str] = field(default_factory=dict)
    "Where each was first met, for whoever looks into it."

    def __iadd__(self, other: Calm) -> Calm:
        """Add another session."""
        self.hours += other.hours
        self.states += other.states
        self.cues += other.cues
        self.first = {**other.first, **self.first}
        return self


class Watcher:
    """A fold that counts what begins to be named and told."""

    def __init__(self, state: State, where: str) -> None:
        self.state, self.found, self.where = state, Calm(), where
        self._began_s = state.t_s
        self._name = standing(state, state.t_s).state

    def until(self, t_s: float) -> tuple[Cue, ...]:
        """Let time pass."""
        self.state, cues = advance(self.state, t_s)
        return self._watched(t_s, cues)

    def event(self, event: AnyEvent) -> tuple[Cue, ...]:
        """Fold an event."""
        self.state, cues = step(self.state, event)
        return self._watched(event.t_s, cues)

    def _watched(self, t_s: float, cues: tuple[Cue, ...]) -> tuple[Cue, ...]:
        name = standing(self.state, t_s).state
        if name is not self._name and name not in FINE:
            self._count(self.found.states, str(name), t_s)
        self._name = name
        for cue in cues:
            if cue.kind in DOUBTS and not cue.again:
                self._count(self.found.cues, str(cue.kind), t_s)
        self.found.hours = (t_s - self._began_s) / 3600.0
        return cues

    def _count(self, counter: Counter[str], name: str, t_s: float) -> None:
        counter[name] += 1
        self.found.first.setdefault(name, f"{self.where} at {t_s:.2f} s ({self.state.phase})")


def watched(scene: Scene, seed: int, where: str) -> Calm:
    """Return what a scene brings."""
    watcher = Watcher(scene.start, where)
    for t_s, _, _, shown, acts in played(scene, seed):
        watcher.until(t_s)
        for act in acts:
            watcher.event(act)
        watcher.event(scene.meter.line(t_s, shown))
    return watcher.found


def practice(seed: int, kind: Kind | None = None) -> Calm:
    """Return what a whole practice session brings, its cool-down with it.

    `kind`: noise in place of the practice part's own.
    """
    part = open_practice(practice_job(), seed=seed, speed=0.0)
    probe, noise = Still(seed, part.casting.truth.ambient_c), None
    if kind is not None:
        part.casting.probe, noise = probe, Noise(kind, seed)
    state, cues = begin(opened(practice_job(), channel=part.channel, period_s=part.period_s))
    watcher = Watcher(state, f"practice {seed}")
    while not part.finished:
        for cue in cues:
            part.hear(cue)
        due = deadline(watcher.state)
        heard = part.read(due.t_s if due else None)
        cues = () if heard else watcher.until(part.clock())
        for item in heard:
            t_s = round(item.t_s, 3)
            event: AnyEvent | None = item.event
            if noise is not None and isinstance(event, Reading):
                event = noise.sent(t_s, probe.shown_c(arc=False), arc=part.casting.arc)
            cues += watcher.until(t_s)
            if event is not None:
                cues += watcher.event(msgspec.structs.replace(event, t_ms=round(t_s * 1000)))
    return watcher.found


def _seeded(make: Callable[[int], Calm], seeds: Iterable[int]) -> Calm:
    found = Calm()
    for seed in seeds:
        found += make(seed)
    return found


def held(job: Job, meter: Meter, seed: int, span_s: float) -> Calm:
    """Return a hold, as a soak is one: nothing happens, and the value may stand still."""
    scene = hold(job, np.random.default_rng(seed), span_s, meter)
    return watched(scene, seed, f"hold {meter.step_dc} K, {meter.sigma_dc} K, seed {seed}")


def beside(job: Job, meter: Meter, seed: int, span_s: float) -> Calm:
    """Return a hold in which the second channel goes 20 K up and down, as a flame wanders."""
    scene = hold(job, np.random.default_rng(seed), span_s, meter._replace(names=("t1", "t2")))
    watcher = Watcher(scene.start, f"beside {meter.step_dc} K, seed {seed}")
    for t_s, _, _, shown, _ in played(scene, seed):
        shown[1] += 20.0 * math.sin(t_s / 60.0)
        watcher.until(t_s)
        watcher.event(scene.meter.line(t_s, shown))
    return watcher.found


def uneven(job: Job, meter: Meter, seed: int) -> Calm:
    """Return a torch's preheat, 2-8 K/s at one channel and a third of it at the other."""
    chance = np.random.default_rng(seed)
    scene = heating(job, chance, 120.0, meter._replace(names=("t1", "t2")))
    far = int(chance.integers(2))
    watcher, rate = Watcher(scene.start, f"torch {seed}"), float(chance.uniform(2.0, 8.0))
    for t_s, true_c, _, shown, _ in played(scene, seed):
        near_c = min(20.0 + rate * (t_s - scene.begins_s), 600.0)
        noise_dc = shown[0] - true_c
        values = [near_c + noise_dc, 20.0 + (near_c - 20.0) / 3.0 - noise_dc]
        watcher.until(t_s)
        watcher.event(scene.meter.line(t_s, values[::-1] if far == 0 else values))
    return watcher.found


def worked(job: Job, meter: Meter, seed: int) -> Calm:
    """Return five minutes of beads and peens."""
    scene = beads(job, np.random.default_rng(seed), 300.0, meter)
    return watched(scene, seed, f"beads {meter.step_dc} K, {meter.period_s} s, seed {seed}")


def heated(job: Job, meter: Meter, seed: int) -> Calm:
    """Return five minutes of preheat, and three of cooling in READY."""
    found = watched(heating(job, np.random.default_rng(seed), 300.0, meter), seed, f"heat {seed}")
    cold = cooling(job, np.random.default_rng(seed), 180.0, meter)
    found += watched(cold, seed, f"cooling {seed}")
    return found


METERS = [Meter(sigma_dc=sigma, step_dc=step_) for step_ in STEPS_DC for sigma in SIGMAS_DC]
SLOW = Meter(period_s=1.0)
NEAR_AN_ARC = Kind(sigma_dc=1.0, spikes=0.01, burst=6, garbled=0.01)


class Sort(NamedTuple):
    """One kind of faultless session, in its full length."""

    name: str
    run: Callable[[Job], Calm]


CALM = (
    Sort("practice sessions, their own noise", lambda job: _seeded(practice, range(1, 5))),
    Sort(
        "practice sessions, 1 K, 1 % spikes, bursts of 6",
        lambda job: _seeded(lambda seed: practice(seed, NEAR_AN_ARC), range(5, 9)),
    ),
    Sort(
        "holds of 2 h, 0.1-1 K steps, 0.02-0.3 K noise (T-28)",
        lambda job: _seeded(lambda i: held(job, METERS[i], i, 7200.0), range(len(METERS))),
    ),
    Sort(
        "holds of 1 h, another channel moves",
        lambda job: _seeded(lambda i: beside(job, METERS[i], i, 3600.0), range(len(METERS))),
    ),
    Sort(
        "beads and peens",
        lambda job: _seeded(lambda i: worked(job, METERS[i % 9], i), range(54)),
    ),
    Sort(
        "preheat, and cooling in READY",
        lambda job: _seeded(lambda i: heated(job, METERS[i % 9], i), range(27)),
    ),
    Sort(
        "torch on two channels",
        lambda job: _seeded(lambda i: uneven(job, METERS[i % 9], i), range(27)),
    ),
    Sort(
        "a reading a second: hold and beads",
        lambda job: _seeded(
            lambda i: held(job, SLOW, i, 3600.0) if i < 3 else worked(job, SLOW, i), range(27)
        ),
    ),
)
