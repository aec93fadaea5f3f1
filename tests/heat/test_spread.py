"""The spreading of heat along a closed side, against its other series and the calculus."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pacer.heat.pauses.spread import share

SIDE_M = 0.2
ALPHA_M2_S = 1.2e-5
_PLACES_M = st.floats(-0.5 * SIDE_M, 0.5 * SIDE_M)
_LN_SPREADS = st.floats(math.log(1e-6), math.log(2.0 * SIDE_M**2))


def by_cosines(probe_m: float, source_m: float, side_m: float, spread_m2: float) -> float:
    """Return ``L g`` as its Fourier series, places from the middle (textbook, closed ends).

    1 + 2 sum cos(k x) cos(k x0) exp(-k² a t), k = n pi / L, x from one end.
    """
    x, x0 = probe_m + 0.5 * side_m, source_m + 0.5 * side_m
    total = 1.0
    for n in range(1, 2000):
        k = n * math.pi / side_m
        fades = math.exp(-k * k * spread_m2)
        if fades < 1e-16:
            break
        total += 2.0 * math.cos(k * x) * math.cos(k * x0) * fades
    return total


@settings(max_examples=100, deadline=None)
@given(probe_m=_PLACES_M, source_m=_PLACES_M, ln_spread=_LN_SPREADS)
def test_images_and_cosines_are_the_same_heat(
    probe_m: float, source_m: float, ln_spread: float
) -> None:
    """Two textbook solutions of one problem; what is left out of either is some 2e-4."""
    spread_m2 = math.exp(ln_spread)
    found, _, _ = share(probe_m, source_m, SIDE_M, spread_m2)

    assert found == pytest.approx(by_cosines(probe_m, source_m, SIDE_M, spread_m2), abs=3e-4)


@pytest.mark.parametrize("probe_m", [-0.1, 0.03, 0.1])
def test_late_the_heat_is_even(probe_m: float) -> None:
    """After a t = L² every place has its share of 1 to 2 exp(-pi²), 1e-4 (first cosine)."""
    assert share(probe_m, 0.1, SIDE_M, 1.0 * SIDE_M**2)[0] == pytest.approx(1.0, abs=1.1e-4)
    assert share(probe_m, 0.1, SIDE_M, 100.0 * SIDE_M**2) == (1.0, 0.0, 0.0)


@pytest.mark.parametrize("spread_m2", [2e-5, 2e-4, 2e-3, 1e-2])
@pytest.mark.parametrize("source_m", [0.0, 0.06, -0.1])
def test_no_heat_leaves_a_closed_side(source_m: float, spread_m2: float) -> None:
    """The mean over the side is 1 (conservation), summed over 400 places."""
    count = 400
    places = [((i + 0.5) / count - 0.5) * SIDE_M for i in range(count)]
    mean = sum(share(x, source_m, SIDE_M, spread_m2)[0] for x in places) / count

    assert mean == pytest.approx(1.0, abs=1e-3)


@pytest.mark.parametrize("spread_m2", [3e-5, 3e-4, 3e-3, 6e-3, 3e-2])
@pytest.mark.parametrize(("probe_m", "source_m"), [(0.03, 0.0), (-0.02, 0.05), (0.099, -0.1)])
def test_the_slopes_are_those_of_the_share(
    probe_m: float, source_m: float, spread_m2: float
) -> None:
    """Central differences (calculus): in the probe's place, and in ln a at the same time."""
    _, by_place, by_ln_a = share(probe_m, source_m, SIDE_M, spread_m2)
    step_m, step = 1e-6, 1e-5
    up = share(probe_m + step_m, source_m, SIDE_M, spread_m2)[0]
    down = share(probe_m - step_m, source_m, SIDE_M, spread_m2)[0]
    more = share(probe_m, source_m, SIDE_M, spread_m2 * math.exp(step))[0]
    less = share(probe_m, source_m, SIDE_M, spread_m2 * math.exp(-step))[0]

    assert by_place == pytest.approx((up - down) / (2.0 * step_m), rel=1e-4, abs=1e-5)
    assert by_ln_a == pytest.approx((more - less) / (2.0 * step), rel=1e-4, abs=1e-6)


@pytest.mark.parametrize("r_m", [0.024, 0.040, 0.060])
def test_a_line_of_heat_in_a_wide_plate_peaks_as_the_closed_form_says(r_m: float) -> None:
    """Peak E/(e pi rho c d r²) at r²/4a: instantaneous line source, textbook, own derivation."""
    wide_m, wall_m, rho_kg_m3, c_j_kgk, heat_j = 2.0, 0.012, 7200.0, 550.0, 11_000.0
    whole_dc = heat_j / (rho_kg_m3 * c_j_kgk * wall_m * wide_m**2)
    peak_s = r_m**2 / (4.0 * ALPHA_M2_S)

    def rise_dc(at_s: float) -> float:
        spread_m2 = ALPHA_M2_S * at_s
        along = share(0.0, 0.0, wide_m, spread_m2)[0]
        return whole_dc * along * share(r_m, 0.0, wide_m, spread_m2)[0]

    times_s = [peak_s * (0.5 + 0.005 * i) for i in range(300)]
    expected_dc = heat_j / (math.e * math.pi * rho_kg_m3 * c_j_kgk * wall_m * r_m**2)
    assert max(times_s, key=rise_dc) == pytest.approx(peak_s, rel=0.006)
    assert rise_dc(peak_s) == pytest.approx(expected_dc, rel=1e-9)


@settings(max_examples=100, deadline=None)
@given(probe_m=_PLACES_M, source_m=_PLACES_M, ln_spread=_LN_SPREADS)
def test_probe_and_source_may_change_places(
    probe_m: float, source_m: float, ln_spread: float
) -> None:
    """Reciprocity of the heat equation, to what the left-out terms hold; never negative."""
    spread_m2 = math.exp(ln_spread)
    there = share(probe_m, source_m, SIDE_M, spread_m2)[0]

    assert there >= 0.0
    assert there == pytest.approx(share(source_m, probe_m, SIDE_M, spread_m2)[0], abs=2e-3)
