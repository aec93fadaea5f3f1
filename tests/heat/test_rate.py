"""30-minute means of the cooling rate."""

from __future__ import annotations

import numpy as np
import pytest

from pacer.heat.bins import Bins, add
from pacer.heat.cooldown.curves import curves_of
from pacer.heat.cooldown.prior import prior
from pacer.heat.cooldown.rate import rate_c_h, usual_rate_c_h
from pacer.heat.part import CoolingPart, Cover, CoverName

PART = CoolingPart(3.2, (0.26, 0.18, 0.04), 0.012)


def line(until_s: float, c_h: float) -> Bins:
    """Bins of a straight fall from 260 °C, a reading each 10 s."""
    bins: Bins = ()
    for t in np.arange(0.0, until_s + 1.0, 10.0):
        bins = add(bins, float(t), 260.0 - c_h * float(t) / 3600.0)
    return bins


@pytest.mark.parametrize("hours", [0.3, 0.5, 1.0, 6.0, 20.0])
def test_a_straight_fall_has_its_rate_at_any_time(hours: float) -> None:
    """Arithmetic; at 20 h a bin is wider than half an hour."""
    assert rate_c_h(line(hours * 3600.0, 10.0), hours * 3600.0) == pytest.approx(10.0, rel=1e-6)


def test_there_is_no_rate_before_a_quarter_of_an_hour() -> None:
    """A slope over less is mostly noise; the start gradient (procedure of the trade)."""
    assert rate_c_h((), 3600.0) is None
    assert rate_c_h(line(880.0, 100.0), 880.0) is None
    assert rate_c_h(line(960.0, 100.0), 960.0) is not None


def test_only_the_last_half_hour_counts_and_nothing_after_now() -> None:
    """Falling 200 °C/h for an hour, then not at all: 0 half an hour later, 200 seen from then."""
    bins: Bins = ()
    for t in np.arange(0.0, 5800.0, 10.0):
        bins = add(bins, float(t), 260.0 - 200.0 * min(float(t), 3600.0) / 3600.0)

    assert rate_c_h(bins, 5800.0) == pytest.approx(0.0, abs=0.5)
    assert rate_c_h(bins, 3500.0) == pytest.approx(200.0, rel=0.01)


def test_a_part_that_warms_has_a_negative_rate() -> None:
    """Signs."""
    assert rate_c_h(line(2400.0, -50.0), 2400.0) == pytest.approx(-50.0)


@pytest.mark.parametrize(
    ("cover", "least", "most"), [("dry sand", 133.0, 374.0), ("vermiculite", 127.0, 150.0)]
)
def test_the_largest_usual_rate_of_a_burial_is_what_was_calculated_for_it(
    cover: CoverName, least: float, most: float
) -> None:
    """133-374 °C/h in sand, 127-150 in vermiculite: overlap with our 80 % (procedure 9, CALC)."""
    p = prior(PART, Cover(cover, volume_m3=0.03), 20.0, 260.0)
    # The first half hour is the fastest: the rate at the temperature it ends at.
    after_c = float(curves_of(p, np.zeros((1, len(p.mean)))).at(np.array([1800.0]))[0, 0])
    low, _, high = usual_rate_c_h(p, after_c)

    assert low < most
    assert high > least


def test_the_usual_rate_falls_with_the_temperature_and_is_nothing_below_the_room() -> None:
    """Ordered low, likely, high; 0 for a temperature never reached."""
    p = prior(PART, Cover("dry sand"), 20.0, 260.0)
    spans = [usual_rate_c_h(p, temp_c) for temp_c in (200.0, 120.0, 60.0)]

    assert all(0.0 < low < likely < high for low, likely, high in spans)
    assert spans[0][1] > spans[1][1] > spans[2][1]
    assert usual_rate_c_h(p, -40.0) == (0.0, 0.0, 0.0)


@pytest.mark.parametrize("start_c", [-20.0, 20.0, 45.0, 900.0])
def test_a_usual_rate_is_a_number_whatever_is_asked(start_c: float) -> None:
    """Start below, at and above the temperature asked for."""
    covers: tuple[CoverName, ...] = ("still air", "furnace", "ceramic blanket")
    for cover in covers:
        span = usual_rate_c_h(prior(PART, Cover(cover), 20.0, start_c), 100.0)
        assert all(np.isfinite(x) and x >= 0.0 for x in span)
