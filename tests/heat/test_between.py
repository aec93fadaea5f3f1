"""The filter between beads: its balance of heat, its covariance, what it takes and leaves out."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pacer.heat.lumped import heat_capacity_j_kgk, temp_after_c
from pacer.heat.pauses import beads, belief, between
from pacer.heat.pauses.belief import Bare, Bead, Estimate

PLATE = Bare(
    mass_kg=3.2,
    area_m2=0.084,
    along_m=0.24,
    across_m=0.16,
    ambient_c=20.0,
    distance_m=0.03,
    joint_m=0.12,
    efficiency=0.7,
    uneven_dc=10.0,
)
IN_NO_AIR = PLATE._replace(area_m2=0.0)
ARC_W = 1700.0


def reading_c(part: Bare, estimate: Estimate) -> float:
    """Return what the estimate says the probe reads at its own time (module docstring)."""
    mean = estimate.mean
    own_c = mean[belief.MEAN] + mean[belief.UNEVEN] + mean[belief.LOCAL]
    return own_c + beads.beads_dc(part, estimate, estimate.t_s)[0]


def cov_of(estimate: Estimate) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """Return the covariance as a matrix."""
    return np.array(estimate.cov).reshape(belief.COUNT, belief.COUNT)


def begun(part: Bare = PLATE, temp_c: float = 250.0, *, heated: bool = False) -> Estimate:
    """Return an estimate begun at 0 s."""
    return belief.begin(part, 0.0, temp_c, 3.0, heated=heated)


def knowing(estimate: Estimate, **values: float) -> Estimate:
    """Return the estimate with numbers of its mean set: `LOSS=0.0`."""
    mean = list(estimate.mean)
    for name, value in values.items():
        mean[getattr(between, name)] = value
    return estimate._replace(mean=tuple(mean))


def fed(
    part: Bare, estimate: Estimate, until_s: float, temp_c: Callable[[float], float]
) -> Estimate:
    """Return the estimate with a reading a second up to `until_s`."""
    for second in range(math.ceil(estimate.t_s) + 1, round(until_s) + 1):
        estimate = between.took(part, estimate, float(second), temp_c(float(second)))
    return estimate


def bare_c(start_c: float, scale: float = 1.0) -> Callable[[float], float]:
    """Return how a bare plate of `PLATE`'s figures cools (heat/lumped.py)."""
    return lambda t_s: temp_after_c(start_c, t_s, 20.0, 3.2, 0.084, scale=scale)


@pytest.mark.parametrize("arc_s", [4.0, 12.0, 37.5])
def test_a_beads_heat_raises_the_mean_by_energy_over_heat_capacity(arc_s: float) -> None:
    """No loss, no flame: eta V I t / (m c), heat conserved; c at the start, within 1 % of c(T)."""
    estimate = between.struck(IN_NO_AIR, begun(IN_NO_AIR), 10.0, 0.0, ARC_W)
    estimate = between.put_out(IN_NO_AIR, estimate, 10.0 + arc_s)
    estimate = between.moved(IN_NO_AIR, estimate, 400.0)

    rise_dc = 0.7 * ARC_W * arc_s / (3.2 * heat_capacity_j_kgk(250.0))
    assert estimate.mean[belief.MEAN] - 250.0 == pytest.approx(rise_dc, rel=0.01)


def test_the_arcs_heat_is_the_same_however_often_time_is_moved_on() -> None:
    """A bead that ends within a step gives its energy and no more (conservation)."""
    means = []
    for step_s in (0.25, 1.0, 7.3, 60.0):
        estimate = between.struck(IN_NO_AIR, begun(IN_NO_AIR), 5.0, 0.0, ARC_W)
        estimate = between.put_out(IN_NO_AIR, estimate, 16.6)
        while estimate.t_s < 60.0:
            estimate = between.moved(IN_NO_AIR, estimate, min(estimate.t_s + step_s, 60.0))
        means.append(estimate.mean[belief.MEAN])

    assert max(means) - min(means) < 0.01


def test_late_the_probe_reads_the_mean() -> None:
    """Once spread, a bead adds at the probe what it adds to the mean: the excess is gone."""
    estimate = between.struck(IN_NO_AIR, begun(IN_NO_AIR), 0.0, 0.05, ARC_W)
    estimate = between.put_out(IN_NO_AIR, estimate, 12.0)
    excess_dc = [beads.beads_dc(IN_NO_AIR, estimate, at_s)[0] for at_s in (5.0, 60.0, 3600.0)]

    # Before the heat arrives the probe lies below the mean by the bead's whole share.
    whole_dc = 0.7 * ARC_W * 12.0 / (3.2 * heat_capacity_j_kgk(254.0))
    assert excess_dc[0] == pytest.approx(-whole_dc, rel=0.5)
    assert excess_dc[0] < 0.0 < excess_dc[1]
    assert excess_dc[2] == pytest.approx(0.0, abs=0.05)


