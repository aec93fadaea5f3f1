"""Bins: few, growing, exact in the mean, deaf to what is no number."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.heat.bins import GROWTH, WIDTH_S, Bins, add, bin_index, reached_s


def test_a_bin_keeps_the_mean_of_its_readings() -> None:
    """Three readings in the first 20 s, one after."""
    bins: Bins = ()
    for t_s, temp_c in ((0.0, 200.0), (6.0, 203.0), (18.0, 191.0), (21.0, 190.0)):
        bins = add(bins, t_s, temp_c)

    assert bins == ((8.0, 198.0, 3), (21.0, 190.0, 1))


def test_a_bin_is_20_s_wide_or_4_percent_of_the_time_gone_by() -> None:
    """heat.md 6: the widths between changes of the index."""
    edges = [t for t in range(1, 43200) if bin_index(float(t)) != bin_index(float(t - 1))]
    for start_s, end_s in itertools.pairwise(edges):
        assert end_s - start_s == pytest.approx(max(WIDTH_S, GROWTH * start_s), abs=1.5)


@pytest.mark.slow
def test_twelve_hours_at_4_hz_are_fewer_than_160_bins() -> None:
    """Flat memory in any session (heat.md 9)."""
    bins: Bins = ()
    for i in range(12 * 3600 * 4):
        bins = add(bins, i / 4.0, 100.0)

    assert len(bins) < 160
    assert sum(n for _, _, n in bins) == 12 * 3600 * 4


def test_a_reading_from_before_the_last_bin_or_the_start_is_left_out() -> None:
    """Time that goes back is not averaged in."""
    bins = add(add((), 10.0, 200.0), 45.0, 190.0)

    assert add(bins, 12.0, 500.0) == bins
    assert add(bins, -3.0, 500.0) == bins


@pytest.mark.parametrize("odd", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_left_out(odd: float) -> None:
    """Neither as time nor as temperature."""
    bins = add((), 10.0, 200.0)

    assert add(bins, 11.0, odd) == bins
    assert add(bins, odd, 200.0) == bins


@pytest.mark.slow
@given(st.lists(st.tuples(st.floats(0.0, 1e5), st.floats(-50.0, 1000.0)), max_size=60))
def test_bins_are_in_order_and_count_every_reading_that_comes_in_order(
    readings: list[tuple[float, float]],
) -> None:
    """Sorted input: nothing lost, times rising, means within the readings."""
    bins: Bins = ()
    for t_s, temp_c in sorted(readings):
        bins = add(bins, t_s, temp_c)

    assert sum(n for _, _, n in bins) == len(readings)
    assert all(a[0] < b[0] for a, b in itertools.pairwise(bins))
    temps = [temp_c for _, temp_c in readings]
    assert all(min(temps) - 1e-6 <= mean_c <= max(temps) + 1e-6 for _, mean_c, _ in bins)


def test_the_moment_a_target_was_reached_lies_between_two_bins() -> None:
    """60 °C halfway between 70 at 1000 s and 50 at 1100 s; never 40."""
    bins: Bins = ((900.0, 80.0, 5), (1000.0, 70.0, 5), (1100.0, 50.0, 5))

    assert reached_s(bins, 60.0) == 1050.0
    assert reached_s(bins, 85.0) == 900.0
    assert reached_s(bins, 40.0) is None
    assert reached_s((), 40.0) is None
