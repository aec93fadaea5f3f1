"""Fits: warm and cold, with crayon bounds, and their cost."""

from __future__ import annotations

import time

import numpy as np
import pytest
import truth2d

from pacer.heat.bins import Bins, add
from pacer.heat.cooldown.curves import curves_of
from pacer.heat.cooldown.eta import forecast_eta
from pacer.heat.cooldown.fitted import fit
from pacer.heat.cooldown.prior import Prior, prior
from pacer.heat.part import CoolingPart, Cover

PART = CoolingPart(3.2, (0.26, 0.18, 0.04), 0.012)
SAND = Cover("dry sand", volume_m3=0.03)


def of_the_model(p: Prior, z: list[float], until_s: float) -> Bins:
    """Bins of readings every 20 s made with the model itself, 1 °C of fixed noise on them."""
    times = np.arange(0.0, until_s + 1.0, 20.0)
    temps = curves_of(p, np.array([z])).at(times)[0]
    noise = np.random.default_rng(5).normal(0.0, 1.0, len(times))
    bins: Bins = ()
    for t, temp in zip(times, temps + noise, strict=True):
        bins = add(bins, float(t), float(temp))
    return bins


@pytest.mark.slow
@pytest.mark.parametrize("seed", [12, 15])
@pytest.mark.parametrize("name", ["dry sand", "vermiculite"])
def test_a_fit_from_an_earlier_one_ends_where_a_fit_from_the_prior_ends(
    seed: int, name: str
) -> None:
    """ETA within 0.5 % at every refit of two hours, though each starts from the last."""
    truth = truth2d.truth(seed, "dry sand" if name == "dry sand" else "vermiculite", until_c=80.0)
    last_s = min(7200.0, float(truth.times_s[-1]))
    bins = truth.bins_until(last_s, seed)
    p = prior(truth.part, truth.cover, truth.ambient_c, bins[0][1])
    near: tuple[float, ...] | None = None
    for count in range(6, len(bins), 14):
        now_s = bins[count - 1][0]
        warm, cold = fit(p, bins[:count], near=near), fit(p, bins[:count])
        etas = [forecast_eta(found, 60.0, now_s).eta_s for found in (warm, cold)]
        near = warm.z
        assert etas[0] == pytest.approx(etas[1], rel=0.005)


def test_a_stale_start_is_no_worse_than_none() -> None:
    """Six sd off in everything, or of another model: the same forecast."""
    p = prior(PART, SAND, 20.0, 260.0)
    bins = of_the_model(p, [0.5] * len(p.mean), 3600.0)
    cold = forecast_eta(fit(p, bins), 45.0, 3600.0).eta_s
    for near in ([6.0] * len(p.mean), [1.0, 2.0], [-6.0] * len(p.mean)):
        assert forecast_eta(fit(p, bins, near=near), 45.0, 3600.0).eta_s == pytest.approx(
            cold, rel=0.005
        )


def test_the_fitted_parameters_are_plain_rounded_numbers_for_the_state() -> None:
    """A tuple of floats with six digits, as long as the prior's."""
    p = prior(PART, SAND, 20.0, 260.0)
    z = fit(p, of_the_model(p, [0.5] * len(p.mean), 1800.0)).z

    assert all(type(x) is float and round(x, 6) == x for x in z)
    assert len(z) == len(p.mean)


def test_a_crayon_that_tells_what_was_known_anyway_changes_nothing() -> None:
    """At least 60 °C after ten minutes, at most 250 after an hour: true of the prior."""
    p = prior(PART, SAND, 20.0, 260.0)
    told = fit(p, (), bounds=[(600.0, 60.0, 1), (3600.0, 250.0, -1)])

    assert told.z == (0.0,) * len(p.mean)
    assert forecast_eta(told, 45.0, 3600.0) == forecast_eta(fit(p, ()), 45.0, 3600.0)


@pytest.mark.parametrize(
    ("bound", "later"), [((5400.0, 150.0, 1), True), ((900.0, 120.0, -1), False)]
)
def test_a_crayon_that_contradicts_the_prior_moves_the_forecast_without_any_bin(
    bound: tuple[float, float, int], later: bool
) -> None:
    """Still 150 °C after an hour and a half is slower, below 120 after 15 min is faster."""
    p = prior(PART, SAND, 20.0, 260.0)
    before_s = forecast_eta(fit(p, ()), 45.0, bound[0]).eta_s
    after_s = forecast_eta(fit(p, (), bounds=[bound]), 45.0, bound[0]).eta_s

    assert (after_s > 1.1 * before_s) if later else (after_s < 0.95 * before_s)


def test_a_crayon_is_believed_as_a_typed_reading_not_as_an_instrument() -> None:
    """10 °C: an instrument's bins with the same wrong bound hardly move."""
    p = prior(PART, SAND, 20.0, 260.0)
    bins = of_the_model(p, [0.0] * len(p.mean), 3600.0)
    wrong = (3000.0, bins[-10][1] + 20.0, 1)
    etas = [forecast_eta(fit(p, bins, bounds=b), 45.0, 3600.0).eta_s for b in ((), (wrong,))]

    assert etas[1] == pytest.approx(etas[0], rel=0.05)


@pytest.mark.slow
def test_a_refit_costs_no_more_late_than_early() -> None:
    """Processor time of a warm refit, 1 h and 12 h of bins: less than 2.5 times (log growth)."""
    p = prior(PART, Cover("vermiculite", volume_m3=0.06), 20.0, 260.0)
    bins = of_the_model(p, [0.3] * len(p.mean), 12 * 3600.0)
    hour = tuple(b for b in bins if b[0] <= 3600.0)

    def cost_s(seen: Bins) -> float:
        near = fit(p, seen[:-1]).z
        times = []
        for _ in range(15):
            began = time.process_time()
            fit(p, seen, near=near)
            times.append(time.process_time() - began)
        return min(times)

    assert len(bins) == 139
    assert cost_s(bins) < 2.5 * cost_s(hour)
    # Measured about 2-3 ms; the limit leaves room for a slow and busy machine.
    assert cost_s(bins) < 0.02