@pytest.mark.parametrize("start_c", [90.0, 200.0, 280.0])
@pytest.mark.parametrize("scale", [1.0, 1.6])
def test_the_mean_cools_as_the_bare_plate_does(start_c: float, scale: float) -> None:
    """`lumped.temp_after_c`, another integration of the same loss, to 0.5 K in 10 min."""
    estimate = knowing(begun(temp_c=start_c), LOSS=math.log(scale))
    moved_c = between.moved(PLATE, estimate, 600.0).mean[belief.MEAN]

    assert moved_c == pytest.approx(bare_c(start_c, scale)(600.0), abs=0.5)


def test_a_wrapped_part_loses_less() -> None:
    """Its loss is multiplied by what a wrapping leaves; bare again it is not."""
    wrapped = between.wrapped(PLATE, begun(), 0.0, on=True)
    wrapped = knowing(wrapped, LOSS=0.0, WRAP=math.log(0.4))
    at_120 = between.moved(PLATE, wrapped, 120.0)
    bare_again = between.wrapped(PLATE, at_120, 120.0, on=False)

    assert at_120.mean[belief.MEAN] == pytest.approx(bare_c(250.0, 0.4)(120.0), abs=0.3)
    later_c = between.moved(PLATE, bare_again, 240.0).mean[belief.MEAN]
    assert later_c == pytest.approx(bare_c(at_120.mean[belief.MEAN])(120.0), abs=0.3)


def test_a_reading_lowers_doubt_and_time_raises_it() -> None:
    """Information: the variance of what is read falls; an untouched mean drifts in doubt."""
    before = begun()
    after = between.took(PLATE, before, 0.0, 252.0)
    later = between.moved(PLATE, after, 300.0)

    assert np.trace(cov_of(after)) < np.trace(cov_of(before))
    assert after.cov[0] < before.cov[0]
    assert later.cov[0] > after.cov[0]
    assert 250.0 < reading_c(PLATE, after) < 252.0
    assert after.readings == 1


def test_the_loss_of_a_part_is_learned_from_its_cooling() -> None:
    """A plate that cools as one of 1.5 times the loss is believed to be one, within 10 %."""
    estimate = fed(PLATE, begun(), 400.0, bare_c(250.0, 1.5))

    assert math.exp(estimate.mean[belief.LOSS]) == pytest.approx(1.5, rel=0.10)
    assert cov_of(estimate)[belief.LOSS, belief.LOSS] < 0.5 * 0.25**2


def test_a_spike_is_left_out_and_a_run_is_a_fact() -> None:
    """Seven readings 80 K off change nothing; the eighth moves the estimate to them."""
    steady = fed(PLATE, begun(), 30.0, bare_c(250.0))
    estimate = fed(PLATE, steady, 37.0, lambda t_s: bare_c(250.0)(t_s) + 80.0)
    untouched = between.moved(PLATE, steady, 37.0)
    taken = fed(PLATE, estimate, 38.0, lambda t_s: bare_c(250.0)(t_s) + 80.0)

    assert estimate.rejected == 7
    # Moved on in seven steps or in one: the same to a thousandth of a degree.
    assert estimate.mean == pytest.approx(untouched.mean, abs=1e-3)
    assert taken.rejected == 0
    assert reading_c(PLATE, taken) == pytest.approx(bare_c(250.0)(38.0) + 80.0, abs=1.0)


def test_a_reading_between_spikes_ends_the_run() -> None:
    """Seven, one good one, seven: still spikes."""
    estimate = fed(PLATE, begun(), 30.0, bare_c(250.0))
    for i in range(15):
        t_s = 31.0 + i
        off_dc = 0.0 if i == 7 else 80.0
        estimate = between.took(PLATE, estimate, t_s, bare_c(250.0)(t_s) + off_dc)

    assert reading_c(PLATE, estimate) == pytest.approx(bare_c(250.0)(45.0), abs=2.0)


@pytest.mark.parametrize(("side", "news_c", "stale_c"), [(1, 262.0, 240.0), (-1, 240.0, 262.0)])
def test_a_one_sided_reading_says_something_only_where_it_is_news(
    side: int, news_c: float, stale_c: float
) -> None:
    """ "At least 240" to one who believes 250 says nothing; "at least 262" does."""
    before = begun()
    stale = between.took(PLATE, before, 0.0, stale_c, 10.0, side)
    news = between.took(PLATE, before, 0.0, news_c, 10.0, side)

    assert (stale.mean, stale.cov) == (before.mean, before.cov)
    assert stale.readings == news.readings == 1
    assert (news.mean[belief.MEAN] - 250.0) * side > 0.0


