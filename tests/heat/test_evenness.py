"""Evenness of a part and the wait before a surface may be believed."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.heat.preheat.evenness import evenness


def test_the_spread_is_the_hottest_less_the_coldest() -> None:
    """Arithmetic on three places."""
    found = evenness((258.0, 231.0, 244.0), 3)

    assert (found.spread_dc, found.coldest_c, found.hottest_c) == (27.0, 231.0, 258.0)
    assert found.missing == 0


def test_one_place_says_nothing_of_the_spread() -> None:
    """A spread of 0 would be a claim nobody measured; two of three places are missing."""
    found = evenness((258.0,), 3)

    assert found.spread_dc is None
    assert found.coldest_c == 258.0
    assert (found.known, found.wanted, found.missing) == (1, 3, 2)


def test_no_place_is_nothing_known() -> None:
    """Neither a coldest nor a hottest place."""
    found = evenness((), 2)

    assert (found.spread_dc, found.coldest_c, found.hottest_c) == (None, None, None)
    assert found.missing == 2


def test_more_places_than_asked_for_are_not_missing_ones() -> None:
    """Never a negative count."""
    assert evenness((250.0, 251.0), 1).missing == 0
    assert evenness((250.0,), -4).wanted == 0


@pytest.mark.slow
@given(st.lists(st.floats()), st.integers())
def test_what_is_no_number_is_no_reading(points_c: list[float], wanted: int) -> None:
    """Any floats: only finite ones count, nothing raises."""
    found = evenness(points_c, wanted)

    assert found.known == sum(math.isfinite(point) for point in points_c)
    assert (found.coldest_c is None) == (found.known == 0)
    assert (found.spread_dc is None) == (found.known < 2)
