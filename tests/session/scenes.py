"""Faultless scenes: the true temperature of a part, what the welder does, and a plain meter.

Simple models of our own, near what the shared notes on heat give for a bare part of some
3 kg: it loses 14 K a minute near 260 °C, a bead brings some 8 K to the probe within half a
minute, a grill heats by 0.5-3 K/s. Invented, as every figure made with them.

Each scene begins in the state that a session of readings has led to, not in a made-up one:
`led_to` tells a session from its room temperature on.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

import msgspec
import numpy as np
from telling import Session

from pacer.job.job import Job
from pacer.session.events import Act, AnyEvent, Channel, Deed, Reading
from pacer.session.state import State
from pacer.session.work import Phase

ROOM_C, HOT_C = 20.0, 262.0
NEXT_S, READY_S = 10.0, 140.0
RAMP_DC_S = 4.0
TAU_S = 1040.0
"""Of a bare part in air: 242 K above the room, 14 K a minute."""

BEAD_DC, BEAD_TAU_S, ARC_S = 8.5, 12.0, 10.0
"""What a bead brings to the probe, how long it takes, and how long the arc burns."""

Chance = np.random.Generator
Where = Literal["prepare", "preheat", "ready", "hold"]


PERIOD_S = 0.25


class Meter(NamedTuple):
    """How a faultless meter reads."""

    period_s: float = PERIOD_S
    sigma_dc: float = 0.3
    "White noise."
    step_dc: float = 0.25
    "Its resolution."
    names: tuple[str, ...] = ("t1",)

    def line(self, t_s: float, values: Sequence[float]) -> Reading:
        """Return the line that shows these values, one a channel, to its resolution."""
        raw = tuple(round(round(v / self.step_dc) * self.step_dc, 3) for v in values)
        return Reading(t_ms=round(t_s * 1000), raw=raw, status="ok", names=self.names)


PLAIN = Meter()


class Moment(NamedTuple):
    """One tick of the clock: the truth, and what reaches the fold."""

    t_s: float
    true_c: float
    "Of the deciding channel's place."
    arc: bool
    events: tuple[AnyEvent, ...]


@dataclass(frozen=True)
class Scene:
    """A faultless stretch of a session: truth and deeds, one row a period of the meter."""

    start: State
    meter: Meter
    rows: tuple[tuple[float, float, bool, tuple[Act, ...]], ...]
    "(session time s, true °C, does the arc burn, deeds)."

    @property
    def begins_s(self) -> float:
        """When its first line comes, s."""
        return self.rows[0][0]

    @property
    def arcs(self) -> tuple[tuple[float, float], ...]:
        """From when to when the arc burns, s."""
        found: list[tuple[float, float]] = []
        for before, row in zip(self.rows, self.rows[1:], strict=False):
            if row[2] and not before[2]:
                found.append((row[0], math.inf))
            if before[2] and not row[2]:
                found[-1] = (found[-1][0], row[0])
        return tuple(found)


def deed(t_s: float, what: Deed, temp_c: float | None = None) -> Act:
    """Return something the welder does, taken at its word."""
    return Act(t_ms=round(t_s * 1000), deed=what, by="script", temp_c=temp_c)


_LED: dict[tuple[bytes, Where, Meter, int], State] = {}


def led_to(job: Job, where: Where, meter: Meter, seed: int) -> State:
    """Return the state of a session told up to a scene: 20 °C, then 4 K/s to 262 °C."""
    key = (msgspec.json.encode(job), where, meter, seed)
    if key not in _LED:
        _LED[key] = _told(job, where, meter, seed)
    return _LED[key]


def _told(job: Job, where: Where, meter: Meter, seed: int) -> State:
    chance = np.random.default_rng([1, seed])
    session = Session(job, channel=Channel("t1", "degC"), period_s=meter.period_s)
    if where == "prepare":
        return session.state
    until_s = NEXT_S + meter.period_s if where == "preheat" else READY_S
    for index in range(round(until_s / meter.period_s)):
        t_s = round(index * meter.period_s, 3)
        if t_s >= NEXT_S and session.state.phase is Phase.PREPARE:
            session.at(t_s, "next")
        true_c = min(ROOM_C + RAMP_DC_S * max(0.0, t_s - NEXT_S), HOT_C)
        session.event(meter.line(t_s, _shown(meter, true_c, chance)))
    if where == "hold":
        session.at(until_s, "hold")
    return session.state


def _shown(meter: Meter, true_c: float, chance: Chance) -> list[float]:
    """Return what each channel would show; the second sits a little off the first."""
    return [
        true_c + 1.0 * i + meter.sigma_dc * chance.standard_normal()
        for i in range(len(meter.names))
    ]


def played(scene: Scene, seed: int) -> Iterator[tuple[float, float, bool, list[float], list[Act]]]:
    """Yield time, truth, arc, what each channel would show before rounding, and deeds."""
    chance = np.random.default_rng([2, seed])
    for t_s, true_c, arc, acts in scene.rows:
        yield t_s, true_c, arc, _shown(scene.meter, true_c, chance), list(acts)


def _times(from_s: float, span_s: float, meter: Meter) -> list[float]:
    count = round(span_s / meter.period_s)
    return [round(from_s + (i + 1) * meter.period_s, 3) for i in range(count)]


def prepare(job: Job, chance: Chance, span_s: float, meter: Meter = PLAIN) -> Scene:
    """Return a cold bench before the first press, at 12-30 °C."""
    room_c = float(chance.uniform(12.0, 30.0))
    rows = [(t_s, room_c, False, ()) for t_s in _times(0.0, span_s, meter)]
    return Scene(led_to(job, "prepare", meter, 0), meter, tuple(rows))


def heating(job: Job, chance: Chance, span_s: float, meter: Meter = PLAIN) -> Scene:
    """Return a preheat at 0.5-3 K/s that comes near its target but not there."""
    rate_dc_s, top_c = float(chance.uniform(0.5, 3.0)), HOT_C - 12.0
    seed = int(chance.integers(6))
    tau_s = (top_c - ROOM_C) / rate_dc_s
    rows = [
        (t_s, top_c - (top_c - ROOM_C) * math.exp(-(t_s - NEXT_S) / tau_s), False, ())
        for t_s in _times(NEXT_S, span_s, meter)
    ]
    return Scene(led_to(job, "preheat", meter, seed), meter, tuple(rows))


def cooling(job: Job, chance: Chance, span_s: float, meter: Meter = PLAIN) -> Scene:
    """Return a part in READY that cools in the open while nobody does anything."""
    seed = int(chance.integers(6))
    rows = [
        (t_s, ROOM_C + (HOT_C - ROOM_C) * math.exp(-(t_s - READY_S) / TAU_S), False, ())
        for t_s in _times(READY_S, span_s, meter)
    ]
    return Scene(led_to(job, "ready", meter, seed), meter, tuple(rows))


def hold(job: Job, chance: Chance, span_s: float, meter: Meter = PLAIN) -> Scene:
    """Return a part kept warm: 1.5 K up and down in one to four minutes."""
    seed, phase = int(chance.integers(6)), float(chance.uniform(0.0, math.tau))
    every_s = float(chance.uniform(60.0, 240.0))
    rows = [
        (t_s, HOT_C + 1.5 * math.sin(phase + math.tau * t_s / every_s), False, ())
        for t_s in _times(READY_S, span_s, meter)
    ]
    return Scene(led_to(job, "hold", meter, seed), meter, tuple(rows))


def beads(job: Job, chance: Chance, span_s: float, meter: Meter = PLAIN) -> Scene:
    """Return beads and peens: arcs of 10 s, told by a signal or by two presses."""
    seed, signalled = int(chance.integers(6)), bool(chance.integers(2))
    start: Deed = "arc on" if signalled else "next"
    end: Deed = "arc off" if signalled else "next"
    true_c, pending_dc = HOT_C, 0.0
    next_s = READY_S + float(chance.uniform(3.0, 8.0))
    off_s: float | None = None
    rows: list[tuple[float, float, bool, tuple[Act, ...]]] = []
    for t_s in _times(READY_S, span_s, meter):
        acts: tuple[Act, ...] = ()
        if off_s is None and t_s >= next_s:
            off_s, acts = t_s + ARC_S, (deed(t_s, start),)
        elif off_s is not None and t_s >= off_s:
            off_s, acts = None, (deed(t_s, end),)
            next_s = t_s + job.bead.peen_s + float(chance.uniform(6.0, 15.0))
        burns = off_s is not None
        pending_dc += BEAD_DC * meter.period_s / ARC_S if burns else 0.0
        arrives_dc = pending_dc * -math.expm1(-meter.period_s / BEAD_TAU_S)
        pending_dc -= arrives_dc
        true_c += arrives_dc - (true_c - ROOM_C) * meter.period_s / TAU_S
        rows.append((t_s, true_c, burns, acts))
    return Scene(led_to(job, "ready", meter, seed), meter, tuple(rows))