def test_a_flame_left_on_is_found_and_not_learned_as_a_part_that_keeps_its_heat() -> None:
    """Told off, yet 0.3 K/s of rise: unsaid within a minute; the loss stays what it was."""
    before = fed(PLATE, begun(), 60.0, bare_c(250.0))
    lit_c = bare_c(250.0)(60.0)
    found_s = math.inf
    estimate = before
    for second in range(61, 181):
        estimate = between.took(PLATE, estimate, float(second), lit_c + 0.3 * (second - 60))
        if estimate.unsaid and found_s == math.inf:
            found_s = second

    assert found_s < 60 + 60
    assert estimate.hot
    assert not estimate.heated
    assert estimate.mean[belief.LOSS] == pytest.approx(before.mean[belief.LOSS], abs=0.25)


@pytest.mark.parametrize("scale", [0.7, 1.0, 1.5])
def test_a_found_flame_that_goes_out_is_found_gone(scale: float) -> None:
    """Within some minutes, also where the part keeps its heat better than one thought."""
    lit = fed(PLATE, begun(), 90.0, lambda t_s: 250.0 + 0.4 * t_s)
    assert lit.unsaid
    out = fed(PLATE, lit, 300.0, lambda t_s: bare_c(286.0, scale)(t_s - 90.0))

    assert not out.unsaid
    assert not out.hot


def test_nothing_is_learned_of_the_part_under_a_flame() -> None:
    """The strength of a flame is unknown: parameters and their doubt stay."""
    before = between.flamed(PLATE, begun(), 0.0, heated=True)
    after = fed(PLATE, before, 90.0, lambda t_s: 250.0 + 0.4 * t_s)

    assert after.mean[belief.LOSS :] == before.mean[belief.LOSS :]
    assert np.diag(cov_of(after))[belief.LOSS :] == pytest.approx(
        np.diag(cov_of(before))[belief.LOSS :]
    )
    assert after.mean[belief.FLAME] > 0.4


def test_the_flames_rate_ends_with_the_flame() -> None:
    """Off, the reading stays what it was, the rate is 0, and unevenness is doubtful again."""
    lit = fed(PLATE, begun(heated=True), 90.0, lambda t_s: 250.0 + 0.4 * t_s)
    off = between.flamed(PLATE, lit, 90.0, heated=False)

    assert off.mean[belief.FLAME] == 0.0
    assert reading_c(PLATE, off) == pytest.approx(reading_c(PLATE, lit), abs=1e-9)
    assert cov_of(off)[belief.UNEVEN, belief.UNEVEN] == pytest.approx(PLATE.uneven_dc**2)
    assert between.flamed(PLATE, off, 95.0, heated=False) is off


def test_a_turned_part_has_its_probe_fixed_anew() -> None:
    """Distance and place are doubtful as at first; the loss that was learned stays."""
    known = knowing(fed(PLATE, begun(), 200.0, bare_c(250.0, 1.5)), NEAR=math.log(0.04))
    after = between.turned(PLATE, known, 200.0)
    first = cov_of(begun())

    assert after.mean[belief.NEAR] == pytest.approx(math.log(0.03))
    assert after.mean[belief.LOSS] == known.mean[belief.LOSS]
    for i in (belief.NEAR, belief.ALONG):
        assert cov_of(after)[i, i] == pytest.approx(first[i, i])
    assert cov_of(after)[0, 0] > cov_of(known)[0, 0]


def test_what_was_learned_of_the_part_outlives_a_stop() -> None:
    """`remembering`: parameters and their doubt from before, the temperature from now."""
    old = fed(PLATE, begun(), 400.0, bare_c(250.0, 1.5))
    new = belief.remembering(begun(temp_c=230.0), old)

    assert new.mean[: belief.LOSS] == begun(temp_c=230.0).mean[: belief.LOSS]
    assert new.mean[belief.LOSS :] == old.mean[belief.LOSS :]
    assert cov_of(new)[belief.LOSS :, belief.LOSS :] == pytest.approx(
        cov_of(old)[belief.LOSS :, belief.LOSS :]
    )
    assert not cov_of(new)[: belief.LOSS, belief.LOSS :].any()
    assert not new.beads


