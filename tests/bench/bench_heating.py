"""Figures of the preheat's forecast: error, coverage, spread and cost, as tables.

``python tests/bench/bench_heating.py [SEEDS]`` (default 30; under a minute a source).
Truths are simulated (`tests/heat/truth_heatup.py`), seeds from 300 on, not used for tuning:
this is what simplification, noise and wrong input cost, not accuracy in a workshop.
"""

from __future__ import annotations

import math
import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "heat"))

from truth_heat_sources import SOURCES, TARGET_C
from truth_heatup import HeatUp, heat_up

from pacer.heat.bins import Bins
from pacer.heat.preheat.target import time_to_target

FIRST_SEED = 300
MOMENTS_C = (80.0, 140.0, 200.0, 240.0)
Row = tuple[float, float, bool, float, float]
"(error, straight line's error, held, width, ms of processor time); relative to what was left"


def line_s(bins: Bins) -> float:
    """Return what a straight line through the last five bins says, s."""
    if len(bins) < 2:
        return math.nan
    times, temps = np.array([b[:2] for b in bins[-5:]]).T
    slope, _ = np.polyfit(times, temps, 1)
    return float((TARGET_C - temps[-1]) / slope) if slope > 0.0 else math.nan


def row(story: HeatUp, seed: int, now_s: float, typed: bool, blind: bool = False) -> Row | None:
    """Return one forecast against what came; None with less than 20 s left, or never."""
    left_s = story.reached_s(TARGET_C) - now_s
    if not 20.0 < left_s < math.inf:
        return None
    bins = (story.typed_until if typed else story.bins_until)(now_s, seed)
    used = () if blind else bins
    began = time.process_time()
    eta = time_to_target(story.prior(), used, TARGET_C, now_s, 10.0 if typed else 1.0)
    took_ms = 1000.0 * (time.process_time() - began)
    if eta is None:
        return None
    high_s = math.inf if eta.high_s is None else eta.high_s
    held = eta.low_s <= left_s <= high_s
    width = (high_s - eta.low_s) / left_s
    return eta.value_s / left_s - 1.0, line_s(bins) / left_s - 1.0, held, width, took_ms


def line_of(name: str, rows: list[Row | None]) -> str:
    """Return one line of the table."""
    error, straight, held, width, took_ms = np.array([r for r in rows if r is not None]).T
    some = straight[np.isfinite(straight)]
    line = f"{100.0 * np.median(some):+4.0f} %" if len(some) else "   -  "
    return (
        f"  {name:18}  n {len(error):3d}  median |error| {100.0 * np.median(np.abs(error)):3.0f} %"
        f"  median {100.0 * np.median(error):+4.0f} %  inside {np.mean(held):.2f}"
        f"  width {100.0 * np.median(width):4.0f} %  straight line {line}"
        f"  {np.median(took_ms):.1f} ms"
    )


def main() -> None:
    """Print all tables."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 30
    seeds = range(FIRST_SEED, FIRST_SEED + count)
    for source in SOURCES:
        stories = [(seed, heat_up(source, seed)) for seed in seeds]
        there = [story for _, story in stories if math.isfinite(story.reached_s(TARGET_C))]
        minutes = np.median([story.reached_s(TARGET_C) for story in there]) / 60.0
        spread = np.quantile([story.spread_dc(TARGET_C) for story in there], [0.1, 0.5, 0.9])
        print(f"{source}: {minutes:.0f} min to {TARGET_C:.0f} °C, hottest less coldest then")
        print(f"  {spread[1]:.0f} °C (80 %: {spread[0]:.0f}-{spread[2]:.0f})")
        print(line_of("plan only", [row(s, seed, 0.0, False, blind=True) for seed, s in stories]))
        for typed in (False, True):
            for shown_c in MOMENTS_C:
                rows = [row(s, seed, s.moment_s(shown_c), typed) for seed, s in stories]
                print(line_of(f"{shown_c:.0f} °C{', typed' if typed else ''}", rows))
    print("gas grill off at 7 min, on again at 10, or turned down to 0.7 at 7 min")
    for turns in (((420.0, 0.0), (600.0, 1.0)), ((420.0, 0.7),)):
        for now_s in (660.0, 720.0, 780.0, 900.0):
            rows = [row(heat_up("gas grill", s, turns=turns), s, now_s, False) for s in seeds]
            print(line_of(f"{turns[0][1]:.1f}, {now_s / 60.0:.0f} min", rows))
    print("reheat from 205 °C: torch, and a grill left on")
    for now_s in (10.0, 30.0, 60.0):
        rows = [row(heat_up("torch", s, from_c=205.0), s, now_s, False) for s in seeds]
        print(line_of(f"torch, {now_s:.0f} s", rows))
        rows = [row(heat_up("gas grill", s, 205.0, 1500.0), s, now_s, False) for s in seeds]
        print(line_of(f"gas grill, {now_s:.0f} s", rows))


if __name__ == "__main__":
    main()
