"""Exact slopes of a cooling curve against differences of the curve itself."""

from __future__ import annotations

import numpy as np
import pytest

from pacer.heat.cooldown.curves import curves_of
from pacer.heat.cooldown.prior import any_body, prior
from pacer.heat.cooldown.slopes import curve_and_slopes
from pacer.heat.part import CoolingPart, Cover, CoverName

PART = CoolingPart(3.2, (0.26, 0.18, 0.04), 0.012)
COVERS: tuple[CoverName, ...] = ("dry sand", "vermiculite", "ceramic blanket", "furnace")
TIMES_S = np.geomspace(20.0, 60000.0, 40)


@pytest.mark.parametrize("name", COVERS)
@pytest.mark.parametrize("seed", range(4))
def test_slopes_of_a_covered_part_are_those_of_central_differences(
    name: CoverName, seed: int
) -> None:
    """The perturbation result against the curve nudged both ways: within 0.2 °C a sd."""
    p = prior(PART, Cover(name), 20.0, 260.0)
    count = len(p.mean)
    z = np.random.default_rng(seed).normal(size=count)
    nudge = 0.01 * np.eye(count)
    temps_c, slopes = curve_and_slopes(p, z, TIMES_S)
    around = curves_of(p, np.concatenate([z + nudge, z - nudge])).at(TIMES_S)

    assert temps_c == pytest.approx(curves_of(p, z[None, :]).at(TIMES_S)[0], abs=1e-6)
    assert slopes == pytest.approx((around[:count] - around[count:]).T / 0.02, abs=0.2)


def test_models_without_modes_have_slopes_as_well() -> None:
    """Still air and any body, by differences: one value more than none of them zero."""
    air = prior(PART, Cover("still air"), 20.0, 260.0)
    for p in (air, any_body(air, 4000.0)):
        temps_c, slopes = curve_and_slopes(p, np.zeros(len(p.mean)), TIMES_S)
        assert temps_c.shape == (len(TIMES_S),)
        assert np.all(np.max(np.abs(slopes), axis=0) > 0.01)


def test_a_clock_beyond_its_limit_has_no_slope_left_but_stays_finite() -> None:
    """Six sd of quickening at 2000 °C: the clock is cut, nothing overflows."""
    p = prior(PART, Cover("vermiculite"), 20.0, 2000.0)
    z = np.zeros(len(p.mean))
    z[p.names.index("quickening_1_dc")] = 6.0
    temps_c, slopes = curve_and_slopes(p, z, TIMES_S)

    assert np.all(np.isfinite(temps_c))
    assert np.all(np.isfinite(slopes))
