"""Faults that come and go in the values: spikes, a stuck meter, drift, the arc in the reading."""

from __future__ import annotations

import math

from planting import Alter, Made, fault, span
from scenes import Chance, Meter, Scene, beads, cooling, heating, hold

from pacer.job.job import Job
from pacer.session.guard.standing import Standing

S = Standing
SPIKE_DC = (100.0, 800.0)
"""As in reliability.md T-29, invented there."""

RESOLUTIONS_DC = (0.1, 0.25, 1.0)


def _spiked(chance: Chance, share: float) -> Alter:
    def alter(t_s: float, true_c: float, shown: list[float], arc: bool) -> list[float]:
        return [c + _spike(chance) if chance.random() < share else c for c in shown]

    return alter


def _fifth(scene: Scene, chance: Chance) -> Made:
    """Return every fifth reading off, known once a fifth of ten seconds was for a second."""
    starts_s, ends_s = span(scene, chance, 60.0, 65.0)
    times = [row[0] for row in scene.rows if starts_s <= row[0] < ends_s]
    off = {t_s: _spike(chance) for t_s in times if chance.random() < 0.20}
    many, second = (max(1, round(s / scene.meter.period_s)) for s in (10.0, 1.0))
    enough = [
        sum(t in off for t in times[: i + 1][-many:]) >= 0.2 * many for i in range(len(times))
    ]
    known = (i for i in range(second, len(times)) if all(enough[i - second : i + 1]))
    return Made(
        scene,
        starts_s,
        ends_s,
        lambda t_s, true_c, shown, arc: [shown[0] + off.get(t_s, 0.0)],
        known_s=times[next(known, -1)],
    )


def _spike(chance: Chance) -> float:
    return float(chance.choice((-1.0, 1.0)) * chance.uniform(*SPIKE_DC))


def _always(scene: Scene, chance: Chance, share: float) -> Made:
    starts_s, ends_s = span(scene, chance, 40.0, 45.0)
    return Made(scene, starts_s, ends_s, _spiked(chance, share))


@fault("spikes 5 %", also=(S.NOISY,), misled_s=0.5)
def spikes_5(job: Job, chance: Chance, meter: Meter) -> Made:
    """Every twentieth reading 100-800 K off: the median's business, nothing to name."""
    scene = (beads if chance.integers(2) else hold)(job, chance, 90.0, meter)
    return _always(scene, chance, 0.05)


@fault("spikes 20 %", S.NOISY, also=(S.SILENT,), within_s=10.0, misled_s=0.5)
def spikes_20(job: Job, chance: Chance, meter: Meter) -> Made:
    """Every fifth reading off; counted from when a fifth of ten seconds was for a second."""
    return _fifth(hold(job, chance, 110.0, meter), chance)


@fault("spikes 45 %", S.NOISY, S.SILENT, also=(S.OUTSIDE,), within_s=10.0, misled_s=0.5)
def spikes_45(job: Job, chance: Chance, meter: Meter) -> Made:
    """Nearly every second reading off: no median finds the truth any more."""
    return _always(hold(job, chance, 90.0, meter), chance, 0.45)


@fault("bursts at arc starts", also=(S.NOISY, S.ARC), misled_s=0.5)
def bursts(job: Job, chance: Chance, meter: Meter) -> Made:
    """Up to six readings in a row off as the arc starts."""
    scene = beads(job, chance, 120.0, meter)
    bursts_s = [(on_s, on_s + 0.25 * int(chance.integers(1, 7))) for on_s, _ in scene.arcs]

    def alter(t_s: float, true_c: float, shown: list[float], arc: bool) -> list[float]:
        inside = any(on_s <= t_s < end_s for on_s, end_s in bursts_s)
        return [c + _spike(chance) for c in shown] if inside else shown

    return Made(scene, scene.begins_s, math.inf, alter)


def _frozen(scene: Scene, starts_s: float, ends_s: float) -> Made:
    kept: list[float] = []

    def alter(t_s: float, true_c: float, shown: list[float], arc: bool) -> list[float]:
        kept[:] = kept or shown[:1]
        return [kept[0], *shown[1:]]

    return Made(scene, starts_s, ends_s, alter)


def _resolution(chance: Chance, meter: Meter, names: tuple[str, ...] = ("t1",)) -> Meter:
    return meter._replace(step_dc=RESOLUTIONS_DC[int(chance.integers(3))], names=names)


