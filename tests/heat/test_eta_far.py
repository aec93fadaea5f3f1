"""Forecasts asked about at moments that no honest session has: an answer, never an error."""

from __future__ import annotations

import pytest

from pacer.heat.bins import Bins
from pacer.heat.cooldown.eta import HORIZON_S, Weighed, forecast_eta, forecast_weighed
from pacer.heat.cooldown.fitted import Fit, fit
from pacer.heat.cooldown.prior import prior
from pacer.heat.part import CoolingPart, Cover

FAR_S = 5e6
"Two months: beyond where a forecast stops looking."


@pytest.fixture
def sand() -> Fit:
    """An estimate of a bracket of 3 kg in dry sand, before anything was read."""
    part = CoolingPart(3.2, (0.26, 0.18, 0.04), 0.012)
    return fit(prior(part, Cover("dry sand", volume_m3=0.03), 20.0, 262.0), Bins())


@pytest.mark.parametrize("lag_s", [-FAR_S, -2 * FAR_S, 0.0, FAR_S])
@pytest.mark.parametrize("until_c", [40.0, 21.0, -50.0])
def test_a_fits_time_far_before_its_start_is_its_start(
    lag_s: float, until_c: float, sand: Fit
) -> None:
    """Found by a recording made to hurt: exp() of two thousand. No number: no upper bound."""
    eta = forecast_weighed([Weighed(sand, lag_s, 0.5), Weighed(sand, 0.0, 0.5)], until_c, FAR_S)
    assert eta.low_s >= FAR_S
    assert eta.eta_s >= eta.low_s
    assert eta.high_s is None or eta.high_s >= eta.eta_s
    if until_c == -50.0:
        assert eta.high_s is None


def test_no_forecast_lies_before_the_moment_it_is_asked_at(sand: Fit) -> None:
    """Also beyond the horizon: what is never reached is not said to be past."""
    for now_s in (0.0, HORIZON_S, FAR_S):
        eta = forecast_eta(sand, -50.0, now_s)
        assert (eta.eta_s, eta.high_s) == (max(HORIZON_S, now_s), None)
