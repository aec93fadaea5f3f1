"""The field check: what melting ice and boiling water say about a sensor. Pure.

Samples become a steady value, or a word why there is none yet; two steady values become a
correction, or what else is wrong. Nothing here waits, asks or stores (`cli/sensors/`).

Two points near each other are little: the correction is a straight line through both, and what
it says at 260 °C is worth as much as `uncertainty_dc` says, if the sensor's error is a straight
line at all.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from statistics import fmean, median
from typing import NamedTuple

from pacer.heat.thermocouple import looks_like, reversed_c
from pacer.heat.water import ICE_C
from pacer.session.celsius import MARKS
from pacer.session.events import Channel
from pacer.units import Shown

WINDOW_S = 20.0
FEWEST = 10
"Readings that a steady value needs, over `WINDOW_S` of the source's own time. JUDG."

MOST_SPREAD_DC = 1.5
"""Middle four fifths of the readings lie within: a display of whole degrees may go between two,
boiling water bumps a little. JUDG."""

MOST_DRIFT_DC = 0.4
"""The window's second half is so near to its first, or within half of the spread where that is
more. At 0.04 K/s a probe that follows within ten seconds has 0.4 K to go. JUDG."""

ICE_WITHIN_DC = 6.0
BOIL_WITHIN_DC = 8.0
"""Further off is no sensor to correct: about twice the class 2 tolerance of type K, 2.5 K
(IEC 60584, a secondary page seen), meter and bath added. JUDG."""

CLASS_2_DC = 2.5
"Within this a type K sensor is as its class promises (same source)."

ICE_OFF_DC = 0.2
"How far a stirred slush of tap-water ice may be from 0 °C. JUDG."

BAROMETER_OFF_DC = 0.3
"Boiling point by a barometer good to 5 hPa (0.14 K), and what is in the water. JUDG."

WEATHER_PA = 2500.0
"""What the weather adds to or takes from the altitude's pressure: the means over the earth go
from 982 to 1033 hPa (a public page, seen); storms go further."""

UNIT_WITHIN_DC = 4.0
"So near to what another unit would make of the same numbers is called that unit. JUDG."

ROOM_C = 23.0
"Taken for the cold junction where nothing tells it, for the words about wires only."

REVERSED_WITHIN_DC = 15.0
"With swapped leads the room's own temperature counts twice. JUDG."


class Sample(NamedTuple):
    """One reading of the channel that is checked."""

    t_s: float
    "The source's own time."
    temp_c: float
    "Uncorrected."
    raw: float
    "As sent."


class Steady(NamedTuple):
    """A value that stood still for a window."""

    value_c: float
    """Mean of the readings, the outer fifth pulled in to the others: a display of whole degrees that
    goes between two says how often it does."""
    spread_dc: float
    "Between the tenth and the ninetieth part of a hundred."
    raw: float
    "Median of the values as sent."
    readings: int
    seconds: float


def window(samples: Sequence[Sample]) -> list[Sample]:
    """Return the last samples that together last `WINDOW_S`; fewer where there are not as many."""
    if not samples:
        return []
    since_s = samples[-1].t_s - WINDOW_S - 1e-9
    first = next(at for at, sample in enumerate(samples) if sample.t_s >= since_s)
    return list(samples[first:])


def steady(samples: Sequence[Sample]) -> Steady | str:
    """Return the steady value of the last window, or why there is none.

    Too short, too few, spread or drifting; single spikes do not count.
    """
    kept = window(samples)
    seconds = kept[-1].t_s - kept[0].t_s if kept else 0.0
    # One sample seldom lies exactly on the window's edge: the next gap must reach it.
    gap_s = max((b.t_s - a.t_s for a, b in pairwise(kept)), default=0.0)
    if len(kept) < FEWEST or seconds + gap_s < WINDOW_S:
        return f"{len(kept)} readings, {seconds:.0f} of {WINDOW_S:.0f} s"
    ordered = sorted(sample.temp_c for sample in kept)
    edge = len(ordered) // 10
    low_c, high_c = ordered[edge], ordered[-1 - edge]
    spread_dc = high_c - low_c
    inside_c = [min(max(sample.temp_c, low_c), high_c) for sample in kept]
    half = len(inside_c) // 2
    drift_dc = fmean(inside_c[half:]) - fmean(inside_c[:half])
    if abs(drift_dc) > max(MOST_DRIFT_DC, spread_dc / 2):
        return f"still {'rising' if drift_dc > 0 else 'falling'}"
    if spread_dc > MOST_SPREAD_DC:
        return f"spread over {spread_dc:.1f} K"
    return Steady(
        value_c=fmean(inside_c),
        spread_dc=spread_dc,
        raw=median(sample.raw for sample in kept),
        readings=len(kept),
        seconds=seconds,
    )


def ice_doubt(channel: Channel, found: Steady, unit: str, shown: Shown) -> str:
    """Return what is wrong with a value read in melting ice, in one line; empty: nothing.

    `unit` is the one the lines mark, or the channel's.
    """
    if abs(found.value_c - ICE_C) <= ICE_WITHIN_DC:
        return ""
    said = f"{shown.temp_c(found.value_c, 1)} in melting ice"
    if other := _other_unit(channel, found, unit, ICE_C):
        return f"{said}: {other}"
    if found.value_c > ICE_C:
        return (
            f"{said}: the tip is not among the ice, the ice has melted, or the tip touches the "
            "vessel; if none of these, the meter or its wire type is wrong"
        )
    return (
        f"{said}: colder than ice can be: the leads may be swapped, or there is salt in it; "
        "if neither, the meter or its wire type is wrong"
    )


def boil_doubt(channel: Channel, found: Steady, unit: str, boils_at_c: float, shown: Shown) -> str:
    """Return what is wrong with a value read in boiling water, in one line; empty: nothing."""
    if abs(found.value_c - boils_at_c) <= BOIL_WITHIN_DC:
        return ""
    said = f"{shown.temp_c(found.value_c, 1)} in water that boils at {shown.temp_c(boils_at_c, 1)}"
    if other := _other_unit(channel, found, unit, boils_at_c):
        return f"{said}: {other}"
    if abs(found.value_c - ICE_C) <= ICE_WITHIN_DC:
        return f"{said}: that is what the ice read: is the tip in the boiling water?"
    wire = channel.thermocouple
    letter = wire.letter if wire is not None else "K"
    cj_c = wire.cj_c if wire is not None and wire.cj_c is not None else ROOM_C
    told = "" if wire is not None else "if the meter is set to K, "
    swapped_c = reversed_c(letter, found.value_c, cj_c)
    if swapped_c is not None and abs(swapped_c - boils_at_c) <= REVERSED_WITHIN_DC:
        return f"{said}: it falls where it should rise: the leads look swapped"
    like = looks_like(found.value_c, boils_at_c, cj_c, letter)
    wires = f"; {told}the wire may be type {' or '.join(like)}" if like else ""
    if found.value_c < boils_at_c:
        return (
            f"{said}: the tip is only in the steam or not deep enough, or the water does not "
            f"boil hard yet; if none of these, the meter or its wire type is wrong{wires}"
        )
    return (
        f"{said}: the tip touches the hot bottom, there is salt in the water, or the meter or "
        f"its wire type is wrong{wires}"
    )


def _other_unit(channel: Channel, found: Steady, unit: str, true_c: float) -> str:
    """Return what to do where the same numbers are right in another unit."""
    if channel.thermocouple is not None:
        return ""
    for other, (scale, offset_c) in MARKS.items():
        if other != unit and abs(scale * found.raw + offset_c - true_c) <= UNIT_WITHIN_DC:
            return (
                f"the meter sends {found.raw:g}, which is right in {other}: "
                f"put unit={other} into the sensor's URL and check again"
            )
    return ""


class Line(NamedTuple):
    """A correction: °C = scale * °C + offset_dc."""

    scale: float
    offset_dc: float

    def at(self, temp_c: float) -> float:
        """Return what a reading becomes."""
        return self.scale * temp_c + self.offset_dc


def two_points(ice_c: float, boil_c: float, boils_at_c: float) -> Line:
    """Return the line that makes 0 °C of `ice_c` and `boils_at_c` of `boil_c`.

    Raises ValueError where the two are not at least half as far apart as ice and steam are.
    """
    if boil_c - ice_c < (boils_at_c - ICE_C) / 2:
        raise ValueError(f"found {ice_c:g} and {boil_c:g}, expected some {boils_at_c:g} K between")
    scale = (boils_at_c - ICE_C) / (boil_c - ice_c)
    return Line(scale, ICE_C - scale * ice_c)


def uncertainty_dc(at_c: float, ice_dc: float, boil_dc: float, boils_at_c: float) -> float:
    """Return how far the corrected reading at `at_c` may be off, K, from both points' own.

    A straight line through two points, each off by its own amount, independently:
    u(T)^2 = (1 - x)^2 u_ice^2 + x^2 u_boil^2 with x = T / T_boil. It grows outside the two.
    That the sensor's error may be no straight line is not in it.

    >>> round(uncertainty_dc(260.0, 0.2, 0.3, 100.0), 2)
    0.84
    """
    share = (at_c - ICE_C) / (boils_at_c - ICE_C)
    return float((((1.0 - share) * ice_dc) ** 2 + (share * boil_dc) ** 2) ** 0.5)