def test_time_never_runs_back() -> None:
    """A stamp from before the estimate's own time moves nothing."""
    estimate = between.moved(PLATE, begun(), 50.0)

    assert between.moved(PLATE, estimate, 20.0) is estimate
    assert between.put_out(PLATE, estimate, 20.0) is estimate


def test_only_beads_that_have_not_spread_are_kept() -> None:
    """A long day of beads costs no more than a short one: 8 at most."""
    estimate = begun()
    for i in range(40):
        estimate = between.struck(PLATE, estimate, 30.0 * i, 0.0, ARC_W)
        estimate = between.put_out(PLATE, estimate, 30.0 * i + 10.0)

    assert len(estimate.beads) == between.MOST_BEADS
    assert estimate.beads[-1] == Bead(1170.0, 1180.0, 0.0, ARC_W)
    assert len(between.struck(PLATE, estimate, 5000.0, 0.0, ARC_W).beads) == 1


_PARTS = st.builds(
    Bare,
    mass_kg=st.sampled_from([1e-6, 1e-3, 0.3, 3.2, 80.0, 1e6]),
    area_m2=st.sampled_from([0.0, 1e-4, 0.084, 30.0]),
    along_m=st.sampled_from([0.02, 0.24, 40.0]),
    across_m=st.sampled_from([0.02, 0.16, 40.0]),
    ambient_c=st.floats(-40.0, 60.0),
    distance_m=st.floats(0.0, 1.0),
    joint_m=st.floats(0.0, 2.0),
    efficiency=st.floats(0.0, 1.0),
    uneven_dc=st.sampled_from([4.0, 25.0]),
)
_FINITE = st.floats(allow_nan=False, allow_infinity=False)
_TEMPS_C = st.one_of(st.floats(0.0, 400.0), st.floats(0.0, 400.0), _FINITE)
_STEPS_S = st.sampled_from([0.0, 0.25, 1.0, 1.0, 1.0, 2.5, 12.0, 12.0, 300.0, 7777.7, 1e300])
_WORDS = st.sampled_from(["read", "read", "read", "arc", "out", "lit", "dark", "turn", "wrap"])
WILD = st.lists(
    st.tuples(_STEPS_S, _WORDS, _TEMPS_C, st.floats(0.0, 1e4), st.sampled_from([0, 0, 0, 1, -1])),
    max_size=30,
)


def done(
    part: Bare, estimate: Estimate, word: str, temp_c: float, size: float, side: int
) -> Estimate:
    """Return the estimate after one wild act or reading at its own time."""
    t_s = estimate.t_s
    match word:
        case "read":
            return between.took(part, estimate, t_s, temp_c, 1.0 if size < 5e3 else size, side)
        case "arc":
            return between.struck(part, estimate, t_s, math.fmod(temp_c, 1.0), size)
        case "out":
            return between.put_out(part, estimate, t_s)
        case "lit" | "dark":
            return between.flamed(part, estimate, t_s, heated=word == "lit")
        case "turn":
            return between.turned(part, estimate, t_s)
        case _:
            return between.wrapped(part, estimate, t_s, on=size < 5e3)


def wild_estimate(part: Bare, story: list[tuple[float, str, float, float, int]]) -> list[Estimate]:
    """Return every estimate of a wild story."""
    told = [belief.begin(part, 0.0, 250.0, 3.0, heated=bool(len(story) % 2))]
    for step_s, word, temp_c, size, side in story:
        moved = between.moved(part, told[-1], told[-1].t_s + step_s, 30.0 if side else 1.0)
        told.append(done(part, moved, word, temp_c, size, side))
    return told


@pytest.mark.slow
@settings(max_examples=60, deadline=None)
@given(part=_PARTS, story=WILD)
def test_any_story_leaves_finite_numbers_and_a_covariance_that_is_one(
    part: Bare, story: list[tuple[float, str, float, float, int]]
) -> None:
    """Total: symmetric, no negative variance in any direction, parameters within their bounds."""
    for estimate in wild_estimate(part, story):
        cov = cov_of(estimate)
        assert all(map(math.isfinite, (*estimate.mean, *estimate.cov, estimate.odd)))
        for value, (low, high) in zip(estimate.mean, belief._BOUNDS, strict=True):
            assert low <= value <= high
        assert cov == pytest.approx(cov.T, rel=1e-9, abs=1e-9)
        sd = np.sqrt(np.diag(cov))
        assert np.linalg.eigvalsh(cov / np.outer(sd, sd)).min() > -1e-6
        assert math.isfinite(reading_c(part, estimate))
        sinks = beads.sink_dc(part, estimate, 10.0)
        assert sinks is None or 0.0 <= sinks < math.inf
