"""The cool-down forecast: what it must never do, and which way it must move."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pacer.heat.bins import Bins, add
from pacer.heat.cooldown.curves import curves_of
from pacer.heat.cooldown.estimate import DOUBT, Bound
from pacer.heat.cooldown.eta import HORIZON_S, Eta, forecast_eta
from pacer.heat.cooldown.fitted import fit, temperature_curve
from pacer.heat.cooldown.prior import Prior, prior
from pacer.heat.cooldown.rate import rate_c_h, usual_rate_c_h
from pacer.heat.cooldown.watching import watch
from pacer.heat.part import CoolingPart, Cover, CoverName

PART = CoolingPart(3.2, (0.26, 0.18, 0.04), 0.012)
SAND = Cover("dry sand", volume_m3=0.03)
COVERS: tuple[CoverName, ...] = (
    "dry sand",
    "vermiculite",
    "ceramic blanket",
    "still air",
    "furnace",
)


def of_the_model(p: Prior, z: list[float], until_s: float, every_s: float = 10.0) -> Bins:
    """Bins of noiseless readings made with the model itself at standardised `z`."""
    times = np.arange(0.0, until_s + 1.0, every_s)
    temps = curves_of(p, np.array([z])).at(times)[0]
    bins: Bins = ()
    for t, temp in zip(times, temps, strict=True):
        bins = add(bins, float(t), float(temp))
    return bins


def hours(part: CoolingPart, cover: Cover, until_c: float = 45.0) -> float:
    """Return the plan-time forecast, h."""
    return forecast_eta(fit(prior(part, cover, 20.0, 260.0), ()), until_c, 0.0).eta_s / 3600.0


def sound(eta: Eta, now_s: float) -> bool:
    """Return whether an answer keeps its promises."""
    numbers = (eta.eta_s, eta.low_s, eta.eta_s if eta.high_s is None else eta.high_s)
    whole = all(math.isfinite(x) and x == int(x) for x in numbers)
    return whole and now_s <= numbers[1] <= numbers[0] <= numbers[2]


def test_a_thin_part_in_sand_is_forecast_hours_not_minutes_before_any_reading() -> None:
    """Common practice, no source: some hours in dry sand, about one in still air (heat.md 3)."""
    assert 1.0 < hours(PART, SAND) < 4.0
    assert 0.6 < hours(PART, Cover("still air")) < 1.8


def test_vermiculite_keeps_a_part_warm_longer_than_sand_and_sand_longer_than_air() -> None:
    """Order of the covers (heat.md 4: 11.7, 4.0 and 1.2 h, simulated)."""
    slow = hours(PART, Cover("vermiculite", volume_m3=0.03))

    assert slow > hours(PART, SAND) > hours(PART, Cover("still air"))


def test_a_heavier_part_and_a_thicker_blanket_take_longer() -> None:
    """Monotone at the plan."""
    heavier = replace(PART, mass_kg=1.2 * PART.mass_kg)
    thin, thick = (Cover("ceramic blanket", thickness_m=d) for d in (0.025, 0.05))

    assert hours(heavier, SAND) > hours(PART, SAND)
    assert hours(PART, thick) > hours(PART, thin)
    assert hours(PART, SAND, 40.0) > hours(PART, SAND, 60.0)


def test_sand_that_conducts_better_is_quicker() -> None:
    """Monotone in k (heat.md 9)."""
    base = prior(PART, SAND, 20.0, 260.0)
    better = replace(base, mean=(base.mean[0] + 0.2, *base.mean[1:]))
    slow, quick = (forecast_eta(fit(p, ()), 45.0, 0.0).eta_s for p in (base, better))

    assert quick < slow


@pytest.mark.parametrize("name", COVERS)
def test_readings_made_by_the_model_itself_lead_the_forecast_to_the_truth(name: CoverName) -> None:
    """A part unlike its prior by 1 sd in each of two parameters: within 6 % half-way."""
    p = prior(PART, Cover(name), 20.0, 260.0)
    z = [-1.0, 1.0] + [0.0] * (len(p.mean) - 2)
    times = np.arange(0.0, 80 * 3600.0, 30.0)
    true_s = float(np.interp(-45.0, -curves_of(p, np.array([z])).at(times)[0], times))
    at_s = 0.5 * true_s
    eta = forecast_eta(fit(p, of_the_model(p, z, at_s)), 45.0, at_s)

    # The furnace has no model to speak of: half-way it may still be far off.
    assert eta.eta_s == pytest.approx(true_s, rel=0.25 if name == "furnace" else 0.06)
    assert eta.high_s is not None
    assert eta.low_s <= true_s <= eta.high_s


def test_more_readings_make_the_interval_narrower() -> None:
    """Width at the plan, after ten minutes and after an hour (heat.md 5)."""
    p = prior(PART, SAND, 20.0, 260.0)
    widths = []
    for at_s in (0.0, 600.0, 3600.0):
        bins = of_the_model(p, [0.0] * len(p.mean), at_s) if at_s else ()
        eta = forecast_eta(fit(p, bins), 45.0, at_s)
        assert eta.high_s is not None
        widths.append(eta.high_s - eta.low_s)

    assert widths[0] > 1.3 * widths[1] > 1.6 * widths[2]


def test_typed_readings_leave_a_wider_interval_than_an_instrument() -> None:
    """Same bins, 10 °C instead of 1 °C."""
    p = prior(PART, SAND, 20.0, 260.0)
    bins = of_the_model(p, [0.0] * len(p.mean), 1800.0, every_s=300.0)
    sharp, blunt = (forecast_eta(fit(p, bins, sd), 45.0, 1800.0) for sd in (1.0, 10.0))

    assert sharp.high_s is not None
    assert blunt.high_s is not None
    assert blunt.high_s - blunt.low_s > 1.15 * (sharp.high_s - sharp.low_s)


def test_a_spike_in_one_bin_hardly_moves_the_forecast() -> None:
    """One bin 300 °C off in an hour of readings: under 3 %."""
    p = prior(PART, SAND, 20.0, 260.0)
    bins = of_the_model(p, [0.5] + [0.0] * (len(p.mean) - 1), 3600.0)
    spoilt = (*bins[:40], (bins[40][0], bins[40][1] + 300.0, bins[40][2]), *bins[41:])
    clean, dirty = (forecast_eta(fit(p, b), 45.0, 3600.0).eta_s for b in (bins, spoilt))

    assert dirty == pytest.approx(clean, rel=0.03)


def test_the_forecast_starts_where_the_part_is() -> None:
    """The last ten minutes 8 °C above what the model can follow: the curve goes on from there."""
    p = prior(PART, SAND, 20.0, 260.0)
    smooth = of_the_model(p, [0.0] * len(p.mean), 3600.0)
    bins: Bins = tuple((t, c + 8.0 * (t > 3000.0), n) for t, c, n in smooth)
    best, low, high = temperature_curve(fit(p, bins), np.array([bins[-1][0]]))

    assert best[0] == pytest.approx(bins[-1][1], abs=1.0)
    assert low[0] <= best[0] <= high[0]


def test_what_the_sensor_reads_wrong_all_the_time_stays_in_the_interval() -> None:
    """Readings to nearly the end: still what 1 °C of sensor error means in time, on either side."""
    p = prior(PART, SAND, 20.0, 260.0)
    true_s = forecast_eta(fit(p, ()), 45.0, 0.0).eta_s
    at_s = 0.8 * true_s
    found = fit(p, of_the_model(p, [0.0] * len(p.mean), at_s))
    eta = forecast_eta(found, 45.0, at_s)
    before_c, after_c = temperature_curve(found, eta.eta_s + np.array([-60.0, 60.0]))[0]
    second_per_degree = 120.0 / (before_c - after_c)

    assert eta.high_s is not None
    assert eta.high_s - eta.eta_s > 1.1 * second_per_degree
    assert eta.eta_s - eta.low_s > 1.1 * second_per_degree


def test_a_part_far_from_its_prior_is_seen_by_its_pull() -> None:
    """1.5 W/mK (damp sand) after half an hour; as said (heat.md 8.5)."""
    p = prior(PART, SAND, 20.0, 260.0)
    as_said, damp = (of_the_model(p, [z] + [0.0] * (len(p.mean) - 1), 1800.0) for z in (0.0, 6.0))

    assert fit(p, as_said).pull < 0.5
    assert fit(p, damp).pull > DOUBT


def test_a_target_near_ambient_gets_no_upper_bound_and_one_below_it_the_horizon() -> None:
    """25 °C in a room of 20; 15 °C in the same room (heat.md 8.9)."""
    found = fit(prior(PART, SAND, 20.0, 260.0), ())
    near, below = forecast_eta(found, 25.0, 0.0), forecast_eta(found, 5.0, 0.0)

    assert near.high_s is None
    assert sound(near, 0.0)
    assert below.eta_s == HORIZON_S
    assert below.high_s is None


def test_a_target_reached_already_is_now() -> None:
    """No time in the past: the readings tell when it was."""
    p = prior(PART, SAND, 20.0, 40.0)

    assert forecast_eta(fit(p, ()), 45.0, 100.5) == Eta(101, 101, 101, "buried/2")


def test_the_same_readings_give_the_same_forecast() -> None:
    """Pure: nothing is carried from one fit to the next."""
    p = prior(PART, SAND, 20.0, 260.0)
    bins = of_the_model(p, [0.7] * len(p.mean), 1800.0)
    first = forecast_eta(fit(p, bins), 45.0, 1800.0)
    fit(p, bins[:5])

    assert forecast_eta(fit(p, bins), 45.0, 1800.0) == first


BOUNDS = st.lists(
    st.tuples(st.floats(0.0, 40000.0), st.floats(-40.0, 1200.0), st.sampled_from([1, -1])),
    max_size=3,
)
READINGS = st.lists(st.tuples(st.floats(0.0, 40000.0), st.floats(-40.0, 1200.0)), max_size=12)


@pytest.mark.slow
@settings(max_examples=60, deadline=None)
@given(
    st.floats(0.2, 200.0),
    st.one_of(st.none(), st.tuples(*[st.floats(0.005, 2.0)] * 3)),
    st.floats(0.003, 0.2),
    st.sampled_from(COVERS),
    st.one_of(st.none(), st.floats(1e-4, 2.0)),
    st.floats(-20.0, 45.0),
    st.floats(-30.0, 700.0),
    st.floats(-30.0, 300.0),
    READINGS,
    st.sampled_from([1.0, 10.0]),
    BOUNDS,
)
def test_nothing_in_the_physical_range_raises_or_gives_nan(
    mass_kg: float,
    size_m: tuple[float, float, float] | None,
    wall_m: float,
    name: CoverName,
    amount: float | None,
    ambient_c: float,
    start_c: float,
    until_c: float,
    readings: list[tuple[float, float]],
    reading_sd_dc: float,
    bounds: list[Bound],
) -> None:
    """Start or target below ambient, one bin, constant readings, spikes, crayons, 0.2 to 200 kg."""
    bins: Bins = ()
    for t_s, temp_c in sorted(readings):
        bins = add(bins, t_s, temp_c)
    now_s = bins[-1][0] if bins else 0.0
    part = CoolingPart(mass_kg, size_m, wall_m)
    p = prior(part, Cover(name, amount, amount), ambient_c, start_c)
    found = fit(p, bins, reading_sd_dc, [0.7] * len(p.mean), bounds)
    curves = temperature_curve(found, np.array([0.0, now_s, now_s + 3600.0, 1e6]))

    assert sound(forecast_eta(found, until_c, now_s), now_s)
    assert all(np.all(np.isfinite(curve)) for curve in curves)
    assert all(math.isfinite(x) for x in found.z)
    rate = rate_c_h(bins, now_s)
    assert rate is None or math.isfinite(rate)
    assert all(math.isfinite(x) for x in usual_rate_c_h(p, until_c))
    departure = watch(found, bins)
    assert departure is None or math.isfinite(departure.off_dc)


@pytest.mark.parametrize("constant_c", [20.0, 150.0, 260.0])
def test_constant_readings_are_survived(constant_c: float) -> None:
    """A frozen sensor for an hour: an answer, not an error."""
    bins: Bins = tuple((t * 100.0, constant_c, 20) for t in range(36))

    assert sound(forecast_eta(fit(prior(PART, SAND, 20.0, 260.0), bins), 45.0, 3600.0), 3600.0)


@pytest.mark.parametrize("name", COVERS)
def test_a_reading_far_above_a_start_said_to_be_cold_is_survived(name: CoverName) -> None:
    """Told 30 °C at the start, one reading of 100 at that moment: a time, not an error."""
    p = prior(PART, Cover(name), 20.0, 30.0)

    assert sound(forecast_eta(fit(p, ((0.0, 100.0, 1),)), 45.0, 0.0), 0.0)


def test_a_target_is_not_reached_while_the_readings_are_above_it() -> None:
    """A body sand can't make: flat at 100 °C for two hours; 95 °C is not now."""
    p = prior(PART, SAND, 20.0, 260.0)
    flat: Bins = tuple((120.0 * i, 260.0 if i < 10 else 100.0, 12) for i in range(60))

    assert forecast_eta(fit(p, flat), 60.0, 7100.0).eta_s > 7200.0
