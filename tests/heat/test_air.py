"""Still-air curves."""

from __future__ import annotations

import numpy as np
import pytest

from pacer.heat import lumped
from pacer.heat.cooldown.air import still_air


def test_the_fitted_model_is_the_bare_part_of_the_fold_at_its_medians() -> None:
    """Two implementations of heat.md 2.3: table and step-by-step agree within 0.2 °C."""
    curve = still_air(np.array([[0.08, 1.0, 0.8, 260.0, 20.0, 0.25]]), 3.2)
    for t_s in (60.0, 600.0, 3000.0, 9000.0):
        expected_c = lumped.temp_after_c(260.0, t_s, 20.0, 3.2, 0.08, 0.8)
        assert curve.at(np.array([t_s]))[0, 0] == pytest.approx(expected_c, abs=0.2)


def test_a_part_colder_than_the_air_warms_up_to_it() -> None:
    """Signs hold on the other side too."""
    temps_c = still_air(np.array([[0.08, 1.0, 0.8, -5.0, 20.0, 0.25]]), 3.2).at(
        np.array([0.0, 3000.0, 1e6])
    )[0]

    assert temps_c[0] == pytest.approx(-5.0)
    assert -5.0 < temps_c[1] < temps_c[2] <= 20.0


def test_beyond_the_table_a_part_comes_ever_nearer_to_the_air() -> None:
    """No step where the table ends."""
    curve = still_air(np.array([[0.08, 1.0, 0.8, 260.0, 20.0, 0.25]]), 3.2)
    end_s = float(curve.times_s[0, -1])
    excess_dc = curve.at(np.array([0.99 * end_s, end_s, 1.01 * end_s, 2.0 * end_s]))[0] - 20.0

    assert np.all(np.diff(excess_dc) < 0.0)
    assert excess_dc[1] / excess_dc[0] == pytest.approx(excess_dc[2] / excess_dc[1], rel=0.01)


def test_a_draught_that_does_not_tire_is_newtons_law_where_nothing_radiates() -> None:
    """Film power 0, emissivity 0, constant specific heat below 0 °C: an exponential (textbook)."""
    curve = still_air(np.array([[0.08, 1.0, 1e-9, -20.0, -60.0, 0.0]]), 3.2)
    time_s = 3.2 * 450.0 / (0.08 * lumped.CONVECTION_W_M2K)

    assert curve.at(np.array([time_s]))[0, 0] == pytest.approx(-60.0 + 40.0 / np.e, abs=0.05)
