"""Figures of the cool-down forecast: error, coverage and cost, as a table.

``python tests/bench/bench_heat.py [SEEDS]`` (default 20; a few seconds a truth and cover).
Truths are simulated (`tests/heat/truth2d.py`, `truth_buried.py`, `truth_air.py`,
`truth_furnace.py`), seeds from 300 on, not used for tuning: this is what simplification,
noise and wrong input cost, not accuracy in a workshop.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "heat"))

import truth2d
from scoring import FIRST_SEED, score

from pacer.heat.bins import Bins, add
from pacer.heat.cooldown.eta import Eta, forecast_eta
from pacer.heat.cooldown.fitted import fit
from pacer.heat.cooldown.prior import Prior, prior
from pacer.heat.cooldown.watching import watch
from pacer.heat.part import CoverName

UNTIL_C = 45.0
MOMENTS_S = (0.0, 600.0, 1800.0, 3600.0, 7200.0)
BURIED: tuple[CoverName, ...] = ("dry sand", "vermiculite", "ceramic blanket")
ROWS: tuple[tuple[str, CoverName], ...] = (
    *(("2d", name) for name in BURIED),
    *(("buried", name) for name in BURIED),
    ("air", "still air"),
    ("furnace", "furnace"),
)


def table(kind: str, cover: CoverName, count: int, typed: bool = False) -> None:
    """Print a line a moment: errors and coverage."""
    print(f"{cover}, truth {kind}, {'typed readings' if typed else 'instrument'}")
    for now_s in MOMENTS_S:
        found = score(kind, cover, range(FIRST_SEED, FIRST_SEED + count), now_s, UNTIL_C, typed)
        if not found.count:
            continue
        print(
            f"  {now_s / 60:5.0f} min  n {found.count:3d}"
            f"  median |error| {100 * found.error:5.1f} %  median {100 * found.bias:+5.1f} %"
            f"  inside {found.inside:.2f}  width {100 * found.width:4.0f} %",
            flush=True,
        )


def median_ms(work: Callable[[], object]) -> float:
    """Return the median processor time of `work`, ms."""
    work()
    times = []
    for _ in range(25):
        began = time.process_time()
        work()
        times.append(1000.0 * (time.process_time() - began))
    return float(np.median(times))


def refit_and_forecast(p: Prior, seen: Bins, near: tuple[float, ...]) -> Eta:
    """Do what a session does at a forecast's time."""
    now_s, now_c, _ = seen[-1]
    return forecast_eta(fit(p, seen, near=near), now_c - 3.0, now_s)


def cost() -> None:
    """Print processor times of fits and forecasts with 1, 4 and 12 hours of bins."""
    truth = truth2d.truth(FIRST_SEED, "vermiculite")
    chance = np.random.default_rng(1)
    bins: Bins = ()
    for t_s in np.arange(0.0, 12 * 3600.0, 20.0):
        temp_c = float(np.interp(t_s, truth.times_s, truth.part_c)) + chance.normal(0.0, 1.0)
        bins = add(bins, float(t_s), temp_c)
    p = prior(truth.part, truth.cover, truth.ambient_c, bins[0][1])
    for hours in (1, 4, 12):
        seen = tuple(b for b in bins if b[0] <= 3600.0 * hours)
        near = fit(p, seen[:-1]).z
        warm = median_ms(partial(fit, p, seen, near=near))
        both = median_ms(partial(refit_and_forecast, p, seen, near))
        cold = median_ms(partial(fit, p, seen))
        watching = median_ms(partial(watch, fit(p, seen), seen))
        print(
            f"{hours:2d} h, {len(seen)} bins: refit cold {cold:.1f} ms, warm {warm:.1f} ms,"
            f" forecast {both - warm:.1f} ms, watching {watching:.1f} ms"
        )


def main() -> None:
    """Print all tables."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    cost()
    for kind, cover in ROWS:
        table(kind, cover, count)
    table("2d", "dry sand", count, typed=True)


if __name__ == "__main__":
    main()
