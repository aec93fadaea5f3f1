"""What is believed of a heat-up before its first reading.

A `HeatingPrior` is a word and plain numbers: it can be written into a recording's head, so
that a replay forecasts as the session did. Standard library only.

Every number of a source below is an estimate: no published figures for how a grill or a
torch heats a casting were found. They were set on simulated heat-ups
(`tests/heat/truth_heatup.py`, seeds below 100).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pacer.heat.lumped import film_w_m2k, heat_capacity_j_kgk

SourceName = Literal["gas grill", "oven", "torch", "hot plate"]

VERSION = 1
"Rises whenever the model or a number below changes, so that old forecasts can be told apart."

PART_C, AIR_C = (-200.0, 2000.0), (-100.0, 1000.0)
"Bounds that any temperature from outside is held to."


@dataclass(frozen=True)
class Kind:
    """What is believed of a kind of source; an sd without a unit is of a logarithm."""

    strength: float
    "Early heat over the plan's power, which is a mean over the whole heating."
    approach: float
    "Where it would stop, over what the plan's power and the bare loss give."
    approach_sd: float
    warmup_s: float
    warmup_sd: float
    bend: float
    floor_dc: float
    "What the curve misses of a reading, beyond the reading's own error."
    wobble_dc: float
    "How far readings wobble about the curve while nobody touches the source."
    near_sd: float
    "What the model gets wrong of the time to go, beyond its parameters, near the target;"
    far_sd: float = 0.0
    "what comes on top, times the share of the way still to go."
    late: float = 0.0
    "How much later than the curve says, as a logarithm: heat goes on spreading from the spot."
    swing_dc: float = 0.0
    "How far readings swing about their mean: the target is first met by a peak."
    rate_sd: float = 0.40


KINDS: dict[SourceName, Kind] = {
    "gas grill": Kind(1.0, 1.2, 0.30, 80.0, 0.9, 0.2, 2.0, 0.75, near_sd=0.10, far_sd=0.05),
    # It may be cold or warmed up, hence the wide sd; its control swings.
    "oven": Kind(0.9, 1.0, 0.14, 80.0, 1.2, 0.2, 2.0, 2.0, near_sd=0.10, far_sd=0.05),
    # The sensor, near the joint, rises before the rest of the part, and with each turn.
    "torch": Kind(
        0.85, 1.0, 0.30, 5.0, 0.9, 0.0, 8.0, 6.5, 0.28, late=0.05, swing_dc=3.0, rate_sd=0.45
    ),
    # Hot from the start, or of limited power until its thermostat cuts in: anything between.
    "hot plate": Kind(1.2, 1.15, 0.30, 200.0, 1.1, 0.3, 2.0, 1.0, near_sd=0.25),
}
_OVEN_ABOVE_DC = 55.0
"An oven is set this far above the target (common practice, no source)."
_LEAST_SPARE = 1.5
"Nobody chooses a source that barely gets there: least approach over the rise wanted."
_WARM = 0.2
"Warming up that is left of a source that is hot already."


@dataclass(frozen=True)
class HeatingPrior:
    """A source and a part before the first reading: a word and numbers, for the head."""

    source: SourceName
    rate_c_s: float
    "Power into the part over its heat capacity when cold."
    approach_dc: float
    "How far above the air the source would bring the part in the end."
    warmup_s: float
    "How long the source itself takes to be hot (time constant)."
    ambient_c: float
    start_c: float
    "Of the part when heating began."
    version: int = VERSION

    @property
    def label(self) -> str:
        """Model and version in one word, as recordings name them."""
        return f"heat-up/{self.version}"


def heating_prior(
    source: SourceName,
    power_w: float,
    mass_kg: float,
    area_m2: float,
    ambient_c: float,
    start_c: float,
    target_c: float,
    warm: bool = False,
) -> HeatingPrior:
    """Return what is believed before the first reading.

    `power_w` is the plan's heat into the part, `area_m2` both faces of it. `warm`: the
    source is hot already, as for a reheat on a grill left on.
    An oven is believed to be set a little above `target_c`; the others stop where bare
    faces lose what they put in. Numbers outside the physical range are clamped to it.
    """
    kind = KINDS[source]
    power_w, mass_kg = held(power_w, 1.0, 1e7), held(mass_kg, 1e-3, 1e6)
    area_m2, ambient_c = held(area_m2, 1e-5, 1e5), held(ambient_c, *AIR_C)
    rise_dc = max(held(target_c, *PART_C) - ambient_c, 10.0)
    stop_dc = power_w / (area_m2 * film_w_m2k(ambient_c + rise_dc, ambient_c))
    approach_dc = max(kind.approach * stop_dc, _LEAST_SPARE * rise_dc)
    return HeatingPrior(
        source=source,
        rate_c_s=kind.strength * power_w / (mass_kg * heat_capacity_j_kgk(ambient_c)),
        approach_dc=rise_dc + _OVEN_ABOVE_DC if source == "oven" else approach_dc,
        warmup_s=kind.warmup_s * (_WARM if warm else 1.0),
        ambient_c=ambient_c,
        start_c=held(start_c, *PART_C),
    )


def held(value: float, low: float, high: float) -> float:
    """Return `value` within its bounds; what is no number becomes the lower one."""
    return min(max(low, value), high)
