"""Bodies the model wasn't made for: the interval is wide rather than wrong."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pytest
from bodies import COVERS, PARTS, UNTIL_C, bodies

from pacer.heat.bins import Bins, add
from pacer.heat.cooldown.curves import curves_of
from pacer.heat.cooldown.eta import forecast_eta
from pacer.heat.cooldown.fitted import fit
from pacer.heat.cooldown.foreign import unlike
from pacer.heat.cooldown.prior import prior
from pacer.heat.part import Cover

MOMENTS = (0.03, 0.08, 0.2, 0.4, 0.65)
COFFEE = Path(__file__).parent / "sources" / "coffee.csv"


def coffee(column: str) -> tuple[list[float], list[float]]:
    """Return times (s) and temperatures (°C) of one measured mug."""
    lines = [x for x in COFFEE.read_text(encoding="utf-8").splitlines() if not x.startswith("#")]
    rows = list(csv.DictReader(lines))
    return [60.0 * float(r["t_min"]) for r in rows], [float(r[column]) for r in rows]


def held(seed: int, every: int) -> float:
    """Return the share of (body, moment) cases whose 80 % interval holds the truth."""
    chance = np.random.default_rng(seed)
    inside = []
    for number, body in enumerate(bodies(seed)):
        if number % every:
            continue
        for share in MOMENTS:
            now_s = share * body.reached_s
            p, bins = body.bins_until(now_s, chance)
            eta = forecast_eta(fit(p, bins), UNTIL_C, now_s)
            assert math.isfinite(eta.eta_s)
            assert math.isfinite(eta.low_s)
            if len(bins) > 1:
                high_s = math.inf if eta.high_s is None else eta.high_s
                inside.append(eta.low_s <= body.reached_s <= high_s)
    return float(np.mean(inside))


@pytest.mark.slow
def test_some_foreign_bodies_are_inside_their_intervals() -> None:
    """One in 29 of the bodies below: 70 % (this project's bar)."""
    assert held(900, 29) >= 0.70


@pytest.mark.full
@pytest.mark.parametrize("seed", [901, 902])
def test_foreign_bodies_are_inside_their_intervals(seed: int) -> None:
    """Exponentials 0.1 to 10 times the prior's, two, four lumps, power laws: 70 % of all cases."""
    assert held(seed, 1) >= 0.70


@pytest.mark.slow
@pytest.mark.parametrize("column", ["black_c", "cream_c"])
def test_a_measured_mug_of_coffee_passed_off_as_iron_is_held(column: str) -> None:
    """Measured (sources/coffee.csv, SEEN-S): the time of 43 °C seen from 10 min on.

    In any cover: four cases in five inside the interval, no miss by more than 7 %.
    """
    times_s, temps_c = coffee(column)
    true_s = float(np.interp(-43.0, [-c for c in temps_c], times_s))
    missed_s: list[float] = []
    for cover in COVERS:
        p = prior(PARTS[0], Cover(cover), 17.0, temps_c[0])
        bins: Bins = ()
        for t_s, temp_c in zip(times_s, temps_c, strict=True):
            bins = add(bins, t_s, temp_c)
            if 600.0 <= t_s < 0.8 * true_s:
                eta = forecast_eta(fit(p, bins), 43.0, t_s)
                high_s = math.inf if eta.high_s is None else eta.high_s
                missed_s.append(max(eta.low_s - true_s, true_s - high_s, 0.0))

    assert np.mean([missed == 0.0 for missed in missed_s]) >= 0.8
    assert max(missed_s) < 0.07 * true_s


def test_a_part_as_said_leaves_the_other_body_no_belief() -> None:
    """An hour of the model's own curve, 1 sd off in two parameters: below 2 %."""
    p = prior(PARTS[0], Cover("dry sand"), 20.0, 260.0)
    z = np.zeros((1, len(p.mean)))
    z[0, :2] = (-1.0, 1.0)
    times_s = np.arange(0.0, 3600.0, 20.0)
    bins: Bins = ()
    for t_s, temp_c in zip(times_s, curves_of(p, z).at(times_s)[0], strict=True):
        bins = add(bins, float(t_s), float(temp_c))

    assert unlike(fit(p, bins))[1] < 0.02


def test_a_plain_exponential_in_sand_is_believed_to_be_another_body() -> None:
    """Newton's law in 40 min from 260 to 45 °C: sand has a tail, this has none; above 95 %."""
    p = prior(PARTS[0], Cover("dry sand"), 20.0, 260.0)
    bins: Bins = ()
    for t_s in np.arange(0.0, 1500.0, 10.0):
        bins = add(bins, float(t_s), float(20.0 + 240.0 * np.exp(-t_s / 1060.0)))
    found, share = unlike(fit(p, bins))

    assert share > 0.95
    assert forecast_eta(found, 45.0, 1500.0).eta_s == pytest.approx(
        1060.0 * math.log(240.0 / 25.0), rel=0.1
    )
