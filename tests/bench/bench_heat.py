"""Figures of the cool-down forecast: error, coverage and cost, as a table.

``python tests/bench/bench_heat.py [SEEDS]`` (default 20; a few seconds a cover).
Truths are simulated (`tests/heat/truth2d.py`), seeds from 300 on, not used for tuning: this
is what simplification, noise and wrong input cost, not accuracy in a workshop.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "heat"))

import truth2d

from pacer.heat.bins import Bins, add
from pacer.heat.cooldown import fit, forecast_eta, prior
from pacer.heat.part import CoverName

UNTIL_C = 45.0
FIRST_SEED = 300
MOMENTS_S = (0.0, 600.0, 1800.0, 3600.0, 7200.0)


def row(truths: list[truth2d.Truth], now_s: float, typed: bool) -> str:
    """Return one line: errors and coverage at `now_s`."""
    errors, inside, widths = [], [], []
    for seed, truth in enumerate(truths, FIRST_SEED):
        true_s = truth.reached_s(UNTIL_C)
        if not 1.15 * now_s < true_s < np.inf:
            continue
        bins = truth.typed_until(now_s, seed) if typed else truth.bins_until(now_s, seed)
        p = prior(truth.part, truth.cover, truth.ambient_c, bins[0][1])
        used = bins if now_s else ()
        eta = forecast_eta(fit(p, used, 10.0 if typed else 1.0), UNTIL_C, now_s)
        high_s = np.inf if eta.high_s is None else eta.high_s
        errors.append(100.0 * (eta.eta_s / true_s - 1.0))
        inside.append(eta.low_s <= true_s <= high_s)
        widths.append(100.0 * (high_s - eta.low_s) / true_s)
    return (
        f"{now_s / 60:5.0f} min  n {len(errors):3d}  median |error| {np.median(np.abs(errors)):5.1f} %"
        f"  median {np.median(errors):+5.1f} %  inside {np.mean(inside):.2f}"
        f"  width {np.median(widths):4.0f} %"
    )


def cost() -> str:
    """Return the cost of a fit and a forecast with twelve hours of bins, ms of processor time."""
    truth = truth2d.truth(FIRST_SEED, "vermiculite")
    bins: Bins = ()
    for t_s in np.arange(0.0, 12 * 3600.0, 20.0):
        bins = add(bins, float(t_s), float(np.interp(t_s, truth.times_s, truth.part_c)))
    p = prior(truth.part, truth.cover, truth.ambient_c, bins[0][1])
    fits, etas = [], []
    for _ in range(15):
        began = time.process_time()
        found = fit(p, bins)
        fitted = time.process_time()
        forecast_eta(found, UNTIL_C, bins[-1][0])
        fits.append(1000.0 * (fitted - began))
        etas.append(1000.0 * (time.process_time() - fitted))
    return f"{len(bins)} bins: fit {np.median(fits):.1f} ms, forecast {np.median(etas):.1f} ms"


def main() -> None:
    """Print all tables."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    covers: tuple[CoverName, ...] = ("dry sand", "vermiculite", "ceramic blanket")
    for name in covers:
        truths = [truth2d.truth(s, name) for s in range(FIRST_SEED, FIRST_SEED + count)]
        for typed in (False, True):
            print(f"{name}, {'typed readings' if typed else 'instrument'}")
            for now_s in MOMENTS_S:
                print("  " + row(truths, now_s, typed))
    print(cost())


if __name__ == "__main__":
    main()
