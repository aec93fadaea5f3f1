"""How a fault is planted: a faultless scene, its readings altered for a while, and what to call it.

Kinds of faults register themselves here (`@fault`); `faults.py` knows them all.
"""

from __future__ import annotations

import math
import zlib
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scenes import PERIOD_S, Chance, Meter, Moment, Scene, cooling, heating, hold, played

from pacer.job.job import Job
from pacer.session.events import Act, AnyEvent, SensorChanged
from pacer.session.guard.standing import Standing
from pacer.session.state import State

Alter = Callable[[float, float, list[float], bool], list[float] | AnyEvent | None]
"""(time s, truth °C, what each channel would show °C, arc) -> shown, an event, or nothing sent."""


@dataclass(frozen=True)
class Trace:
    """One fault, or none, as the fold will hear it."""

    name: str
    seed: int
    start: State
    moments: tuple[Moment, ...]
    starts_s: float
    "When what is sent first differs from the truth by more than noise."
    ends_s: float
    "From then on the truth is sent again; infinite: not within this trace."
    known_s: float
    "From then on it could be told; times are counted from here."
    right: frozenset[Standing]
    "Names that are right for it; none: there is nothing to name."
    also: frozenset[Standing]
    "Names that are no mistake on the way."

    @property
    def period_s(self) -> float:
        """Time between two moments, s."""
        return self.moments[1].t_s - self.moments[0].t_s


@dataclass(frozen=True)
class Made:
    """A scene and what is done to its readings from `starts_s` to `ends_s`."""

    scene: Scene
    starts_s: float
    ends_s: float
    alter: Alter
    acts: tuple[Act, ...] = ()
    "Further deeds: readings typed."
    news: tuple[SensorChanged, ...] = ()
    known_s: float | None = None
    "When it can first be told; None: as it starts."


Make = Callable[[Job, Chance, Meter], Made]


@dataclass(frozen=True)
class Fault:
    """A kind of fault: how to make one, its names, and what is asked of the guard."""

    make: Make
    right: frozenset[Standing]
    also: frozenset[Standing]
    named_share: float
    "Share of traces that must get a right name; 0: it can't be told from the part itself."
    within_s: float
    "95 of 100 of these within so long; infinite: not asked."
    misled_s: float
    "For so long at most may its wrong value decide, 95 of 100, no arc burning; infinite: not asked."


FAULTS: dict[str, Fault] = {}


def fault(
    name: str,
    *right: Standing,
    also: tuple[Standing, ...] = (),
    share: float = 0.95,
    within_s: float = math.inf,
    misled_s: float = math.inf,
) -> Callable[[Make], Make]:
    """Register a kind of fault with its names and what is asked of the guard."""

    def kept(make: Make) -> Make:
        FAULTS[name] = Fault(
            make=make,
            right=frozenset(right),
            also=frozenset(also),
            named_share=share if right else 0.0,
            within_s=within_s,
            misled_s=misled_s,
        )
        return make

    return kept


def trace(job: Job, name: str, seed: int, period_s: float = PERIOD_S) -> Trace:
    """Return the trace of a fault; the same seed gives the same trace.

    Raises KeyError for a name that is not in `FAULTS`.
    """
    kind = FAULTS[name]
    chance = np.random.default_rng([zlib.crc32(name.encode()), seed])
    made = kind.make(job, chance, Meter(period_s))
    return Trace(
        name=name,
        seed=seed,
        start=made.scene.start,
        moments=tuple(_moments(made, seed)),
        starts_s=made.starts_s,
        ends_s=made.ends_s,
        known_s=made.starts_s if made.known_s is None else made.known_s,
        right=kind.right,
        also=kind.also,
    )


def _moments(made: Made, seed: int) -> list[Moment]:
    found, scene = [], made.scene
    extra: list[AnyEvent] = sorted([*made.acts, *made.news], key=lambda event: event.t_ms)
    for t_s, true_c, arc, shown, acts in played(scene, seed):
        events: list[AnyEvent] = [*acts]
        while extra and extra[0].t_s <= t_s:
            events.append(extra.pop(0))
        sent: list[float] | AnyEvent | None = shown
        if made.starts_s <= t_s < made.ends_s:
            sent = made.alter(t_s, true_c, shown, arc)
        if isinstance(sent, list):
            events.append(scene.meter.line(t_s, sent))
        elif sent is not None:
            events.append(sent)
        found.append(Moment(t_s, true_c, arc, tuple(events)))
    return found


def span(scene: Scene, chance: Chance, least_s: float, most_s: float) -> tuple[float, float]:
    """Return when a fault starts, 10-20 s into the scene, and when it ends, s."""
    starts_s = scene.begins_s + float(chance.uniform(10.0, 20.0))
    return starts_s, starts_s + float(chance.uniform(least_s, most_s))


def anywhere(job: Job, chance: Chance, span_s: float, meter: Meter) -> Scene:
    """Return a hold, a part cooling in READY, or a preheat: no arc, during which nothing is told."""
    return (hold, cooling, heating)[int(chance.integers(3))](job, chance, span_s, meter)
