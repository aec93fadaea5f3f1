"""Faults of probe, wire and setting: off, slipped, swapped, of another type, in another unit."""

from __future__ import annotations

import math

from planting import Alter, Made, fault, span
from scenes import ROOM_C, Chance, Meter, Scene, beads, cooling, deed, heating, hold, prepare
from thermocouple_its90 import get

from pacer.job.job import Job
from pacer.session.guard.standing import Standing

S = Standing


@fault("probe off in peening", S.PROBE, also=(S.JUMPED,), within_s=5.0, misled_s=1.0)
def probe_off(job: Job, chance: Chance, meter: Meter) -> Made:
    """Knocked off 1-12 s into the peen: it falls to 20-80 °C with 1-10 s lag, back on in 15-40 s."""
    scene = beads(job, chance, 110.0, meter)
    _, off_s = scene.arcs[0]
    starts_s = off_s + float(chance.uniform(1.0, 12.0))
    air_c, lag_s = float(chance.uniform(20.0, 80.0)), float(chance.uniform(1.0, 10.0))

    def alter(t_s: float, true_c: float, shown: list[float], arc: bool) -> list[float]:
        return [air_c + (shown[0] - air_c) * math.exp(-(t_s - starts_s) / lag_s)]

    return Made(scene, starts_s, starts_s + float(chance.uniform(15.0, 40.0)), alter)


def _stepped(scene: Scene, chance: Chance, step_dc: float, lag_s: float) -> Made:
    starts_s, ends_s = span(scene, chance, 25.0, 40.0)
    return Made(scene, starts_s, ends_s, _moved(starts_s, step_dc, lag_s))


def _moved(starts_s: float, step_dc: float, lag_s: float) -> Alter:
    def alter(t_s: float, true_c: float, shown: list[float], arc: bool) -> list[float]:
        return [shown[0] - step_dc * math.expm1(-(t_s - starts_s) / lag_s), *shown[1:]]

    return alter


@fault("probe slips in peening", S.PROBE, also=(S.JUMPED, S.ARC), within_s=5.0)
def probe_slips(job: Job, chance: Chance, meter: Meter) -> Made:
    """25-60 K lower at once, 1-12 s into the peen, for 25-40 s; it may come back as an arc burns."""
    scene = beads(job, chance, 110.0, meter)
    _, off_s = scene.arcs[0]
    starts_s = off_s + float(chance.uniform(1.0, 12.0))
    alter = _moved(starts_s, -float(chance.uniform(25.0, 60.0)), float(chance.uniform(0.05, 0.6)))
    return Made(scene, starts_s, starts_s + float(chance.uniform(25.0, 40.0)), alter)


@fault("step up", S.JUMPED, S.UNIT, within_s=5.0)
def step_up(job: Job, chance: Chance, meter: Meter) -> Made:
    """60-250 K higher at once in READY or in a hold: a wire touched, not a part; one may fit °F."""
    scene = (
        hold(job, chance, 100.0, meter)
        if chance.integers(2)
        else cooling(job, chance, 100.0, meter)
    )
    return _stepped(scene, chance, float(chance.uniform(60.0, 250.0)), 0.2)


@fault("step down", S.JUMPED, S.PROBE, S.UNIT, within_s=5.0)
def step_down(job: Job, chance: Chance, meter: Meter) -> Made:
    """60-220 K lower at once in READY or in a hold."""
    scene = (
        hold(job, chance, 100.0, meter)
        if chance.integers(2)
        else cooling(job, chance, 100.0, meter)
    )
    return _stepped(scene, chance, -float(chance.uniform(60.0, 220.0)), 0.2)


@fault("flame licks the probe", also=(S.SILENT,), misled_s=3.0)
def flame_lick(job: Job, chance: Chance, meter: Meter) -> Made:
    """In a preheat 1-3 s of flame: 100-400 K up and back. No fault; the preheat must not end."""
    scene = heating(job, chance, 90.0, meter)
    starts_s, ends_s = span(scene, chance, 1.0, 3.0)
    return Made(scene, starts_s, ends_s, _moved(starts_s, float(chance.uniform(100.0, 400.0)), 0.5))


def _in_fahrenheit(value_c: float) -> float:
    return 1.8 * value_c + 32.0


