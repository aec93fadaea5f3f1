"""What lies ahead between beads: times to limits and beads that still fit in."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_between import ARC_W, IN_NO_AIR, PLATE, WILD, begun, knowing, wild_estimate

from pacer.heat.lumped import temp_after_c, time_to_cool_s
from pacer.heat.pauses import ahead as pause
from pacer.heat.pauses import beads, belief, between
from pacer.heat.pauses.ahead import HORIZON_S, beads_left, paths, time_to
from pacer.heat.pauses.belief import Bare, Estimate

BEAD_J, BEAD_S, CYCLE_S = ARC_W * 12.0, 12.0, 40.0


def sure(part: Bare, temp_c: float = 250.0, **values: float) -> Estimate:
    """Return an estimate with next to no doubt, at 0 s; the loss is the published one."""
    estimate = knowing(begun(part, temp_c), LOSS=0.0, **values)
    cov = np.diag([1e-9] * belief.COUNT)
    return estimate._replace(cov=tuple(cov.ravel().tolist()))


def warmed(part: Bare = PLATE, temp_c: float = 250.0) -> Estimate:
    """Return an estimate 5 s after a bead of 12 s beside the probe."""
    estimate = between.struck(part, begun(part, temp_c), 10.0, 0.0, ARC_W)
    return between.moved(part, between.put_out(part, estimate, 22.0), 27.0)


@pytest.mark.parametrize("limit_c", [240.0, 200.0, 120.0, 45.0])
def test_an_even_plate_reaches_a_limit_when_the_lumped_law_says(limit_c: float) -> None:
    """No bead, no doubt: `lumped.time_to_cool_s`, another integration, within 2 %."""
    told = time_to(paths(PLATE, sure(PLATE), 0.0), limit_c)
    expected_s = time_to_cool_s(250.0, limit_c, 20.0, 3.2, 0.084)

    assert told is not None
    assert told.value == pytest.approx(expected_s, rel=0.02, abs=1.0)
    assert told.high is not None
    assert told.low < told.value < told.high


@pytest.mark.parametrize(("mass_kg", "scale"), [(0.05, 1.0), (0.3, 3.0), (0.001, 5.0)])
def test_light_parts_cool_to_the_air_and_stay_there(mass_kg: float, scale: float) -> None:
    """Steps of a quarter of an hour on a part that is cold in a minute: never past the air."""
    part = PLATE._replace(mass_kg=mass_kg)
    ahead = paths(part, sure(part)._replace(mean=begun(part).mean), 0.0)
    probe_c = paths(part, knowing(sure(part), LOSS=math.log(scale)), 0.0).probe_c

    assert ahead.probe_c.min() > 19.0
    assert probe_c[:, -1] == pytest.approx(20.0, abs=1.0)
    assert np.all(np.diff(probe_c, axis=1) <= 1e-3)
    at_60_c = temp_after_c(250.0, 60.0, 20.0, mass_kg, 0.084, scale=scale)
    read_c = [np.interp(60.0, ahead.ahead_s, row) for row in probe_c]
    assert np.median(read_c) == pytest.approx(at_60_c, abs=6.0)


def test_a_lower_limit_is_never_reached_sooner() -> None:
    """Monotone in the limit, value and both ends; a minute after a bead too."""
    for estimate in (begun(), warmed()):
        ahead = paths(PLATE, estimate, estimate.t_s)
        told = [time_to(ahead, limit_c) for limit_c in np.arange(300.0, 30.0, -2.5).tolist()]
        found = [t for t in told if t is not None]
        for part in ("value", "low"):
            assert np.all(np.diff([getattr(t, part) for t in found]) >= 0)
        highs = [math.inf if t.high is None else t.high for t in found]
        assert all(a <= b for a, b in pairwise(highs))
        assert found[0].value == 0
        assert found[-1].value > 1000


@pytest.mark.parametrize("limit_c", [20.0, 15.0, -300.0])
def test_what_is_never_reached_has_no_time(limit_c: float) -> None:
    """The air is at 20 °C, so nothing sinks to it in two hours: None, not two hours."""
    assert time_to(paths(PLATE, begun(), 0.0), limit_c) is None
    assert time_to(paths(IN_NO_AIR, begun(IN_NO_AIR, 250.0), 0.0), 150.0) is None


def test_the_far_end_is_open_where_some_of_the_draws_never_get_there() -> None:
    """A loss known to a factor of two: two hours may be too short for 45 °C, not for 200 °C."""
    doubtful = sure(PLATE)
    cov = list(doubtful.cov)
    cov[belief.LOSS * (belief.COUNT + 1)] = 0.7**2
    ahead = paths(PLATE, doubtful._replace(cov=tuple(cov)), 0.0)
    far, near = time_to(ahead, 45.0), time_to(ahead, 200.0)

    assert far is not None
    assert far.high is None
    assert near is not None
    assert near.high is not None


def test_heat_on_its_way_is_waited_for() -> None:
    """At the limit now, but a bead's heat comes: at the limit is when it sinks for good."""
    estimate = between.struck(PLATE, begun(temp_c=203.0), 0.0, 0.0, 2.0 * ARC_W)
    estimate = between.put_out(PLATE, estimate, 12.0)
    told = time_to(paths(PLATE, estimate, 15.0), 203.0)
    bare = time_to(paths(PLATE, begun(temp_c=203.0), 0.0), 203.0)

    assert told is not None
    assert bare is not None
    assert bare.value <= 10.0
    assert told.low > 30.0


