"""Feeds a story of the true plate to the filter between beads, as `session/learning.py` does.

By instrument: the median of nine readings at 4 Hz, one a second for half a minute after an arc and
one in some seconds later, none within 2.5 s of the arc. By hand: a reading every 2-5 min, and
one as a reheat ends (the session ends it on one), up to 10 °C wrong, never while the arc burns. At set times after arc-off the filter is
asked how long the sensor takes to a limit, and the truth's own branch answers too.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from truth_story import Pause, Story, story

from pacer.heat.pauses import ahead as pause
from pacer.heat.pauses import belief, between
from pacer.heat.pauses.belief import Bare, Estimate
from pacer.session.cooling import TYPED_SD_DC
from pacer.session.learning import QUIET_AFTER_S, QUIET_STEP_S, SETTLED_S, STEP_S, _bare

ASKED_S = (5.0, 15.0, 30.0, 60.0)
NEAR_M = 0.035
"Beads nearer to the sensor than this are told apart from the others in tables."
_SOON_S, _FAR_S = 10.0, 2000.0
"A limit less than this ahead has no relative error worth a name; the truth ends before 40 min."


@dataclass(frozen=True)
class Answer:
    """One forecast beside what came; s."""

    seed: int
    bead: int
    "Counted from 0."
    after_s: float
    "Asked so long after arc-off."
    apart_m: float
    true_s: float
    value_s: float
    "nan where the filter says never."
    low_s: float
    high_s: float
    "inf where no bound was given."

    @property
    def error(self) -> float:
        """Relative, positive where too late."""
        return self.value_s / self.true_s - 1.0

    @property
    def held(self) -> bool:
        """True where the range holds the truth; whole seconds, as it is told."""
        return self.low_s <= self.true_s + 0.5 and self.true_s - 0.5 <= self.high_s


@lru_cache(maxsize=40)
def story_of(seed: int, beads: int = 8) -> Story:
    """Keep a story for the tests that only look at it."""
    return story(seed, beads)


def part_of(tale: Story) -> Bare:
    """Return the part as the session makes it of what the user said."""
    told = tale.told
    return _bare(
        told.mass_kg,
        told.size_m,
        told.wall_m,
        told.bead_m * told.places,
        told.distance_m,
        told.ambient_c,
        "141",
        "gas grill" if tale.world.flame == "grill" else "torch",
    )


def _acted(part: Bare, tale: Story, estimate: Estimate, at_s: float, what: str) -> Estimate:
    told, at_s = tale.told, max(at_s, estimate.t_s)
    if what == "arc on":
        place = tale.places[sum(1 for t, w in tale.acts if w == "arc on" and t < at_s - 0.1)]
        along_m = (place + 0.5 - 0.5 * told.places) * told.bead_m
        return between.struck(part, estimate, at_s, along_m, told.voltage_v * told.current_a)
    if what == "arc off":
        return between.put_out(part, estimate, at_s)
    return between.flamed(part, estimate, at_s, what == "flame on")


def _typed(
    part: Bare, estimate: Estimate, t_s: float, temp_c: float, chance: np.random.Generator
) -> Estimate:
    typed_c = temp_c + float(chance.uniform(-10.0, 10.0))
    return between.took(part, estimate, t_s, typed_c, TYPED_SD_DC)


def followed(tale: Story, seed: int, by_hand: bool = False) -> Iterator[tuple[float, Estimate]]:
    """Yield (session time s, estimate) after every reading of the story."""
    part, acts, window = part_of(tale), list(tale.acts), [tale.readings[0][1]]
    chance = np.random.default_rng(seed + 7000)
    sd_dc = TYPED_SD_DC if by_hand else 3.0
    first_c = tale.readings[0][1] + (chance.uniform(-10.0, 10.0) if by_hand else 0.0)
    estimate = belief.begin(part, tale.readings[0][0], first_c, sd_dc, heated=False)
    read_s, off_s, due_s = -math.inf, -math.inf, chance.uniform(120.0, 300.0)
    for t_s, raw_c in tale.readings:
        window = [*window, raw_c][-9:]
        temp_c = sorted(window)[len(window) // 2]
        while acts and acts[0][0] <= t_s:
            at_s, what = acts.pop(0)
            if by_hand and what == "flame off":
                estimate = _typed(part, estimate, t_s, temp_c, chance)
                due_s = t_s + float(chance.uniform(120.0, 300.0))
            estimate = _acted(part, tale, estimate, at_s, what)
            off_s = at_s if what == "arc off" else off_s
        quiet = t_s - off_s >= SETTLED_S and not estimate.burning
        if by_hand and quiet and t_s >= due_s:
            estimate = _typed(part, estimate, t_s, temp_c, chance)
            due_s = t_s + float(chance.uniform(120.0, 300.0))
        step_s = STEP_S if t_s - off_s < QUIET_AFTER_S else QUIET_STEP_S
        if not by_hand and quiet and t_s - read_s >= step_s:
            estimate, read_s = between.took(part, estimate, t_s, temp_c), t_s
        yield t_s, estimate


@lru_cache(maxsize=200)
def answers(seed: int, limit_c: float, by_hand: bool = False, beads: int = 8) -> tuple[Answer, ...]:
    """Return every forecast of one story of when the sensor sinks to `limit_c`."""
    tale = story_of(seed, beads)
    part = part_of(tale)
    asked = sorted((p.off_s + after_s, after_s, p) for p in tale.pauses for after_s in ASKED_S)
    found = []
    for t_s, estimate in followed(tale, seed, by_hand):
        while asked and asked[0][0] <= t_s:
            at_s, after_s, gap = asked.pop(0)
            if at_s <= gap.next_s and _SOON_S < gap.after_s(limit_c, at_s) < _FAR_S:
                found.append(_answer(seed, part, estimate, at_s, after_s, gap, limit_c))
    return tuple(found)


def _answer(
    seed: int,
    part: Bare,
    estimate: Estimate,
    at_s: float,
    after_s: float,
    gap: Pause,
    limit_c: float,
) -> Answer:
    true_s = gap.after_s(limit_c, at_s)
    told = pause.time_to(pause.paths(part, estimate, at_s), limit_c)
    value_s, low_s, high_s = math.nan, math.nan, math.nan
    if told is not None:
        value_s, low_s = told.value, told.low
        high_s = math.inf if told.high is None else told.high
    return Answer(seed, gap.bead, after_s, gap.apart_m, true_s, value_s, low_s, high_s)


def row(found: list[Answer]) -> tuple[int, float, float, float, float]:
    """Return how many, median |error|, median error, share held and median width over truth."""
    if not found:
        return 0, math.nan, math.nan, math.nan, math.nan
    error = np.array([a.error for a in found])
    width = np.array([(a.high_s - a.low_s) / a.true_s for a in found])
    return (
        len(found),
        float(np.median(np.abs(error))),
        float(np.median(error)),
        float(np.mean([a.held for a in found])),
        float(np.median(width)),
    )
