"""How good forecasts are against a finer truth the model doesn't share.

Seeds from 300 on were never used for tuning. The figures of a run are printed by
``tests/bench/bench_heat.py``. Bounds are heat.md 9's where it has one (25 % at
30 min, coverage), tighter where this project asks for more; early is the dangerous side.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest
import truth2d
import truth_air

from pacer.heat.cooldown import DOUBT, fit, forecast_eta, prior
from pacer.heat.part import Cover, CoverName

FIRST_SEED = 300
UNTIL_C = 45.0


@lru_cache(maxsize=128)
def truth_of(seed: int, name: CoverName) -> truth2d.Truth:
    """Return one simulated cool-down, kept for the other tests."""
    return truth2d.truth(seed, name)


def score(
    name: CoverName, count: int, now_s: float, typed: bool = False
) -> tuple[float, float, float, float]:
    """Return median |error|, median error (early negative), coverage and median width."""
    errors, inside, widths = [], [], []
    for seed in range(FIRST_SEED, FIRST_SEED + count):
        truth = truth_of(seed, name)
        true_s = truth.reached_s(UNTIL_C)
        if not 1.15 * now_s < true_s < np.inf:
            continue
        bins = truth.typed_until(now_s, seed) if typed else truth.bins_until(now_s, seed)
        p = prior(truth.part, truth.cover, truth.ambient_c, bins[0][1])
        eta = forecast_eta(fit(p, bins, 10.0 if typed else 1.0), UNTIL_C, now_s)
        errors.append(eta.eta_s / true_s - 1.0)
        high_s = np.inf if eta.high_s is None else eta.high_s
        inside.append(eta.low_s <= true_s <= high_s)
        widths.append((high_s - eta.low_s) / true_s)
    medians = (float(np.median(x)) for x in (np.abs(errors), errors, widths))
    error, bias, width = medians
    return error, bias, float(np.mean(inside)), width


@pytest.mark.slow
def test_six_sand_cool_downs_are_forecast_within_25_percent_after_30_minutes() -> None:
    """A smoke test of the accuracy: every one of six, heat.md 9."""
    for seed in range(FIRST_SEED, FIRST_SEED + 6):
        truth = truth_of(seed, "dry sand")
        true_s = truth.reached_s(UNTIL_C)
        bins = truth.bins_until(1800.0, seed)
        p = prior(truth.part, truth.cover, truth.ambient_c, bins[0][1])
        eta = forecast_eta(fit(p, bins), UNTIL_C, 1800.0)

        assert eta.eta_s == pytest.approx(true_s, rel=0.25)


@pytest.mark.slow
def test_damp_sand_is_told_from_dry_sand_within_half_an_hour() -> None:
    """Conductivity 1-2 W/mK (range of damp sand, P20 in trade.md, SEEN-S) against six dry boxes."""
    dry: list[float] = []
    damp: list[float] = []
    for seed in range(FIRST_SEED, FIRST_SEED + 6):
        as_said = truth_of(seed, "dry sand")
        wet = replace(as_said.world, k0=1.0 + 0.2 * (seed - FIRST_SEED), moisture=0.02)
        times, temps, _ = truth2d.simulate(wet, UNTIL_C, 3600.0)
        for truth, pulls in ((as_said, dry), (replace(as_said, times_s=times, part_c=temps), damp)):
            bins = truth.bins_until(min(1800.0, float(truth.times_s[-1])), seed)
            p = prior(truth.part, truth.cover, truth.ambient_c, bins[0][1])
            pulls.append(fit(p, bins).pull)

    # At 1.0 W/mK and a small part the two still overlap.
    assert max(dry) < DOUBT
    assert sum(pull > DOUBT for pull in damp) >= 5


@pytest.mark.full
@pytest.mark.parametrize(
    ("now_s", "error", "wide"),
    [(600.0, 0.15, 0.70), (1800.0, 0.10, 0.45), (3600.0, 0.08, 0.35), (7200.0, 0.08, 0.25)],
)
def test_sand_forecasts_keep_their_accuracy_and_their_intervals(
    now_s: float, error: float, wide: float
) -> None:
    """40 held-out truths: median error, early by 5 % at most, 70 % or more inside, not by width."""
    median, bias, coverage, width = score("dry sand", 40, now_s)

    assert median <= error
    assert bias >= -0.05
    assert coverage >= 0.70
    assert width <= wide


@pytest.mark.full
@pytest.mark.parametrize("name", ["vermiculite", "ceramic blanket"])
@pytest.mark.parametrize(("now_s", "error"), [(600.0, 0.18), (3600.0, 0.10), (7200.0, 0.06)])
def test_light_covers_are_forecast_as_well(name: CoverName, now_s: float, error: float) -> None:
    """24 held-out truths each: as for sand; the intervals may hold more than they promise."""
    median, bias, coverage, _ = score(name, 24, now_s)

    assert median <= error
    assert bias >= -0.05
    assert coverage >= 0.70


@pytest.mark.full
@pytest.mark.parametrize(("now_s", "error"), [(600.0, 0.22), (1800.0, 0.18), (3600.0, 0.15)])
def test_typed_readings_forecast_more_coarsely_but_honestly(now_s: float, error: float) -> None:
    """A reading every 5-10 min, each up to 10 °C wrong."""
    median, bias, coverage, _ = score("dry sand", 40, now_s, typed=True)

    assert median <= error
    assert bias >= -0.05
    assert coverage >= 0.70


@pytest.mark.slow
@pytest.mark.parametrize(("now_s", "error"), [(600.0, 0.12), (1800.0, 0.08)])
def test_still_air_forecasts_keep_their_accuracy_and_their_intervals(
    now_s: float, error: float
) -> None:
    """24 truths of three unlike lumps with another film law."""
    errors, inside = [], []
    for seed in range(FIRST_SEED, FIRST_SEED + 24):
        truth = truth_air.truth(seed)
        true_s = truth.reached_s(UNTIL_C)
        bins = truth.bins_until(now_s, seed)
        p = prior(truth.part, Cover("still air"), truth.ambient_c, bins[0][1])
        eta = forecast_eta(fit(p, bins), UNTIL_C, now_s)
        errors.append(eta.eta_s / true_s - 1.0)
        inside.append(eta.low_s <= true_s <= (eta.high_s or np.inf))

    assert np.median(np.abs(errors)) <= error
    assert np.median(errors) >= -0.05
    assert np.mean(inside) >= 0.70
