"""The furnace truth itself."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import truth_furnace


def test_a_furnace_cools_and_ends_at_the_room() -> None:
    """Falling all the way; after a month it is the room."""
    furnace = truth_furnace.invent(1)
    times_s, temps_c = truth_furnace.simulate(furnace, furnace.ambient + 0.05, 40 * 86400.0)

    assert np.all(np.diff(temps_c) < 0.0)
    assert temps_c[-1] == pytest.approx(furnace.ambient, abs=0.1)
    assert times_s[-1] < 40 * 86400.0


def test_a_chamber_without_brick_or_gaps_is_still_air() -> None:
    """A lining that holds and stops nothing: the part's film alone, by steps of its own balance."""
    furnace = replace(
        truth_furnace.invent(2), lining=0.001, k=1e4, rho_cp=1.0, outer=1e6, leak=0.0, soaked=0.0
    )
    times_s, temps_c = truth_furnace.simulate(furnace, 100.0, 86400.0)
    temp_c, t_s = furnace.start, 0.0
    room_k = furnace.ambient + 273.15
    while temp_c > 100.0:
        hot_k = temp_c + 273.15
        film = 4.0 + furnace.emissivity * truth_furnace.SIGMA * (hot_k + room_k) * (
            hot_k**2 + room_k**2
        )
        heat = furnace.mass * (450.0 + 0.4 * temp_c)
        temp_c -= 2.0 * furnace.area * film * (temp_c - furnace.ambient) / heat
        t_s += 2.0

    assert float(np.interp(-100.0, -temps_c, times_s)) == pytest.approx(t_s, rel=0.03)


def test_a_thicker_lining_and_a_soaked_one_cool_more_slowly() -> None:
    """Order, all else equal."""
    furnace = truth_furnace.invent(3)
    thin, thick, soaked = (
        truth_furnace.simulate(f, 60.0, 5 * 86400.0)[0][-1]
        for f in (
            replace(furnace, lining=0.06, soaked=0.3),
            replace(furnace, lining=0.12, soaked=0.3),
            replace(furnace, lining=0.06, soaked=1.0),
        )
    )

    assert thick > thin
    assert soaked > thin