def test_flame_and_arc_are_taken_as_out_from_now_on() -> None:
    """Nothing more is done: a lit part sinks from now, a burning bead ends now."""
    lit = between.flamed(PLATE, begun(), 0.0, heated=True)
    lit = knowing(lit, FLAME=0.5)
    burning = between.struck(PLATE, begun(), 0.0, 0.0, ARC_W)

    for estimate in (lit, between.moved(PLATE, burning, 10.0)):
        told = time_to(paths(PLATE, estimate, estimate.t_s), 200.0)
        assert told is not None
        assert 100.0 < told.value < 500.0


def test_beads_left_are_counted_by_hand_where_nothing_is_lost() -> None:
    """No loss: all fit. Below the floor: none. In between: at the last that ends above it."""
    even = paths(IN_NO_AIR, sure(IN_NO_AIR), 0.0)
    cold = paths(PLATE, sure(PLATE, 199.0), 0.0)

    assert beads_left(even, 200.0, BEAD_J, BEAD_S, CYCLE_S, 9).value == 9
    assert beads_left(cold, 200.0, BEAD_J, BEAD_S, CYCLE_S, 9).value == 0
    # Without the arc's heat only the sinking counts: ends at 12, 52, 92, … s.
    sinks = paths(PLATE, sure(PLATE, 215.0), 0.0)
    until_s = time_to_cool_s(215.0, 200.0, 20.0, 3.2, 0.084)
    fits = math.floor((until_s - BEAD_S) / CYCLE_S) + 1
    assert beads_left(sinks, 200.0, 0.0, BEAD_S, CYCLE_S, 50).value == fits


@pytest.mark.parametrize("most", [0, 1, 7, 65])
@pytest.mark.parametrize("temp_c", [150.0, 205.0, 250.0, 290.0])
def test_beads_left_lie_between_none_and_the_plans(temp_c: float, most: int) -> None:
    """0 <= low <= value <= high <= most."""
    estimate = begun(temp_c=temp_c)
    left = beads_left(paths(PLATE, estimate, 0.0), 200.0, BEAD_J, BEAD_S, CYCLE_S, most)

    assert left.high is not None
    assert 0 <= left.low <= left.value <= left.high <= most


def test_more_heat_a_bead_leaves_room_for_more_beads() -> None:
    """Each bead warms the part: monotone in its energy."""
    ahead = paths(PLATE, begun(temp_c=225.0), 0.0)
    counts = [
        beads_left(ahead, 200.0, share * BEAD_J, BEAD_S, CYCLE_S, 60).value
        for share in (0.0, 0.3, 0.6, 1.0, 2.0)
    ]

    assert counts == sorted(counts)
    assert counts[-1] > counts[0]


def test_answers_do_not_depend_on_what_was_asked_before() -> None:
    """Paths are only read: any order gives the same answers, and the estimate stays."""
    estimate = warmed()
    first = time_to(paths(PLATE, estimate, 30.0), 200.0)
    ahead = paths(PLATE, estimate, 30.0)
    left = beads_left(ahead, 200.0, BEAD_J, BEAD_S, CYCLE_S, 20)
    time_to(ahead, 240.0)
    paths(PLATE, estimate, 90.0)

    assert time_to(ahead, 200.0) == first
    assert beads_left(ahead, 200.0, BEAD_J, BEAD_S, CYCLE_S, 20) == left
    assert estimate == warmed()


def test_a_bead_beside_the_probe_keeps_it_from_sinking() -> None:
    """`sink_dc`: the loss of a bare plate without a bead, less where heat is on its way."""
    alone = beads.sink_dc(PLATE, knowing(begun(), LOSS=0.0), 12.0)
    expected_dc = 250.0 - temp_after_c(250.0, 12.0, 20.0, 3.2, 0.084)

    assert alone == pytest.approx(expected_dc, rel=0.02)
    held_up = beads.sink_dc(PLATE, warmed(), 12.0)
    assert alone is not None
    assert held_up is not None
    assert held_up < alone
    assert beads.sink_dc(PLATE, knowing(begun(), LOSS=-1.0), 12.0) == pytest.approx(alone)


def test_the_sink_is_never_negative() -> None:
    """Rising heat does not lower what is needed: 0 at least, cold part and wrapped part too."""
    for temp_c in (10.0, 20.0, 205.0, 300.0):
        for estimate in (begun(temp_c=temp_c), warmed(temp_c=temp_c)):
            for within_s in (1.0, 12.0, 60.0):
                sinks = beads.sink_dc(PLATE, estimate, within_s)
                assert sinks is not None
                assert sinks >= 0.0


_PARTS = st.builds(
    PLATE._replace,
    mass_kg=st.sampled_from([1e-6, 0.01, 0.3, 3.2, 80.0, 1e6]),
    area_m2=st.sampled_from([0.0, 1e-3, 0.084, 3.0]),
    ambient_c=st.sampled_from([-30.0, 20.0, 55.0]),
)


@pytest.mark.slow
@settings(max_examples=40, deadline=None)
@given(part=_PARTS, story=WILD, limit_c=st.floats(-100.0, 500.0))
def test_no_estimate_gives_anything_but_numbers(
    part: Bare, story: list[tuple[float, str, float, float, int]], limit_c: float
) -> None:
    """Any filtered story: finite paths, a time within the horizon or None, whole beads."""
    for estimate in wild_estimate(part, story)[-3:]:
        ahead = paths(part, estimate, estimate.t_s + 3.0)
        told = time_to(ahead, limit_c)
        left = beads_left(ahead, limit_c, BEAD_J, BEAD_S, CYCLE_S, 20)

        assert np.all(np.isfinite(ahead.probe_c))
        if told is not None:
            assert 0 <= told.low <= told.value < HORIZON_S
            assert told.high is None or told.value <= told.high < HORIZON_S
        assert left.high is not None
        assert 0 <= left.low <= left.value <= left.high <= 20
    assert pause.HORIZON_S == 7200.0