@fault("stuck 10-55 s")
def stuck_shortly(job: Job, chance: Chance, meter: Meter) -> Made:
    """The same value again and again in bead work, too short to be named."""
    scene = beads(job, chance, 100.0, _resolution(chance, meter))
    return _frozen(scene, *span(scene, chance, 10.0, 55.0))


@fault("stuck in bead work", S.STUCK, within_s=90.0)
def stuck_in_beads(job: Job, chance: Chance, meter: Meter) -> Made:
    """From before an arc on, for 100-120 s: one bead at least is within and over for 20 s."""
    scene = beads(job, chance, 160.0, _resolution(chance, meter))
    starts_s = scene.begins_s + float(chance.uniform(0.0, 2.0))
    return _frozen(scene, starts_s, starts_s + float(chance.uniform(100.0, 120.0)))


@fault("stuck while heated", S.STUCK, within_s=70.0, misled_s=60.0)
def stuck_while_heating(job: Job, chance: Chance, meter: Meter) -> Made:
    """In a preheat, for 80-120 s."""
    scene = heating(job, chance, 150.0, _resolution(chance, meter))
    return _frozen(scene, *span(scene, chance, 80.0, 120.0))


@fault("stuck, another channel moves", S.STUCK, also=(S.APART,), within_s=75.0)
def stuck_alone(job: Job, chance: Chance, meter: Meter) -> Made:
    """In READY, while the part and the second channel cool."""
    scene = cooling(job, chance, 150.0, _resolution(chance, meter, ("t1", "t2")))
    return _frozen(scene, *span(scene, chance, 80.0, 110.0))


@fault("stuck in a hold")
def stuck_in_hold(job: Job, chance: Chance, meter: Meter) -> Made:
    """Nothing happens that must move it: it can't be told from a part kept warm."""
    scene = hold(job, chance, 150.0, _resolution(chance, meter))
    return _frozen(scene, *span(scene, chance, 60.0, 120.0))


@fault("slow drift")
def drift(job: Job, chance: Chance, meter: Meter) -> Made:
    """0.05-0.3 K/s up or down in a hold: a part may do the same."""
    scene = hold(job, chance, 300.0, meter)
    starts_s, _ = span(scene, chance, 1.0, 2.0)
    rate = float(chance.choice((-1.0, 1.0)) * chance.uniform(0.05, 0.3))
    return Made(
        scene,
        starts_s,
        math.inf,
        lambda t_s, true_c, shown, arc: [shown[0] + rate * (t_s - starts_s), *shown[1:]],
    )


def _with_the_arc(scene: Scene, alter: Alter) -> Made:
    """Return a fault of every arc of the scene; counted from the first."""
    return Made(
        scene,
        scene.arcs[0][0],
        math.inf,
        lambda t_s, true_c, shown, arc: alter(t_s, true_c, shown, arc) if arc else shown,
    )


@fault("arc offset 20-200 K", S.ARC, also=(S.NOISY,), within_s=5.0, misled_s=0.5)
def arc_offset(job: Job, chance: Chance, meter: Meter) -> Made:
    """The welding current's drop is in the loop: as long as the arc burns, up or down."""
    off_dc = float(chance.choice((-1.0, 1.0)) * chance.uniform(20.0, 200.0))
    ripple_dc = 0.05 * abs(off_dc)

    def alter(t_s: float, true_c: float, shown: list[float], arc: bool) -> list[float]:
        return [shown[0] + off_dc + ripple_dc * float(chance.standard_normal())]

    return _with_the_arc(beads(job, chance, 130.0, meter), alter)


@fault("arc hum 10-80 K", S.ARC, also=(S.NOISY,), within_s=6.0, misled_s=0.5)
def arc_hum(job: Job, chance: Chance, meter: Meter) -> Made:
    """Mains or pulses, folded down by the meter's slow sampling to 0.05-1.9 Hz."""
    size_dc, f_hz = float(chance.uniform(10.0, 80.0)), float(chance.uniform(0.05, 1.9))
    phase = float(chance.uniform(0.0, math.tau))

    def alter(t_s: float, true_c: float, shown: list[float], arc: bool) -> list[float]:
        return [shown[0] + size_dc * math.sin(phase + math.tau * f_hz * t_s)]

    return _with_the_arc(beads(job, chance, 130.0, meter), alter)