@fault("other unit from the start", S.UNIT, within_s=8.0, misled_s=6.0)
def other_unit(job: Job, chance: Chance, meter: Meter) -> Made:
    """A meter set to °F or K on a cold bench."""
    scene, kelvin = prepare(job, chance, 30.0, meter), bool(chance.integers(2))

    def alter(t_s: float, true_c: float, shown: list[float], arc: bool) -> list[float]:
        return [shown[0] + 273.15 if kelvin else _in_fahrenheit(shown[0])]

    return Made(scene, scene.begins_s, math.inf, alter)


@fault("unit flips", S.UNIT, also=(S.JUMPED,), within_s=5.0, misled_s=1.0)
def unit_flips(job: Job, chance: Chance, meter: Meter) -> Made:
    """In a hold or in READY the meter is switched from °C to °F, or the other way round."""
    scene = (
        hold(job, chance, 90.0, meter) if chance.integers(2) else cooling(job, chance, 90.0, meter)
    )
    up = bool(chance.integers(2))

    def alter(t_s: float, true_c: float, shown: list[float], arc: bool) -> list[float]:
        return [_in_fahrenheit(shown[0]) if up else (shown[0] - 32.0) / 1.8]

    return Made(scene, *span(scene, chance, 20.0, 40.0), alter)


@fault("leads reversed", S.REVERSED, also=(S.OUTSIDE,), within_s=45.0, misled_s=12.0)
def leads_reversed(job: Job, chance: Chance, meter: Meter) -> Made:
    """Type K the wrong way round: it falls as the part is heated. Counted from the first flame."""
    scene, wire = heating(job, chance, 90.0, meter), get("K")
    cj_c = ROOM_C + float(chance.uniform(0.0, 5.0))

    def alter(t_s: float, true_c: float, shown: list[float], arc: bool) -> list[float]:
        turned = -wire.emf(shown[0], reference=cj_c)
        return [float(wire.temperature(turned, reference=cj_c))]

    return Made(scene, scene.begins_s, math.inf, alter)


@fault("wrong wire, truth typed", S.WIRE, within_s=0.5, misled_s=0.5)
def wrong_wire(job: Job, chance: Chance, meter: Meter) -> Made:
    """J, N, E or T wire on a meter set to K; in a hold he measures by hand, within 3 K."""
    scene, cj_c = hold(job, chance, 60.0, meter), ROOM_C + float(chance.uniform(0.0, 5.0))
    letter = ("J", "N", "E", "T")[int(chance.integers(4))]
    typed_s = scene.begins_s + float(chance.uniform(10.0, 20.0))
    emf = get("K").emf(scene.rows[40][1], reference=cj_c)
    true_c = float(get(letter).temperature(emf, reference=cj_c))
    typed = deed(typed_s, "reading", round(true_c + float(chance.uniform(-3.0, 3.0)), 1))
    rows = tuple((t_s, true_c, arc, acts) for t_s, _, arc, acts in scene.rows)
    shown_c = [row[1] for row in scene.rows]
    sigma, seen = scene.meter.sigma_dc, iter(shown_c)

    def alter(t_s: float, _: float, shown: list[float], arc: bool) -> list[float]:
        return [next(seen) + sigma * float(chance.standard_normal())]

    scene = Scene(scene.start, scene.meter, rows)
    # Wrong all along, but only what he measures can tell.
    return Made(scene, scene.begins_s, math.inf, alter, acts=(typed,), known_s=typed_s)


@fault("channels apart", S.APART, within_s=25.0, misled_s=0.5)
def channels_apart(job: Job, chance: Chance, meter: Meter) -> Made:
    """In READY or in a hold the second channel goes 120-220 K off, at 5-10 K/s."""
    make = hold if chance.integers(2) else cooling
    scene = make(job, chance, 100.0, meter._replace(names=("t1", "t2")))
    starts_s, ends_s = span(scene, chance, 40.0, 50.0)
    off_dc = float(chance.choice((-1.0, 1.0)) * chance.uniform(120.0, 220.0))
    rate = float(chance.uniform(5.0, 10.0))

    def alter(t_s: float, true_c: float, shown: list[float], arc: bool) -> list[float]:
        gone = min(rate * (t_s - starts_s), abs(off_dc))
        return [shown[0], shown[1] + math.copysign(gone, off_dc)]

    return Made(scene, starts_s, ends_s, alter)
