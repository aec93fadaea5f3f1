"""What is true of this practice part: drawn from the seed, unknown to every forecast.

Medians and spreads are those of the shared notes on heat, section 7 (each with its source
there), cut off at two standard deviations: wrong, but plausible. What has no row there
says so. Streams of chance are separate (part, probe, welder), so that one more draw in
one doesn't change the others.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass

from pacer.job.job import Job

RHO_KG_M3 = 7200.0
"Grey iron, 7150-7500 (data sheet pages, SEEN-S)."
STEFAN_BOLTZMANN_W_M2K4 = 5.670374419e-8
ZERO_K = 273.15


def stream(seed: int, name: str) -> random.Random:
    """Return the stream of chance of one subject."""
    return random.Random(f"{seed}:{name}")


def normal(chance: random.Random, mean: float, sd: float) -> float:
    """Return a normal draw cut off at two standard deviations."""
    return mean + sd * max(-2.0, min(2.0, chance.gauss(0.0, 1.0)))


def spread(chance: random.Random, median: float, sd: float) -> float:
    """Return a log-normal draw (`sd` 0.3 means 30 %) cut off at two standard deviations."""
    return median * math.exp(normal(chance, 0.0, sd))


@dataclass(frozen=True)
class Iron:
    """Grey iron with properties that change with temperature."""

    k_w_mk: float
    "At 0 °C."
    k_fall_w_mk2: float = 0.02
    "Falls by so much a degree (Guesser et al.: falls up to 400 °C, SEEN-S; slope from memory)."
    c_j_kgk: float = 450.0
    "At 0 °C."
    c_rise_j_kgk2: float = 0.4


@dataclass(frozen=True)
class Medium:
    """A covering medium."""

    k_w_mk: float
    "At 25 °C."
    k_rise_1_k: float
    "Relative rise a degree."
    rho_c_j_m3k: float
    "At 0 °C."
    c_rise_1_k: float
    contact_w_m2k: float
    water_j_m3: float
    "Heat that its moisture takes to boil away."
    start_c: float


@dataclass(frozen=True)
class Truth:
    """Everything drawn for one practice part."""

    mass_kg: float
    iron: Iron
    ambient_c: float
    emissivity: float
    convection_w_m2k: float
    "At 100 K, mean of all faces; with the draught of this shop."
    arc_share: float
    "Of the arc's power that goes into the part."
    heater: float
    "Strength of the flame or oven, 1 as meant."
    uneven: tuple[float, float, float]
    "Shares by which the heat falls off to the edges, along and across."
    medium: Medium | None
    outer_w_m2k: float
    floor_w_m2k: float
    volume: float
    "Medium there is over what the job says."


# k at 25 °C and sd, its rise; rho c and sd, its rise; contact and sd; water fraction at most.
_MEDIA = {
    "dry sand": (0.28, 0.28, 0.0008, 1550.0 * 800.0, 0.12, 0.0009, 150.0, 0.6, 0.004, 1550.0),
    "vermiculite": (0.068, 0.30, 0.003, 115.0 * 1000.0, 0.25, 0.0005, 60.0, 0.6, 0.01, 115.0),
    "ceramic blanket": (0.050, 0.30, 0.003, 100.0 * 900.0, 0.30, 0.0005, 40.0, 0.7, 0.0, 100.0),
}

_BOIL_J_KG = 2.26e6
"Latent heat of water at 100 °C (from memory)."


def draw(job: Job, seed: int) -> Truth:
    """Return what is true of this job's part under this seed."""
    chance = stream(seed, "part")
    ambient_c = normal(chance, job.cooldown.ambient_c, 1.5)
    efficiency = 0.68 if job.filler.process == "141" else 0.80
    return Truth(
        mass_kg=job.part.mass_kg * normal(chance, 1.0, 0.05),
        iron=Iron(k_w_mk=chance.uniform(46.0, 52.0), c_j_kgk=normal(chance, 450.0, 20.0)),
        ambient_c=ambient_c,
        emissivity=chance.uniform(0.65, 0.92),
        convection_w_m2k=spread(chance, 6.0, 0.15),
        arc_share=min(0.95, spread(chance, efficiency, 0.10)),
        heater=chance.uniform(0.92, 1.12),
        uneven=(chance.uniform(0.1, 0.3), chance.uniform(-0.12, 0.12), chance.uniform(-0.12, 0.12)),
        medium=_medium(job, chance, ambient_c),
        outer_w_m2k=spread(chance, 8.0, 0.45),
        floor_w_m2k=spread(chance, 4.0, 0.45),
        volume=spread(chance, 1.0, 0.15),
    )


def _medium(job: Job, chance: random.Random, ambient_c: float) -> Medium | None:
    row = _MEDIA.get(job.cooldown.cover)
    if row is None:
        return None
    k, k_sd, k_rise, rho_c, rho_c_sd, c_rise, contact, contact_sd, water, rho = row
    return Medium(
        k_w_mk=spread(chance, k, k_sd),
        k_rise_1_k=k_rise * chance.uniform(0.5, 1.5),
        rho_c_j_m3k=spread(chance, rho_c, rho_c_sd),
        c_rise_1_k=c_rise,
        contact_w_m2k=spread(chance, contact, contact_sd),
        water_j_m3=water * chance.random() * rho * _BOIL_J_KG,
        # Sand used today is warm; colder than the shop it hardly is.
        start_c=ambient_c + abs(normal(chance, 0.0, 3.0)),
    )
