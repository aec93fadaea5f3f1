"""How good the forecasts of a pause are against a finer plate that the filter doesn't share.

Seeds from 14 on were never used for tuning. Simulated truth: what simplification, noise and
wrong input cost, not accuracy in a workshop. Bounds are this project's own, tighter than heat.md
9's 15 %; a pause of one story is no new draw of a plate, so the error of a share counts stories.
"""

from __future__ import annotations

import math

import pytest
from pausing import ASKED_S, Answer, answers, row
from truth_story import CEILING_C, FLOOR_C

HELD_OUT = range(14, 44)
FEW = range(14, 18)
ONE_SIDED_SD = 1.28
"Sampling error allowed on the share of pauses inside: 10 % of honest samples lie beyond it."


def later(
    seeds: range, limit_c: float = FLOOR_C, by_hand: bool = False, beads: int = 8
) -> list[Answer]:
    """Return every answer from the second pause on."""
    found = (answers(seed, limit_c, by_hand, beads) for seed in seeds)
    return [a for told in found for a in told if a.bead > 0]


def slack(found: list[Answer], share: float) -> float:
    """Return the sampling error allowed on `share`: stories, not pauses, are independent."""
    stories = len({a.seed for a in found})
    return ONE_SIDED_SD * math.sqrt(share * (1.0 - share) / stories)


@pytest.mark.slow
def test_four_held_out_stories_are_forecast_within_15_percent() -> None:
    """A smoke test: heat.md 9's bound at 15 s, never "never", most ranges right."""
    found = later(FEW, beads=4)
    at_15 = row([a for a in found if a.after_s == 15.0])

    assert all(math.isfinite(a.value_s) for a in found)
    assert at_15[1] <= 0.15
    assert row(found)[3] >= 0.70 - slack(found, 0.70)


@pytest.mark.full
@pytest.mark.parametrize("after_s", ASKED_S)
def test_from_the_second_pause_on_the_floor_is_forecast_within_10_percent(after_s: float) -> None:
    """30 held-out stories, median |error|; 70-95 % of the truths inside the 80 % range."""
    found = [a for a in later(HELD_OUT) if a.after_s == after_s]
    count, error, bias, held, _ = row(found)

    assert count > 100
    assert all(math.isfinite(a.value_s) for a in found)
    assert error <= 0.10
    assert abs(bias) <= 0.10
    assert 0.70 - slack(found, 0.70) <= held <= 0.95


@pytest.mark.full
def test_the_first_pause_is_forecast_from_the_plan_and_few_readings() -> None:
    """Nothing learned yet: heat.md 9's 15 %, ranges not narrower than they may be."""
    found = [a for seed in HELD_OUT for a in answers(seed, FLOOR_C) if a.bead == 0]
    _, error, _, held, _ = row(found)

    assert error <= 0.15
    assert held >= 0.70


@pytest.mark.full
def test_hand_readings_give_a_coarse_forecast_that_says_so() -> None:
    """A reading every 2-5 min, up to 10 °C wrong: heat.md 4.5 had 21-33 % (simulated)."""
    found = later(HELD_OUT, by_hand=True)
    _, error, _, held, width = row(found)
    _, _, _, _, live_width = row(later(HELD_OUT))

    assert all(math.isfinite(a.value_s) for a in found)
    assert error <= 0.33
    assert held >= 0.70 - slack(found, 0.70)
    assert width > 1.5 * live_width


@pytest.mark.full
def test_a_part_above_the_ceiling_is_told_when_it_is_cool_enough() -> None:
    """Some 20 s, a few pauses: within 10 s in the middle, and most truths inside."""
    found = [a for seed in HELD_OUT for a in answers(seed, CEILING_C)]
    away_s = sorted(abs(a.value_s - a.true_s) for a in found)

    assert len(found) >= 10
    assert away_s[len(away_s) // 2] <= 10.0
    assert row(found)[3] >= 0.70 - slack(found, 0.70)


@pytest.mark.full
def test_another_limit_within_the_band_is_forecast_as_well() -> None:
    """A narrower band's ceiling, 240 °C, is reached in a minute or so: within 10 % or 10 s."""
    found = later(HELD_OUT, limit_c=240.0)
    away = sorted(min(abs(a.error), abs(a.value_s - a.true_s) / 100.0) for a in found)

    assert len(found) > 200
    assert away[len(away) // 2] <= 0.10
    assert 0.70 - slack(found, 0.70) <= row(found)[3] <= 0.95


@pytest.mark.slow
def test_a_story_is_followed_the_same_way_twice() -> None:
    """The harness draws from the seed alone."""
    once = answers(FEW[0], FLOOR_C, by_hand=True, beads=4)

    assert answers.__wrapped__(FEW[0], FLOOR_C, by_hand=True, beads=4) == once
    assert len(once) > 5
